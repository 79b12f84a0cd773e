"""What measuring says against a step of a housing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.utils.translation import gettext_lazy as _

from housings import states as housing_states
from housings.engineering.stations import STATIONS
from housings.models import Visit
from inspections import states, weld_rules, wording
from inspections.models.nonconformances import REPAIR, REWORK
from inspections.planning.rules import reasons_against_plan
from inspections.planning.terms import ResolvedCharacteristic
from inspections.queries import Measured
from inspections.standing import Standing
from inspections.weld_queries import WeldRecord
from shopqc.refusals import Reason, register
from shopqc.rules import Rule
from shopqc.rules import register as register_rules

GAUGE_NAMED, GAUGE_IN_DATE, GAUGE_SUITS, TEMPERATURE_RECORDED, INDEPENDENT_SIGNER = (
    "gauge_named",
    "gauge_in_date",
    "gauge_suits",
    "temperature_recorded",
    "independent_signer",
)
register_rules(
    Rule(
        GAUGE_NAMED,
        _("Each figure names the gauge it was read from."),
        _("Which gauge each figure was read from was not recorded throughout."),
    ),
    Rule(
        GAUGE_IN_DATE,
        _("A gauge whose check is overdue, or that was withdrawn, is refused."),
        _("Whether each gauge was in date was not enforced."),
    ),
    Rule(
        GAUGE_SUITS,
        _("A gauge is refused for what its kind does not measure, and for figures outside its range."),
        _("Whether each gauge suited what it measured was not enforced."),
    ),
    Rule(
        TEMPERATURE_RECORDED,
        _("Each figure says how warm the part was."),
        _("The temperature of the part was not recorded throughout."),
        from_start=False,
    ),
    Rule(
        INDEPENDENT_SIGNER,
        _("Who signs has neither worked on the housing nor measured it, nor judged its welds."),
        _("That the signer neither worked on the housing nor measured it was not enforced."),
    ),
)
register(
    409,
    {
        "not_measured": _("%(name)s is not measured."),
        "moved_since": _("%(name)s was measured before %(station)s moved it; measure it again."),
        "due_again": _("%(name)s was measured at %(station)s and is due here again."),
        "fails": _("%(name)s fails (%(found)s). Nonconformance %(number)s waits for a decision."),
        "to_be_reworked": _(
            "%(name)s fails (%(found)s) and was to be reworked; measure it again afterwards."
        ),
        "cannot_tell": _(
            "%(name)s cannot be decided with this gauge (%(found)s). Use a better one, or ask the QC lead."
        ),
        "doubted": _(
            "%(name)s was measured with a gauge that was found wrong afterwards: corrected it is %(found)s. "
            "Measure it again."
        ),
        "nonconformance_open": _("Nonconformance %(number)s waits for a decision: %(what)s"),
        "would_be_hidden": _("%(station)s would hide this for good: %(why)s"),
        "signer_not_independent": _(
            "%(stamp)s has worked on this housing or measured it; somebody else has to sign."
        ),
        "measured_here": _("Something was measured or found wrong at %(station)s, so it stays arrived."),
        "nothing_planned": _("This housing has no plan of measuring."),
    },
)


register(
    422,
    {
        "plan_missing": _("There is no published plan of measuring; publish one first."),
        "plan_refused": _("%(why)s"),
    },
)


def reasons_of_plan(
    plan: Sequence[ResolvedCharacteristic], stations: Sequence[str], pointer: str
) -> list[Reason]:
    """Every reason against a resolved plan on a route; ``pointer`` names what it came from."""
    problems = reasons_against_plan(plan, stations)
    return [Reason("plan_refused", {"why": problem.sentence}, pointer) for problem in problems]


def _against(standing: Standing) -> Reason:
    """Why how something stands is not enough."""
    name = standing.characteristic.name
    reading, found = standing.reading, standing.nonconformance
    counted = standing.counted
    value = wording.figure_with_unit(counted, standing.characteristic) if counted else ""
    match standing.state:
        case states.NOT_MEASURED:
            return Reason("not_measured", {"name": name})
        case states.MOVED_SINCE:
            return Reason("moved_since", {"name": name, "station": STATIONS[standing.moved_by or ""].name})
        case states.DUE_AGAIN if reading:
            return Reason("due_again", {"name": name, "station": STATIONS[reading.station].name})
        case states.UNDECIDED:
            return Reason("cannot_tell", {"name": name, "found": value})
        case states.FAILED | states.DOUBTED if found and found.decision is None:
            return Reason("fails", {"name": name, "found": value, "number": found.number})
        case states.DOUBTED if standing.doubt:
            return Reason("doubted", {"name": name, "found": value})
        case states.FAILED:
            return Reason("to_be_reworked", {"name": name, "found": value})
    raise RuntimeError(f"{name} stands well ({standing.state}); nothing is against it.")


def _goes_to_rework(standing: Standing) -> bool:
    decision = standing.nonconformance.decision if standing.nonconformance else None
    return decision is not None and decision.kind in {REWORK, REPAIR}


def reasons_not_to_start(measured: Measured, station: str) -> list[Reason]:
    """What a station would hide for good must stand before it starts."""
    name = STATIONS[station].name
    visited = _stations_visited(measured)
    return [
        Reason("would_be_hidden", {"station": name, "why": _against(standing)})
        for standing in measured.standings.values()
        if standing.characteristic.hidden_by == station
        and not standing.is_enough
        # Where it was due may have been dropped from the route; then nobody measures it.
        and visited & set(standing.characteristic.due_stations)
    ]


def _stations_visited(measured: Measured) -> set[str]:
    """Where the housing was or is going to be."""
    return {visit.station for visit in measured.situation.visits if visit.state != housing_states.DROPPED}


def reasons_not_to_take_back(measured: Measured, visit: Visit) -> list[Reason]:
    """Why an arrival stays: something was measured or found wrong there."""
    recorded = [
        *(reading.visit_id for reading in measured.readings),
        *(found.visit_id for found in measured.nonconformances),
    ]
    if visit.pk in recorded:
        return [Reason("measured_here", {"station": visit.at.name})]
    return []


def reasons_not_to_leave(measured: Measured, visit: Visit) -> list[Reason]:
    """What is due at the visit's station must stand, or be on its way to rework."""
    if visit.state == housing_states.LEFT:
        return []  # it is over; the housings' own rules say so
    reasons = []
    for standing in measured.due_at(visit.station):
        if standing.is_enough:
            continue
        # Sent to rework from here, it may go there; coming back, it is measured again.
        sent_on = _goes_to_rework(standing) and standing.reading and standing.reading.visit_id == visit.pk
        if not (standing.state in {states.FAILED, states.DOUBTED} and sent_on):
            reasons.append(_against(standing))
    # A reading that passes says nothing of a nonconformance that was raised about it by hand.
    due = measured.due_at(visit.station)
    named = {standing.nonconformance for standing in due if not standing.is_enough}
    for found in measured.open_nonconformances:
        if found.visit_id == visit.pk and found not in named:
            reasons.append(Reason("nonconformance_open", {"number": found.number, "what": found.what}))
    return reasons


def reasons_not_to_sign(measured: Measured) -> list[Reason]:
    """Every characteristic the housing was visited for must stand, and nothing may be open."""
    if not measured.characteristics:
        return [Reason("nothing_planned")]
    visited = _stations_visited(measured)
    reasons = [
        _against(standing)
        for standing in measured.standings.values()
        if not standing.is_enough and visited & set(standing.characteristic.due_stations)
    ]
    named = {standing.nonconformance for standing in measured.standings.values() if not standing.is_enough}
    reasons += [
        Reason("nonconformance_open", {"number": found.number, "what": found.what})
        for found in measured.open_nonconformances
        if found not in named
    ]
    return reasons


def reasons_against_signer(
    stamp: str, person: int | None, measured: Measured, in_use: Iterable[str]
) -> list[Reason]:
    """Why this person may not sign: who welded or measured does not judge the same work."""
    if INDEPENDENT_SIGNER in in_use and took_part(person, stamp, measured):
        return [Reason("signer_not_independent", {"stamp": stamp})]
    return []


def took_part(person: int | None, stamp: str, measured: Measured) -> bool:
    """Whether a person has worked on the housing or measured it, also where somebody else typed it in."""
    if any(reading.measured_by == stamp for reading in measured.readings):
        return True
    if weld_rules.took_part(stamp, measured.situation.kept(WeldRecord)):
        return True
    people = {reading.by_person for reading in measured.readings}
    people |= {entry.by_person for entry in measured.situation.moves}
    people |= {entry.welder_id for entry in measured.situation.weld_passes}
    return person is not None and person in people
