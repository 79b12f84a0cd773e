"""Holes: the position of one, and of a whole pattern."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from inspections import metrology
from inspections.metrology.numbers import exact
from inspections.models.readings import FAIL, PASS
from inspections.verdicts.asked import Asked, Judged
from inspections.verdicts.engine_2 import doubt
from inspections.verdicts.engine_2 import raw as reading
from inspections.verdicts.engine_2.decided import decided
from inspections.verdicts.typed import as_text, need, significant

# The zone is a diameter: twice the distance of the center from its place.
DIAMETER = 2.0


def hole_center(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"x": "…", "y": "…", "unit": "in"}``: true position of one hole from its nominal center."""
    need(raw, "x", "y", optional=["unit"])
    shown = [reading.length(asked, raw, raw[axis]) for axis in ("x", "y")]
    actual = [doubt.true_figure(asked, value) for value in shown]
    nominal = [exact(asked.parameters.get(f"nominal_{axis}", ""), f"The nominal {axis}") for axis in "xy"]
    found = metrology.hole_position(nominal, actual, _zone(asked))
    offsets = [as_text(a - n) for a, n in zip(actual, nominal, strict=True)]
    # Squares are compared, so a hole exactly on the edge of its zone passes.
    return _judged(asked, float(found.deviation), found.passes, {"dx": offsets[0], "dy": offsets[1]})


def hole_pattern(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"holes": [["x", "y"], …], "unit": "in"}``: every hole from its own center, in the plan's order.

    The worst hole decides. How the pattern as a whole is turned and shifted, and what would be left of its
    worst hole if that were put right, is said beside it.
    """
    need(raw, "holes", optional=["unit"])
    centers = asked.parameters.get("centers") or ()
    nominal = [[exact(c, "The nominal center") for c in center] for center in centers]
    if not nominal:
        raise ValueError("The plan names no centers for this pattern.")
    actual = reading.points(asked, raw, "holes", 2, 1)
    if len(actual) != len(nominal):
        raise ValueError(f"{len(actual)} holes were given; the pattern has {len(nominal)}.")
    found = [metrology.hole_position(n, a, _zone(asked)) for n, a in zip(nominal, actual, strict=True)]
    holes = [
        {
            "dx": as_text(a[0] - n[0]),
            "dy": as_text(a[1] - n[1]),
            "deviation": significant(float(one.deviation)),
            "inside": one.passes,
        }
        for n, a, one in zip(nominal, actual, found, strict=True)
    ]
    worst = max(range(len(found)), key=lambda place: found[place].deviation)
    detail = {"holes": holes, "worst": worst + 1, **_as_a_whole(nominal, actual)}
    return _judged(asked, float(found[worst].deviation), all(one.passes for one in found), detail)


def _judged(asked: Asked, deviation: float, passes: bool, detail: dict[str, Any]) -> Judged:
    text = significant(deviation)
    verdict = PASS if passes else FAIL
    return decided(asked, Fraction(text), text, doubt.gauge(asked, DIAMETER), detail, verdict)


def _zone(asked: Asked) -> str:
    if asked.upper is None:
        raise ValueError("The plan names no position zone for this hole.")
    return asked.upper


def _as_a_whole(nominal: reading.Rows, actual: reading.Rows) -> dict[str, Any]:
    """The move that would lay the drawn pattern best over the made one; nothing if no move can be found."""
    try:
        fit = metrology.fit_pattern(nominal, actual)
    except ValueError:
        return {}  # fewer than two holes, or holes that show no direction
    return {
        "rotation": significant(fit.rotation),
        "shift": [significant(part) for part in fit.shift],
        "left_over": significant(2 * fit.worst),
        "certified": fit.proof is not None and fit.proof.certified,
    }
