"""Ways to write a characteristic: a look, a thread, a figure around its nominal, one with absolute limits."""

from collections.abc import Mapping, Sequence

from ..terms import Kind, Nominal, Part, PlannedCharacteristic, PlannedDue, Severity

__all__ = ["ALIGNMENT", "AXIS", "BENDING", "COATED", "FACE", "around", "look", "threads", "within"]

AXIS = "A-B"

# What can move what: heat, force and cutting, before and after facing.
BENDING = ("truss", "brackets", "snouts", "straighten", "stress_relief")
ALIGNMENT = (*BENDING, "armor")
FACE = (*BENDING, "face_and_drill", "armor", "caps_and_fittings")
COATED = ("coat",)


def look(
    code: str,
    name: str,
    part: Part,
    due: Sequence[str],
    movable_by: tuple[str, ...],
    *,
    severity: Severity = Severity.MAJOR,
    hidden_by: str | None = None,
    only_if: str | None = None,
    note: str = "",
) -> PlannedCharacteristic:
    """A look or a plug: yes or no."""
    return PlannedCharacteristic(
        code,
        name,
        Kind.GO_NO_GO,
        part,
        "",
        severity,
        tuple(PlannedDue(station) for station in due),
        movable_by,
        hidden_by=hidden_by,
        only_if=only_if,
        note=note,
    )


def threads(
    code: str,
    name: str,
    part: Part,
    due: Sequence[str],
    movable_by: tuple[str, ...],
    *,
    severity: Severity = Severity.MAJOR,
    note: str = "",
) -> PlannedCharacteristic:
    """A thread by its go and no-go plug."""
    return PlannedCharacteristic(
        code,
        name,
        Kind.THREAD_GAUGE,
        part,
        "",
        severity,
        tuple(PlannedDue(station) for station in due),
        movable_by,
        note=note,
    )


def around(
    code: str,
    name: str,
    part: Part,
    nominal: Nominal,
    tolerance: str,
    due: Sequence[str],
    movable_by: tuple[str, ...],
    *,
    unit: str = "in",
    kind: Kind = Kind.SIZE,
    severity: Severity = Severity.MAJOR,
    measured_from: str | None = None,
    points_at_least: int = 1,
    quantity: str = "",
    taken_with: str = "",
    only_if: str | None = None,
    note: str = "",
) -> PlannedCharacteristic:
    """A figure with the same tolerance to both sides of its nominal, wherever it is due."""
    return PlannedCharacteristic(
        code,
        name,
        kind,
        part,
        unit,
        severity,
        tuple(PlannedDue(station, f"-{tolerance}", tolerance) for station in due),
        movable_by,
        measured_from=measured_from,
        nominal=nominal,
        limits_from_nominal=True,
        points_at_least=points_at_least,
        quantity=quantity,
        taken_with=taken_with,
        only_if=only_if,
        note=note,
    )


def within(
    code: str,
    name: str,
    part: Part,
    due: Sequence[PlannedDue],
    movable_by: tuple[str, ...],
    *,
    unit: str = "in",
    kind: Kind = Kind.SIZE,
    severity: Severity = Severity.MAJOR,
    hidden_by: str | None = None,
    measured_from: str | None = None,
    points_at_least: int = 1,
    quantity: str = "",
    taken_with: str = "",
    constants: Mapping[str, str | Nominal] | None = None,
    only_if: str | None = None,
    note: str = "",
) -> PlannedCharacteristic:
    """Anything with absolute limits."""
    return PlannedCharacteristic(
        code,
        name,
        kind,
        part,
        unit,
        severity,
        tuple(due),
        movable_by,
        hidden_by=hidden_by,
        measured_from=measured_from,
        points_at_least=points_at_least,
        quantity=quantity,
        taken_with=taken_with,
        constants=dict(constants or {}),
        only_if=only_if,
        note=note,
    )
