"""The first engine, kept as it was: stored readings that name it are computed again by it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from inspections import metrology
from inspections.metrology.numbers import exact
from inspections.models.plans import FACE_POINTS, GO_NO_GO, HOLE_CENTER, RUNOUT, SIZE
from inspections.models.readings import FAIL, PASS
from inspections.verdicts.asked import GO, NO_GO, Asked, Judged
from inspections.verdicts.typed import MOST_DIGITS, MOST_POINTS, as_text, in_unit, need, significant


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
    need(raw, "value", optional=["unit"])
    value = in_unit(raw["value"], raw.get("unit"), asked.unit)
    # Digits are kept as they were typed: 2.4990 says more than 2.499.
    if len(raw["value"]) > MOST_DIGITS:
        raise ValueError(f"It has {len(raw['value'])} characters; no gauge gives more than {MOST_DIGITS}.")
    text = raw["value"].strip() if raw.get("unit", asked.unit) == asked.unit else as_text(value)
    return Judged(text, _decided(asked, value))


def _go_no_go(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"result": "go"}`` or ``{"result": "no_go"}``: what a plug or a look answers."""
    need(raw, "result")
    match raw["result"]:
        case "go":
            return Judged(GO, PASS)
        case "no_go":
            return Judged(NO_GO, FAIL)
    raise ValueError("The result is go or no_go.")


def _face_points(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"points": [["x", "y", "z"], …], "unit": "in"}``: minimum zone flatness of a probed face."""
    need(raw, "points", optional=["unit"])
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
    need(raw, "readings", optional=["unit"])
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
    need(raw, "x", "y", optional=["unit"])
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
