"""The build spec: what a customer orders of a housing, read from plain JSON values.

`spec_from` only reads: whether the pieces go together is asked of `fit_rules.reasons_against`.
"""

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal

from .fit_catalogue import DEMO
from .spec_fields import FIELDS, FieldKind, FieldProblem, SpecField, Value, read_value

__all__ = ["FitProblem", "Spec", "SpecErrors", "spec_from"]


@dataclass(frozen=True, slots=True)
class FitProblem:
    """One reason against a build spec.

    `code` is for programs, `field` the field of the spec it is about (its name as given, made printable),
    `facts` are the words of the sentence (all text), `sentence` is for people.
    """

    code: str
    field: str
    facts: Mapping[str, str] = dataclasses.field(hash=False)
    sentence: str


class SpecErrors(ValueError):
    """A mapping that is no build spec; `problems` holds every reason, at least one."""

    def __init__(self, problems: tuple[FitProblem, ...]) -> None:
        super().__init__(" ".join(problem.sentence for problem in problems))
        self.problems = problems


@dataclass(frozen=True, slots=True)
class Spec:
    """A build spec whose fields are each of the right kind. Lengths in inches, angles in degrees.

    Signs: camber is positive where the top of the wheel leans out, toe is positive where its front points in,
    both per side; `center_offset` is positive where the carrier sits right of the middle; `pinion_angle` is
    positive where the carrier nose points up at ride attitude. `bracket_offset` is the distance of the link
    brackets from the carrier's center line. `shaft_body` is the diameter of one shaft's body; the spline's
    is a figure of the shaft's kind.
    """

    tube_od: Decimal
    tube_wall: Decimal
    tube_grade: str
    tube_condition: str
    plate_grade: str
    armor_thickness: Decimal
    snout_size: Decimal
    snout_grade: str
    shaft: str
    shaft_body: Decimal | None
    width: Decimal
    center_offset: Decimal
    camber: Decimal
    toe: Decimal
    links: bool
    bracket_offset: Decimal | None
    pinion_angle: Decimal | None
    vent_side: str
    drain: bool

    @property
    def shaft_diameter(self) -> Decimal | None:
        """The diameter of one shaft that has to pass the bores: the larger of its body and its spline."""
        shaft = DEMO.shaft(self.shaft)
        return None if shaft is None else shaft.largest(self.shaft_body)

    def as_json(self) -> dict[str, str | bool | None]:
        """The spec as plain JSON values, numbers as text, so that `spec_from` gives the same spec again."""
        plain: dict[str, str | bool | None] = {}
        for entry in fields(self):
            value: Value = getattr(self, entry.name)
            plain[entry.name] = format(value, "f") if isinstance(value, Decimal) else value
        return plain


def spec_from(mapping: object) -> Spec:
    """The build spec in a mapping of plain JSON values.

    Numbers may be text ("3.5", "0,250"), whole numbers, `Decimal` or floats (the shortest text is meant).
    Fields that may be left out take the default of `spec_fields.FIELDS`.

    Raises
    ------
    SpecErrors
        With every problem: missing, unknown, of a wrong type, not a number, out of a sensible range.

    >>> try:
    ...     spec_from({"tube_od": "3.5 in", "color": "red"})
    ... except SpecErrors as refused:
    ...     [(problem.field, problem.code) for problem in refused.problems][:3]
    [('color', 'field_unknown'), ('tube_od', 'field_not_a_number'), ('tube_wall', 'field_missing')]
    """
    if not isinstance(mapping, Mapping):
        raise SpecErrors(
            (FitProblem("spec_wrong_type", "", {}, "A build spec is an object with named fields."),)
        )
    problems = [_unknown(str(name)) for name in mapping if name not in FIELDS]
    values: dict[str, Value] = {}
    for name, description in FIELDS.items():
        try:
            values[name] = _value(description, mapping)
        except FieldProblem as problem:
            problems.append(FitProblem(problem.code, name, problem.facts, problem.sentence))
    if problems:
        raise SpecErrors(tuple(problems))
    return Spec(**values)  # type: ignore[arg-type]  # each value was read as its own field's kind


def _value(description: SpecField, mapping: Mapping[object, object]) -> Value:
    given = mapping.get(description.name)
    if given is not None:
        return read_value(description, given)
    if description.required:
        raise FieldProblem("field_missing", f"{description.label} is missing.", {"label": description.label})
    return description.default


def _unknown(name: str) -> FitProblem:
    shown = ascii(name)[1:-1][:40]
    return FitProblem(
        "field_unknown", shown, {"name": shown}, f"A build spec has no field “{shown}”; check its spelling."
    )


assert [entry.name for entry in fields(Spec)] == list(FIELDS), "Spec and its described fields differ"
assert set(FieldKind) == {description.kind for description in FIELDS.values()}
