"""From raw readings to a verdict: which geometry answers for which kind of characteristic.

The arithmetic stands in `inspections.metrology`; here is only what a stored
reading of each kind looks like and how it is handed over. A change that
gives another value or verdict for the same raw reading needs a new
``ENGINE``, and the old one stays so that stored readings can be recomputed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal

from django.utils.translation import gettext_lazy as _

from inspections import metrology
from inspections.metrology.numbers import exact
from inspections.models.plans import FACE_POINTS, GO_NO_GO, HOLE_CENTER, RUNOUT, SIZE
from inspections.models.readings import FAIL, PASS
from shopqc.refusals import refuse, register

Rule = Literal["simple", "guarded", "guarded_95"]
ENGINE = "1"
INCH_IN_MM = Fraction(254, 10)
GO, NO_GO = "go", "no_go"
MOST_POINTS = 2000
MOST_DIGITS = 40
# In inches, millimeters or degrees: beyond it a key was held down, and figures no longer fit a Decimal.
LARGEST = 10**9

register(422, {"reading_wrong": _("%(name)s: %(why)s")})


@dataclass(frozen=True)
class Asked:
    """What a reading is judged against."""

    kind: str
    unit: str
    lower: str | None
    upper: str | None
    parameters: Mapping[str, Any] = field(default_factory=dict)
    rule: Rule = "simple"
    uncertainty: str = "0"
    setup: Mapping[str, Any] = field(default_factory=dict)
    basis: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Judged:
    """A value as text, its verdict, and what the picture and the certificate say besides."""

    value: str
    verdict: str
    detail: dict[str, Any] = field(default_factory=dict)
    uncertainty: str = ""


def judge(asked: Asked, raw: Mapping[str, Any], engine: str = ENGINE) -> Judged:
    """Judge one raw reading.

    Raises
    ------
    ValueError
        With a sentence: the raw reading is not of this kind, or its geometry cannot be worked out.
    """
    return KINDS[asked.kind](asked, raw)


def judge_or_refuse(asked: Asked, raw: Mapping[str, Any], *, name: str, pointer: str) -> Judged:
    """`judge`, with what is wrong as a refusal of that input."""
    try:
        return judge(asked, as_typed(raw))
    except ValueError as error:
        raise refuse("reading_wrong", pointer, name=name, why=str(error)) from error


def as_typed(raw: Any) -> Any:
    """A raw reading with every number as the text it was typed as, which is how it is kept."""
    match raw:
        case str():
            return raw
        case bool() | None:
            raise ValueError(f"{raw} is no reading.")
        case int() | Decimal():
            return format(raw, "f") if isinstance(raw, Decimal) else str(raw)
        case dict():
            return {str(name): as_typed(value) for name, value in raw.items()}
        case list() | tuple():
            return [as_typed(value) for value in raw]
    raise ValueError(f"{raw} is no reading.")


def in_unit(value: Any, typed_unit: str | None, unit: str) -> Fraction:
    """A typed length in the unit of the characteristic; 1 in = 25.4 mm exactly."""
    typed = exact(value, "The reading")
    if abs(typed) > LARGEST:
        raise ValueError("A number is far too large for a measurement; check what was typed.")
    match (unit if typed_unit is None else typed_unit, unit):
        case (given, wanted) if given == wanted:
            return typed
        case ("mm", "in"):
            return typed / INCH_IN_MM
        case ("in", "mm"):
            return typed * INCH_IN_MM
    raise ValueError(f"{str(typed_unit)[:20]} cannot be turned into {unit}.")


def as_text(value: Fraction) -> str:
    """A value as decimal text: exact if it ends within 15 places, else 12 significant digits."""
    scaled = value * 10**15
    if scaled.denominator == 1:
        # By digits: Decimal would round what has more of them than its context.
        digits = f"{abs(scaled.numerator):016d}"
        return _tidy(f"{'-' if scaled < 0 else ''}{digits[:-15]}.{digits[-15:]}")
    return significant(float(value))


def significant(value: float) -> str:
    """A float as decimal text of 12 significant digits, without an exponent."""
    return _tidy(format(Decimal(format(value, ".11e")), "f"))


def _tidy(text: str) -> str:
    """Decimal text without zeros that say nothing."""
    return text.rstrip("0").rstrip(".") if "." in text else text


def _need(raw: Mapping[str, Any], *names: str, optional: Sequence[str] = ()) -> None:
    missing = [name for name in names if name not in raw]
    unknown = [name for name in raw if name not in {*names, *optional}]
    if missing:
        raise ValueError(f"{', '.join(missing)} is missing.")
    if unknown:
        raise ValueError(f"{', '.join(unknown)} does not belong to a reading of this kind.")


def _decided(asked: Asked, value: Fraction | float) -> str:
    decision = metrology.decide(
        value,
        (asked.lower, asked.upper),
        expanded_uncertainty=0 if asked.rule == "simple" else asked.uncertainty,
        rule=asked.rule,
    )
    return str(decision.verdict)


def _size(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"value": "3.4985", "unit": "in"}``"""
    _need(raw, "value", optional=["unit"])
    value = in_unit(raw["value"], raw.get("unit"), asked.unit)
    # Digits are kept as they were typed: 2.4990 says more than 2.499.
    if len(raw["value"]) > MOST_DIGITS:
        raise ValueError(f"It has {len(raw['value'])} characters; no gauge gives more than {MOST_DIGITS}.")
    text = raw["value"].strip() if raw.get("unit", asked.unit) == asked.unit else as_text(value)
    return Judged(text, _decided(asked, value))


def _go_no_go(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"result": "go"}`` or ``{"result": "no_go"}``: what a plug or a look answers."""
    _need(raw, "result")
    match raw["result"]:
        case "go":
            return Judged(GO, PASS)
        case "no_go":
            return Judged(NO_GO, FAIL)
    raise ValueError("The result is go or no_go.")


def _face_points(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"points": [["x", "y", "z"], …], "unit": "in"}``: minimum zone flatness of a probed face."""
    _need(raw, "points", optional=["unit"])
    points = raw["points"]
    least = int(asked.parameters.get("points_at_least", 4))
    if not isinstance(points, list) or not least <= len(points) <= MOST_POINTS:
        count = len(points) if isinstance(points, list) else 0
        raise ValueError(f"{count} points were given; {least} to {MOST_POINTS} are needed.")
    for number, point in enumerate(points, start=1):
        if not isinstance(point, list) or len(point) != 3:
            raise ValueError(f"Point {number} does not have the three coordinates x, y and z.")
    rows = [[in_unit(c, raw.get("unit"), asked.unit) for c in point] for point in points]
    found = metrology.flatness(rows)
    detail = {
        "touching": [int(index) for index in found.touching],
        "normal": [significant(float(c)) for c in found.normal],
        "points": len(points),
        "certified": found.proof is not None and found.proof.certified,
    }
    text = significant(float(found.deviation))
    return Judged(text, _decided(asked, Fraction(text)), detail)


def _runout(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"readings": ["0", "0.002", …], "unit": "in"}``: full indicator movement of one turn."""
    _need(raw, "readings", optional=["unit"])
    readings = raw["readings"]
    least = int(asked.parameters.get("points_at_least", 4))
    if not isinstance(readings, list) or not least <= len(readings) <= MOST_POINTS:
        count = len(readings) if isinstance(readings, list) else 0
        raise ValueError(f"{count} readings were given; {least} to {MOST_POINTS} are needed.")
    turned = [in_unit(value, raw.get("unit"), asked.unit) for value in readings]
    fim = exact(metrology.circular_runout(turned).fim, "The runout")
    high = max(range(len(turned)), key=lambda index: turned[index])
    return Judged(as_text(fim), _decided(asked, fim), {"readings": len(turned), "highest": high + 1})


def _hole_center(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"x": "…", "y": "…", "unit": "in"}``: true position of one hole from its nominal center."""
    _need(raw, "x", "y", optional=["unit"])
    actual = [in_unit(raw[axis], raw.get("unit"), asked.unit) for axis in ("x", "y")]
    nominal = [exact(asked.parameters[f"nominal_{axis}"], f"The nominal {axis}") for axis in ("x", "y")]
    if asked.upper is None:
        raise ValueError("The plan names no position zone for this hole.")
    found = metrology.hole_position(nominal, actual, asked.upper)
    offsets = [as_text(a - n) for a, n in zip(actual, nominal, strict=True)]
    detail = {"dx": offsets[0], "dy": offsets[1]}
    if asked.rule == "simple":
        # Squares are compared, so a hole exactly on the edge of its zone passes.
        return Judged(significant(float(found.deviation)), PASS if found.passes else FAIL, detail)
    return Judged(significant(float(found.deviation)), _decided(asked, float(found.deviation)), detail)


KINDS: dict[str, Callable[[Asked, Mapping[str, Any]], Judged]] = {
    SIZE: _size,
    GO_NO_GO: _go_no_go,
    FACE_POINTS: _face_points,
    RUNOUT: _runout,
    HOLE_CENTER: _hole_center,
}
