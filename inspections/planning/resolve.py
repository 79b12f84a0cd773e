"""A plan and a build spec make the characteristics of a housing."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from housings.engineering.spec import Spec

from .terms import Due, Kind, Nominal, PlannedCharacteristic, ResolvedCharacteristic

__all__ = ["resolve"]

# Kinds of which a plan says how many points or readings a measuring has at least.
COUNTED = frozenset({Kind.FACE_POINTS, Kind.RUNOUT, Kind.DIAMETERS, Kind.FACE_TO_AXIS, Kind.PILOT_TO_AXIS})


def resolve(
    plan: Sequence[PlannedCharacteristic], spec: Spec, stations: Sequence[str]
) -> tuple[ResolvedCharacteristic, ...]:
    """Every characteristic that this spec has and this route measures, with its figures filled in.

    What the spec does not have (`only_if`) and what no station of the route measures is left out. All sums
    are exact decimals.

    Raises
    ------
    ValueError
        The plan names a field that the spec does not have as a number.
    """
    asked = (
        (one, _due(one, spec, stations)) for one in plan if one.only_if is None or getattr(spec, one.only_if)
    )
    return tuple(
        _resolved(number, one, due, spec)
        for number, (one, due) in enumerate(((one, due) for one, due in asked if due), start=1)
    )


def _resolved(
    number: int, one: PlannedCharacteristic, due: tuple[Due, ...], spec: Spec
) -> ResolvedCharacteristic:
    return ResolvedCharacteristic(
        number=number,
        code=one.code,
        name=one.name,
        kind=one.kind,
        part=one.part,
        unit=one.unit,
        severity=one.severity,
        is_datum=one.is_datum,
        measured_from=one.measured_from,
        parameters=_parameters(one, spec),
        due=due,
        movable_by=one.movable_by,
        hidden_by=one.hidden_by,
        note=one.note,
    )


def _parameters(one: PlannedCharacteristic, spec: Spec) -> dict[str, Any]:
    parameters: dict[str, Any] = {}
    if one.nominal is not None:
        parameters["nominal"] = format(_value(one.code, one.nominal, spec), "f")
    if one.center is not None:
        parameters["nominal_x"], parameters["nominal_y"] = one.center
    if one.centers:
        parameters["centers"] = [list(center) for center in one.centers]
    if one.quantity:
        parameters["quantity"] = one.quantity
    if one.taken_with:
        parameters["taken_with"] = one.taken_with
    for name, value in one.constants.items():
        parameters[name] = format(_value(one.code, value, spec), "f") if isinstance(value, Nominal) else value
    if one.kind in COUNTED:
        parameters["points_at_least"] = one.points_at_least
    return parameters


def _due(one: PlannedCharacteristic, spec: Spec, stations: Sequence[str]) -> tuple[Due, ...]:
    holds = [due for due in one.due if due.without_station not in stations]
    general = {due.station: due for due in holds if due.with_station is None}
    special = {due.station: due for due in holds if due.with_station in stations}
    chosen = general | special
    base = Decimal(0)
    if one.limits_from_nominal:
        base = _value(one.code, one.nominal or Nominal(), spec)
    return tuple(
        Due(station, _limit(base, chosen[station].lower), _limit(base, chosen[station].upper))
        for station in dict.fromkeys(stations)
        if station in chosen
    )


def _limit(base: Decimal, limit: str | None) -> str | None:
    return None if limit is None else format(base + Decimal(limit), "f")


def _value(code: str, nominal: Nominal, spec: Spec) -> Decimal:
    total = Decimal(nominal.plus)
    for term in nominal.terms:
        figure = getattr(spec, term.field, None)
        if not isinstance(figure, Decimal):
            raise ValueError(
                f"“{code}” needs the number “{term.field}”, which this build spec does not have."
            )
        total += figure * Decimal(term.times)
    return total
