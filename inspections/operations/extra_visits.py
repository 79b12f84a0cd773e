"""Putting an extra visit into the way of one housing, and dropping one that its route planned."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext_lazy as _

from housings import gate, states
from housings.engineering.route_rules import ORDER_RULES, reasons_against_route
from housings.engineering.stations import STATIONS
from housings.models import Housing, Visit
from housings.operations.visits import check_station, insert_visits, the_housing
from housings.rules import reasons_of_state
from inspections.queries import Measured
from inspections.rework import visits_for_rework
from shopqc.operation import Answer, Run, operation
from shopqc.refusals import Reason, Refused, refuse


@operation("add_visit", locks=the_housing)
def add_visit(run: Run, *, housing: str, station: str, why: str, before: int | None = None) -> Answer:
    """Send a housing to a station that its route does not ask for, such as straightening.

    It comes next, or ``before`` the visit of that number. What the station can move is measured again: if no
    visit ahead asks for that anyway, one is put in.

    The answer's ``cautions`` say what the rules of order would have against it on a route.
    """
    check_station(station)
    row = run.get(Housing, housing)
    if reasons := reasons_of_state(row):
        raise Refused(*reasons)
    situation = gate.Situation(row)
    reasons = []
    if not STATIONS[station].optional or STATIONS[station].after_sign_off:
        reasons.append(Reason("only_optional", {"station": STATIONS[station].name}, "/station"))
    if not why.strip():
        reasons.append(Reason("reason_needed", field="/why"))
    at = next((v for v in situation.visits if v.number == before and v.state == states.AHEAD), None)
    if before is not None and at is None:
        reasons.append(Reason("not_ahead", {"visit": before}, "/before"))
    if reasons:
        raise Refused(*reasons)
    # Only what comes after it can measure again what it moves.
    following = [
        v for v in situation.visits if at is None or v.sequence >= at.sequence or v.state != states.AHEAD
    ]
    measured = situation.kept(Measured)
    inserted = [
        (place, Visit.EXTRA if kind == Visit.REWORK else kind)
        for place, kind in visits_for_rework([station], None, None, measured.characteristics, following)
    ]
    made = insert_visits(run, row, inserted, why.strip(), before=at)
    run.write(row, why=why.strip())
    return {
        "housing": housing,
        "visits": [{"visit": visit.number, "station": visit.station, "kind": visit.kind} for visit in made],
        "cautions": cautions_against(station, situation.visits),
    }


def cautions_against(station: str, visits: Sequence[Visit]) -> list[str]:
    """What the rules of order say of a station that comes after what was done already."""
    done = {visit.station for visit in visits if visit.state in {states.HERE, states.LEFT}}
    return [
        str(_("“%(earlier)s” is usual before “%(later)s”: %(reason)s."))
        % {
            "earlier": STATIONS[rule.earlier].name,
            "later": STATIONS[rule.later].name,
            "reason": rule.reason,
        }
        for rule in ORDER_RULES
        if rule.earlier == station and rule.later in done
    ]


@operation("drop_visit", locks=the_housing)
def drop_visit(run: Run, *, housing: str, visit: int, why: str) -> Answer:
    """Take a visit that is ahead out of a housing's way: only at a station that a route may do without.

    What an extra visit had brought along to measure again goes with it.
    """
    row = run.get(Housing, housing)
    if reasons := reasons_of_state(row, after_sign_off=True):
        raise Refused(*reasons)
    visits = gate.Situation(row).visits
    found = next((one for one in visits if one.number == visit), None)
    if found is None:
        raise refuse("not_found", "/visit", what=str(_("visit")), name=visit)
    reasons = reasons_not_to_drop(row, found, visits)
    if not why.strip():
        reasons.append(Reason("reason_needed", field="/why"))
    if reasons:
        raise Refused(*reasons)
    dropped = [found, *_brought_along(found, visits)]
    for one in dropped:
        states.check_change(states.VISIT_MAY_BECOME, one.state, states.DROPPED)
    count = Visit.objects.filter(pk__in=[one.pk for one in dropped], state=states.AHEAD).update(
        state=states.DROPPED, why=why.strip()
    )
    if count != len(dropped):
        raise RuntimeError(f"A visit of {housing} changed while drop_visit held the housing.")
    run.write(
        row,
        dropped=[{"visit": one.number, "station": one.station} for one in dropped],
        why=why.strip(),
    )
    return {"housing": housing, "dropped": [one.number for one in dropped]}


def reasons_not_to_drop(housing: Housing, visit: Visit, visits: Sequence[Visit]) -> list[Reason]:
    """Why a visit stays in the housing's way."""
    if visit.state != states.AHEAD:
        return [Reason("not_ahead", {"visit": visit.number})]
    if visit.kind not in {Visit.PLANNED, Visit.EXTRA}:
        return [Reason("rework_stays", {"visit": visit.number})]
    if not visit.at.optional:
        return [Reason("only_optional", {"station": visit.at.name})]
    rest = [one.station for one in visits if one.pk != visit.pk and one.state != states.DROPPED]
    return [
        Reason("route_refused", {"why": problem.sentence})
        for problem in reasons_against_route(rest, links=bool(housing.spec.data.get("links")))
        if problem.code == "brackets_missing"
    ]


def _brought_along(visit: Visit, visits: Sequence[Visit]) -> list[Visit]:
    """The visits that were put in with an extra one to measure again, as far as they are ahead."""
    if visit.kind != Visit.EXTRA:
        return []
    by_number = {one.number: one for one in visits}
    found, number = [], visit.number + 1
    while (one := by_number.get(number)) and one.kind == Visit.MEASURE and one.why == visit.why:
        if one.state == states.AHEAD:
            found.append(one)
        number += 1
    return found
