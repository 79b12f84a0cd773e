"""How far a figure can be trusted: what its gauge, its temperature and its set-up leave in doubt.

Everything is put together as independent contributions (`inspections.metrology.combine`) and stated expanded
with k = 2, in the unit of the characteristic. A budget names each: ``uncertainty`` is what it comes to alone,
expanded, ``share`` its part of the variance.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from inspections import metrology
from inspections.metrology.numbers import exact
from inspections.verdicts.asked import Asked
from inspections.verdicts.typed import INCH_IN_MM, as_text, tidy

COVERAGE = 2
# An uncertainty is never known better; and below a femto-unit there is nothing to be stated.
DIGITS, SMALLEST = 6, 1e-15


def gauge(asked: Asked, times: float = 1.0) -> list[metrology.Contribution]:
    """The gauge itself; ``times``: how much of its error gets into the figure."""
    expanded = exact(_of(asked, "gauge_uncertainty", asked.uncertainty), "The gauge's uncertainty")
    if expanded == 0:
        return []
    return [metrology.Contribution(float(expanded) / COVERAGE * times, name="gauge")]


def within(half_width: float, name: str) -> list[metrology.Contribution]:
    """Something that is anywhere within a range, each place as likely."""
    return [metrology.Contribution.rectangular(half_width, name=name)] if half_width else []


def expanded(parts: Sequence[metrology.Contribution]) -> tuple[str, list[dict[str, Any]]]:
    """The expanded uncertainty as text, and what makes it up."""
    if not parts:
        return "0", []
    total = metrology.combine(parts)
    budget = [
        {
            "name": part.name,
            "uncertainty": _stated(COVERAGE * float(exact(part.standard_uncertainty, part.name))),
            "share": tidy(f"{share:.4f}"),
        }
        for part, share in zip(parts, total.shares, strict=True)
    ]
    return _stated(COVERAGE * total.standard_uncertainty), budget


def _stated(uncertainty: float) -> str:
    if uncertainty < SMALLEST:
        return "0"
    return tidy(format(Decimal(format(uncertainty, f".{DIGITS - 1}e")), "f"))


def in_lengths(asked: Asked) -> Asked:
    """What is asked of an angle, as the lengths in inches that it is made of.

    Figures of a gauge cannot be in degrees there; they are in the gauge's own unit, and are turned.
    """
    basis = dict(asked.basis)
    if basis.get("gauge_unit") == "mm":
        for name in ("gauge_uncertainty", "offset"):
            basis[name] = as_text(exact(_of(asked, name), name) / INCH_IN_MM)
    return dataclasses.replace(asked, unit="in", basis=basis)


def true_figure(asked: Asked, shown: Fraction) -> Fraction:
    """What a gauge should have shown; it shows true × (1 + scale) + offset."""
    offset = exact(_of(asked, "offset"), "The gauge's error")
    scale = exact(_of(asked, "scale"), "The gauge's error of scale")
    if scale <= -1:
        raise ValueError("A gauge that is wrong by all it shows has measured nothing.")
    return (shown - offset) / (1 + scale)


def half_angle(expanded_length: float, reach: float) -> float:
    """Degrees by which a line turns that is off by a length at its far end."""
    return math.degrees(math.atan2(expanded_length, reach)) if reach else 0.0


def _of(asked: Asked, name: str, otherwise: str = "0") -> str:
    value = asked.basis.get(name)
    return otherwise if value is None else str(value)
