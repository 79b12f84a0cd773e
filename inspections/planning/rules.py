"""What is wrong with a resolved plan on a route, each with its reason."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from housings.engineering.stations import STATIONS

from .terms import Due, Kind, ResolvedCharacteristic

__all__ = ["PlanProblem", "reasons_against_plan"]

_NEEDS_UPPER = (Kind.FACE_POINTS, Kind.RUNOUT, Kind.HOLE_CENTER)


@dataclass(frozen=True, slots=True)
class PlanProblem:
    """One reason against a plan.

    `code` is for programs, `characteristic` the code of the characteristic it is about, `facts` are the
    words of the sentence (all text), `sentence` is for people.
    """

    code: str
    characteristic: str
    facts: Mapping[str, str] = field(hash=False)
    sentence: str


def reasons_against_plan(
    plan: Sequence[ResolvedCharacteristic], stations: Sequence[str]
) -> tuple[PlanProblem, ...]:
    """Every reason why this plan does not measure what this route makes; empty if it does.

    A feature has to be measured after the last station of the route that can move it, before the station
    that hides it, before somebody signs, and from a datum that has been measured by then.

    Parameters
    ----------
    plan : as `resolve` gives it for the same stations
    stations : codes of the route in its order
    """
    place = {code: index for index, code in enumerate(stations)}
    found: list[PlanProblem] = []
    for code, count in Counter(one.code for one in plan).items():
        if count > 1:
            found.append(
                _problem(code, "characteristic_doubled", f"“{code}” stands on the plan {count} times.")
            )
    for one in plan:
        found += _names(one)
        found += _limits(one)
        found += _moved_after_last_due(one, place)
        found += _hidden_too_early(one, place)
        found += _after_sign_off(one)
        found += _datum_too_late(one, plan, place)
    return tuple(found)


def _problem(characteristic: str, code: str, sentence: str, **facts: str) -> PlanProblem:
    return PlanProblem(code, characteristic, facts, sentence)


def _name(station: str) -> str:
    return STATIONS[station].name if station in STATIONS else station


def _names(one: ResolvedCharacteristic) -> Iterator[PlanProblem]:
    named = [*(due.station for due in one.due), *one.movable_by, *([one.hidden_by] if one.hidden_by else [])]
    for station in dict.fromkeys(named):
        if station not in STATIONS:
            yield _problem(
                one.code,
                "station_unknown",
                f"“{one.name}” names the station “{station}”, which the catalogue does not have.",
                station=station,
            )
    for station, count in Counter(due.station for due in one.due).items():
        if count > 1:
            yield _problem(
                one.code,
                "due_doubled",
                f"“{one.name}” is due at “{_name(station)}” {count} times; one of its limits has to go.",
                station=_name(station),
            )
    if not one.due:
        yield _problem(one.code, "due_nowhere", f"“{one.name}” is due at no station.")


def _limits(one: ResolvedCharacteristic) -> Iterator[PlanProblem]:
    for due in one.due:
        reason = _wrong_limits(one.kind, due)
        if reason:
            code, words = reason
            yield _problem(
                one.code,
                code,
                f"“{one.name}” at “{_name(due.station)}”: {words}.",
                station=_name(due.station),
                lower=due.lower or "",
                upper=due.upper or "",
            )


def _wrong_limits(kind: Kind, due: Due) -> tuple[str, str] | None:
    if kind is Kind.GO_NO_GO:
        if due.lower is not None or due.upper is not None:
            return "limits_not_wanted", "a look is yes or no and has no limits"
        return None
    if kind in _NEEDS_UPPER and due.upper is None:
        return "limit_missing", "it needs an upper limit"
    if due.lower is None and due.upper is None:
        return "limit_missing", "it needs a limit, or nothing could ever fail"
    if kind in _NEEDS_UPPER and due.upper is not None and Decimal(due.upper) < 0:
        return "limit_negative", f"the upper limit {due.upper} is below zero, and no reading can be"
    if due.lower is not None and due.upper is not None and Decimal(due.lower) > Decimal(due.upper):
        return "limits_reversed", f"the lower limit {due.lower} is above the upper limit {due.upper}"
    return None


def _moved_after_last_due(one: ResolvedCharacteristic, place: Mapping[str, int]) -> Iterator[PlanProblem]:
    due = [place[entry.station] for entry in one.due if entry.station in place]
    if not due:
        return
    hidden = place.get(one.hidden_by or "", len(place))
    for station in one.movable_by:
        # What hides a feature for good, and what follows, cannot be followed by a measuring any more.
        if station in place and max(due) < place[station] < hidden:
            yield _problem(
                one.code,
                "moved_after_last_due",
                f"“{one.name}” is not measured any more after “{_name(station)}”, which can move it:"
                " let it be due there or at a later station, for example the final inspection.",
                station=_name(station),
            )


def _hidden_too_early(one: ResolvedCharacteristic, place: Mapping[str, int]) -> Iterator[PlanProblem]:
    hidden_by = one.hidden_by
    if hidden_by is None or hidden_by not in place:
        return
    for due in one.due:
        if due.station in place and place[due.station] >= place[hidden_by]:
            yield _problem(
                one.code,
                "hidden_before_due",
                f"“{one.name}” is due at “{_name(due.station)}”, but “{_name(hidden_by)}” has hidden it"
                " by then.",
                station=_name(due.station),
                hidden_by=_name(hidden_by),
            )


def _after_sign_off(one: ResolvedCharacteristic) -> Iterator[PlanProblem]:
    for due in one.due:
        if due.station in STATIONS and STATIONS[due.station].after_sign_off:
            yield _problem(
                one.code,
                "due_after_sign_off",
                f"“{one.name}” is due at “{_name(due.station)}”, which comes after the signature.",
                station=_name(due.station),
            )


def _datum_too_late(
    one: ResolvedCharacteristic, plan: Sequence[ResolvedCharacteristic], place: Mapping[str, int]
) -> Iterator[PlanProblem]:
    if one.measured_from is None or one.is_datum:
        return
    datums = [other for other in plan if other.is_datum]
    if not datums:
        yield _problem(
            one.code,
            "datum_missing",
            f"“{one.name}” is measured from {one.measured_from}, but nothing on the plan is that datum.",
            datum=one.measured_from,
        )
        return
    first = min((place[due.station] for due in one.due if due.station in place), default=None)
    for datum in datums:
        measured = min((place[due.station] for due in datum.due if due.station in place), default=None)
        if first is not None and (measured is None or measured > first):
            yield _problem(
                one.code,
                "datum_too_late",
                f"“{one.name}” is measured from {one.measured_from} before “{datum.name}”, which makes that"
                " datum, has been measured.",
                datum=datum.name,
            )
