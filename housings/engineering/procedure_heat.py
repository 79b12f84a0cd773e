"""Heat input of a pass as its procedure means it: exact, from the figures as typed."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from .procedures import TRAVEL_MM_S, Procedure

__all__ = ["EXACT_MM_S", "arc_energy", "as_text", "heat_input_of"]

# A minute does not divide evenly into a decimal: the table's factors are rounded, these are not.
EXACT_MM_S = {unit: Fraction(factor).limit_denominator(10_000) for unit, factor in TRAVEL_MM_S.items()}
"""mm per second of each unit of travel speed, exactly."""


def arc_energy(volts: str | Decimal, amps: str | Decimal, travel: str | Decimal, unit: str) -> Fraction:
    """Energy of the arc, kJ per mm of weld: U I / (1000 v), without an efficiency.

    `unit`: a key of `procedures.TRAVEL_MM_S`. Raises `ValueError` for a figure that is not above zero.

    >>> arc_energy("24", "180", "300", "mm/min")
    Fraction(108, 125)
    """
    figures = [Fraction(volts), Fraction(amps), Fraction(travel)]
    if min(figures) <= 0:
        raise ValueError("Volts, amps and travel are above zero.")
    speed = figures[2] * EXACT_MM_S[unit]
    return figures[0] * figures[1] / (1000 * speed)


def heat_input_of(procedure: Procedure | None, figures: Mapping[str, str]) -> Fraction | None:
    """Heat input of a pass in kJ/mm on the procedure's basis; `None` if volts, amps or travel is not said.

    Without a procedure it is the arc's energy.
    """
    if not all(figures.get(name) for name in ("volts", "amps", "travel")):
        return None
    energy = arc_energy(
        figures["volts"], figures["amps"], figures["travel"], figures.get("travel_unit", "in/min")
    )
    return energy * Fraction(procedure.factor) if procedure else energy


def as_text(heat_input: Fraction) -> str:
    """Kilojoule per mm with four decimals, as it is stored; what is compared is never this text."""
    return format(Decimal(round(heat_input * 10000)) / 10000, ".4f")
