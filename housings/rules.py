"""What the housings themselves say against a step, apart from anything measured."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext_lazy as _

from housings import states
from housings.engineering.stations import STATIONS, StationKind
from housings.models import Hold, Housing, Visit, WorkDone
from housings.queries import next_visits, visit_here
from shopqc.refusals import Reason, register
from shopqc.rules import Rule
from shopqc.rules import register as register_rules

WORK_DONE_RECORDED = "work_done_recorded"

register_rules(
    Rule(
        WORK_DONE_RECORDED,
        _("A station whose work moves metal is left only after its work was recorded as done."),
        _("When the work of each station was done was not recorded at every station."),
    )
)
register(
    409,
    {
        "housing_ended": _("This housing is %(state)s; nothing more is done to it."),
        "housing_signed_off": _(
            "This housing is signed off. To work on it again, the QC lead revokes its certificate first."
        ),
        "not_signed_off": _("%(station)s comes after the sign-off, and nobody has signed yet."),
        "held": _("Held: %(why)s (by %(stamp)s). The QC lead can release it."),
        "is_elsewhere": _("The housing is at %(station)s and has not left there."),
        "is_here_already": _("The housing has arrived at %(station)s already."),
        "not_next": _("%(station)s is not next. Next is: %(next)s."),
        "nothing_ahead": _("No visit is ahead: every station of the route is done."),
        "not_here": _("The housing is not at %(station)s now."),
        "work_not_recorded": _("The work of %(station)s is not recorded as done."),
        "visits_ahead": _("Not done yet: %(stations)s."),
        "route_refused": _("%(why)s"),
    },
)
register(
    422,
    {
        "serial_wrong": _("%(serial)s is no serial of ours: %(why)s"),
        "spec_does_not_fit": _("%(why)s"),
        "route_unknown": _("There is no published route %(name)s."),
        "order_known": _(
            "The customer %(customer)s has an order with the reference %(reference)s already: %(number)s."
        ),
        "station_unknown": _("There is no station %(station)s."),
        "reason_needed": _("Say why."),
    },
)


def _name(station: str) -> str:
    return STATIONS[station].name


def reasons_of_state(housing: Housing, *, after_sign_off: bool = False) -> list[Reason]:
    """Whether the housing's state lets anything happen to it."""
    if housing.state in {states.SCRAPPED, states.CANCELLED}:
        return [Reason("housing_ended", {"state": states.HOUSING_WORDS[housing.state]})]
    if housing.state == states.SIGNED_OFF and not after_sign_off:
        return [Reason("housing_signed_off")]
    return []


def reasons_of_holds(holds: Sequence[Hold]) -> list[Reason]:
    """One reason for each hold."""
    return [Reason("held", {"why": hold.why, "stamp": hold.placed_by}) for hold in holds]


def reasons_not_to_start(
    housing: Housing, station: str, visits: Sequence[Visit], holds: Sequence[Hold]
) -> list[Reason]:
    """Why work at a station may not begin."""
    after = STATIONS[station].after_sign_off
    reasons = reasons_of_state(housing, after_sign_off=after) + reasons_of_holds(holds)
    if after and housing.state != states.SIGNED_OFF:
        reasons.append(Reason("not_signed_off", {"station": _name(station)}))
    if here := visit_here(visits):
        code = "is_here_already" if here.station == station else "is_elsewhere"
        return [*reasons, Reason(code, {"station": _name(here.station)})]
    following = next_visits(visits)
    if not following:
        reasons.append(Reason("nothing_ahead"))
    elif station not in {visit.station for visit in following}:
        names = str(_(" or ")).join(_name(visit.station) for visit in following)
        reasons.append(Reason("not_next", {"station": _name(station), "next": names}))
    return reasons


def has_work(visit: Visit) -> bool:
    """Whether a visit has work of its own that changes what is measured.

    A coat or a cleaning bends nothing and still changes it. A visit that only measures again has none.
    """
    changes = visit.at.moves_metal or visit.at.kind is StationKind.TREAT
    return changes and visit.kind != Visit.MEASURE


def reasons_not_to_leave(
    housing: Housing,
    visit: Visit,
    holds: Sequence[Hold],
    work_done: Sequence[WorkDone],
    in_use: frozenset[str],
) -> list[Reason]:
    """Why a visit may not end."""
    reasons = reasons_of_state(housing, after_sign_off=visit.at.after_sign_off) + reasons_of_holds(holds)
    if visit.state != states.HERE:
        return [*reasons, Reason("not_here", {"station": visit.at.name})]
    recorded = any(entry.visit_id == visit.pk for entry in work_done)
    if WORK_DONE_RECORDED in in_use and has_work(visit) and not recorded:
        reasons.append(Reason("work_not_recorded", {"station": visit.at.name}))
    return reasons


def reasons_not_to_sign(housing: Housing, visits: Sequence[Visit], holds: Sequence[Hold]) -> list[Reason]:
    """Why nobody may sign for the housing yet, as far as stations and holds go."""
    reasons = reasons_of_state(housing) + reasons_of_holds(holds)
    open_visits = [
        visit
        for visit in visits
        if visit.state in {states.AHEAD, states.HERE} and not visit.at.after_sign_off
    ]
    if open_visits:
        names = ", ".join(visit.at.name for visit in open_visits)
        reasons.append(Reason("visits_ahead", {"stations": names}))
    return reasons
