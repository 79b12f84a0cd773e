"""What is wrong with a resolved plan on a route, each with its reason."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation

from housings.engineering.stations import STATIONS

from .terms import Due, Kind, ResolvedCharacteristic

__all__ = ["PlanProblem", "reasons_against_plan"]

# Never below zero, and the less the better.
_NEEDS_UPPER = (
    Kind.FACE_POINTS,
    Kind.RUNOUT,
    Kind.HOLE_CENTER,
    Kind.HOLE_PATTERN,
    Kind.PILOT_TO_AXIS,
    Kind.PRESSURE_LOSS,
)
_WITHOUT_LIMITS = (Kind.GO_NO_GO, Kind.THREAD_GAUGE)
_LENGTHS, _ANGLES = ("in", "mm"), ("°",)
_UNITS = {
    Kind.FACE_POINTS: _LENGTHS,
    Kind.RUNOUT: _LENGTHS,
    Kind.HOLE_CENTER: _LENGTHS,
    Kind.DIAMETERS: _LENGTHS,
    Kind.PILOT_TO_AXIS: _LENGTHS,
    Kind.HOLE_PATTERN: _LENGTHS,
    Kind.SHAFT_CLEARANCE: _LENGTHS,
    Kind.END_ALIGNMENT: _ANGLES,
    Kind.PRESSURE_LOSS: ("psi", "kPa"),
}
_QUANTITIES = {
    Kind.FACE_TO_AXIS: ("distance", "parallelism", "pitch"),
    Kind.END_ALIGNMENT: ("camber_left", "toe_left", "camber_right", "toe_right"),
}
_NEEDS = {
    Kind.HOLE_CENTER: ("nominal_x", "nominal_y"),
    Kind.HOLE_PATTERN: ("centers",),
    Kind.SHAFT_CLEARANCE: ("shaft_diameter",),
}
# Figures that a plan may give to a kind; each is above zero.
_ABOVE_ZERO = ("shaft_diameter", "volume", "over", "over_minutes")
# Kinds that one measuring can give together (`PlannedCharacteristic.taken_with`).
_TOGETHER = (
    (Kind.FACE_POINTS, Kind.FACE_TO_AXIS, Kind.PILOT_TO_AXIS, Kind.HOLE_PATTERN),
    (Kind.END_ALIGNMENT,),
    (Kind.SHAFT_CLEARANCE,),
)


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
        found += _figures(one)
        found += _taken_with(one, plan)
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
        reason = _wrong_limits(one, due)
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


def _wrong_limits(one: ResolvedCharacteristic, due: Due) -> tuple[str, str] | None:
    kind = one.kind
    if kind in _WITHOUT_LIMITS:
        if due.lower is not None or due.upper is not None:
            return "limits_not_wanted", "a look or a plug is yes or no and has no limits"
        return None
    needs_upper = kind in _NEEDS_UPPER or one.parameters.get("quantity") == "parallelism"
    if needs_upper and due.upper is None:
        return "limit_missing", "it needs an upper limit"
    if kind is Kind.SHAFT_CLEARANCE and due.lower is None:
        return "limit_missing", "it needs a lower limit"
    if due.lower is None and due.upper is None:
        return "limit_missing", "it needs a limit, or nothing could ever fail"
    if needs_upper and due.upper is not None and Decimal(due.upper) < 0:
        return "limit_negative", f"the upper limit {due.upper} is below zero, and no reading can be"
    if due.lower is not None and due.upper is not None and Decimal(due.lower) > Decimal(due.upper):
        return "limits_reversed", f"the lower limit {due.lower} is above the upper limit {due.upper}"
    return None


def _figures(one: ResolvedCharacteristic) -> Iterator[PlanProblem]:
    """What the geometry of a kind needs besides its limits."""
    parameters = one.parameters
    quantities = _QUANTITIES.get(one.kind, ())
    if quantities and parameters.get("quantity") not in quantities:
        yield _problem(
            one.code,
            "quantity_missing",
            f"“{one.name}” has to say which figure it is: {', '.join(quantities)}.",
            quantities=", ".join(quantities),
        )
    for name in _NEEDS.get(one.kind, ()):
        if not parameters.get(name):
            words = name.replace("_", " ")
            yield _problem(
                one.code, "figure_missing", f"“{one.name}” needs the figure “{words}”.", figure=words
            )
    for name in _ABOVE_ZERO:
        if name in parameters and not _is_above_zero(parameters[name]):
            words = name.replace("_", " ")
            yield _problem(
                one.code,
                "figure_wrong",
                f"“{one.name}”: the figure “{words}” is a number above zero.",
                figure=words,
            )
    units = _ANGLES if parameters.get("quantity") == "pitch" else _UNITS.get(one.kind, ())
    if one.kind is Kind.FACE_TO_AXIS and not units:
        units = _LENGTHS
    if units and one.unit not in units:
        yield _problem(
            one.code,
            "unit_wrong",
            f"“{one.name}” is given in {' or '.join(units)}, not in “{one.unit}”.",
            units=" or ".join(units),
        )


def _is_above_zero(figure: object) -> bool:
    try:
        return Decimal(str(figure)).is_finite() and Decimal(str(figure)) > 0
    except InvalidOperation:
        return False


def _taken_with(one: ResolvedCharacteristic, plan: Sequence[ResolvedCharacteristic]) -> Iterator[PlanProblem]:
    name = one.parameters.get("taken_with")
    if not name:
        return
    family = next((kinds for kinds in _TOGETHER if one.kind in kinds), ())
    for other in plan:
        if other.parameters.get("taken_with") == name and other.kind not in family:
            yield _problem(
                one.code,
                "taken_apart",
                f"“{one.name}” and “{other.name}” are read from one measuring by the plan, and cannot be.",
                other=other.name,
            )
            return


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
