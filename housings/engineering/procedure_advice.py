"""What published arithmetic says beside a procedure: its groove, its steels, preheat, cooling time.

Advice only. The procedure with its qualification record decides, and where a method does not reach it says
why and advises nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from .cooling_time import CoolingTime, cooling_time_85
from .groove import Groove, groove
from .preheat import PreheatAdvice, preheat_advice
from .procedures import INCH_MM, TRAVEL_MM_S, Procedure, Range
from .steels import Steel, worse_of

__all__ = [
    "BEAD_MM2",
    "CAP_MM",
    "EFFICIENCY",
    "GrooveAt",
    "HeatAdvice",
    "celsius",
    "grooves",
    "heat_advice",
    "preheat_for",
]

CAP_MM = INCH_MM / 16
"""Height of the cap that is reckoned with, 1/16 in: common practice, no source."""
BEAD_MM2 = Decimal(14)
"""Cross section of one TIG bead, 0.0185 to 0.0265 in² at a snout: common practice, no source."""
EFFICIENCY = {"141": Decimal("0.6"), "135": Decimal("0.8"), "136": Decimal("0.8"), "111": Decimal("0.8")}
"""Thermal efficiency by process (EN 1011-1:2009, table 1), where a procedure's limits mean arc energy."""


@dataclass(frozen=True, slots=True)
class GrooveAt:
    """The groove of a procedure at one wall, inches, with its fit-up in the middle of its limits."""

    wall: Decimal
    bevel: Decimal
    land: Decimal
    gap: Decimal
    filled: Groove


@dataclass(frozen=True, slots=True)
class HeatAdvice:
    """Preheat and cooling time of one pair of steels at one wall.

    `steel` is the worse of the two. `net_least` and `net_most`, kJ/mm, are the heat input after the
    efficiency; ``None`` where the procedure sets no limit. `lean` and `rich` are what EN 1011-2, method B,
    advises for the least and the most that the steel's standard allows; ``None`` and `preheat_reason` where
    something is missing for that. `quickest` and `slowest` are t8/5 from the coldest start with the least
    heat, and from the hottest with the most; ``None`` and `cooling_reason` where something is open.
    """

    grades: tuple[str, str]
    wall: Decimal
    steel: Steel | None
    net_least: Decimal | None
    net_most: Decimal | None
    lean: PreheatAdvice | None
    rich: PreheatAdvice | None
    preheat_reason: str
    quickest: CoolingTime | None
    slowest: CoolingTime | None
    cooling_reason: str


def celsius(value: Decimal, unit: str) -> Decimal:
    """A temperature in °C, exactly.

    >>> celsius(Decimal(212), "F")
    Decimal('100')
    """
    return (value - 32) * 5 / 9 if unit == "F" else value


def walls(procedure: Procedure) -> list[Decimal]:
    """The walls at the ends of a procedure's thickness, inches; one where they are the same."""
    ends = {procedure.thickness.least, procedure.thickness.most} - {None}
    return sorted(end for end in ends if end is not None and end > 0)


def grooves(procedure: Procedure) -> list[GrooveAt]:
    """The V groove at each end of the thickness; none where the procedure names no bevel."""
    bevel = _middle(procedure.fit_up.get("bevel"))
    if not bevel:
        return []
    land, gap = (_middle(procedure.fit_up.get(name)) or Decimal(0) for name in ("land", "gap"))
    return [
        GrooveAt(
            wall,
            bevel,
            land,
            gap,
            groove(wall * INCH_MM, 2 * bevel, land * INCH_MM, gap * INCH_MM, CAP_MM, BEAD_MM2),
        )
        for wall in walls(procedure)
        if land <= wall and bevel < 90
    ]


def heat_advice(procedure: Procedure) -> list[HeatAdvice]:
    """What the methods say for each pair of steels at each end of the thickness."""
    pairs = dict.fromkeys(tuple(sorted((a, b))) for a in procedure.grades_a for b in procedure.grades_b)
    return [_advice(procedure, (a, b), wall) for a, b in pairs for wall in walls(procedure)]


def _advice(procedure: Procedure, grades: tuple[str, str], wall: Decimal) -> HeatAdvice:
    unknown = [grade for grade in grades if worse_of(grade) is None]
    steel = None if unknown else worse_of(*grades)
    net = net_heat_input(procedure)
    lean = rich = None
    reason = ""
    if steel is None:
        reason = (
            f"The composition of {' and '.join(unknown)} is not on file here; its mill certificate says it."
        )
    elif procedure.hydrogen_ml is None or net.least is None:
        reason = _missing(procedure)
    else:
        lean, rich = (preheat_for(procedure, cet, wall) for cet in steel.equivalents()["CET"])
    quickest, slowest, why = _cooling(procedure, net, wall)
    return HeatAdvice(grades, wall, steel, net.least, net.most, lean, rich, reason, quickest, slowest, why)


def preheat_for(procedure: Procedure, cet: float, wall: Decimal) -> PreheatAdvice:
    """What method B advises for one CET, such as that of a mill certificate, at one wall in inches."""
    net = net_heat_input(procedure)
    if procedure.hydrogen_ml is None or net.least is None:
        return PreheatAdvice(None, _missing(procedure))
    return preheat_advice(cet, wall * INCH_MM, procedure.hydrogen_ml, net.least)


def _missing(procedure: Procedure) -> str:
    missing = "hydrogen" if procedure.hydrogen_ml is None else "least heat input"
    return f"The procedure names no {missing}."


def net_heat_input(procedure: Procedure) -> Range:
    """What of the heat input reaches the work, kJ/mm: limits that mean the arc are multiplied by EN 1011-1.

    Without limits of heat input those of volts, amps and travel give it.
    """
    limits = procedure.heat_input_kj_mm
    if procedure.heat_basis == "net" and (limits.least is not None or limits.most is not None):
        return limits
    factor = procedure.efficiency if procedure.heat_basis == "net" else EFFICIENCY[procedure.process]
    least, most = _energies(procedure)
    least = limits.least if limits.least is not None else least
    most = limits.most if limits.most is not None else most
    return Range(None if least is None else least * factor, None if most is None else most * factor)


def _energies(procedure: Procedure) -> Iterator[Decimal | None]:
    """The least and the most arc energy, kJ/mm, that volts, amps and travel allow."""
    volts, amps, travel = procedure.volts, procedure.amps, procedure.travel
    speed = TRAVEL_MM_S.get(travel.unit, Decimal(1))
    for v, a, s in ((volts.least, amps.least, travel.most), (volts.most, amps.most, travel.least)):
        yield None if v is None or a is None or not s else v * a / (1000 * s * speed)


def _cooling(
    procedure: Procedure, net: Range, wall: Decimal
) -> tuple[CoolingTime | None, CoolingTime | None, str]:
    starts = (procedure.preheat_least, procedure.interpass_greatest)
    if None in starts or not net.least or not net.most:
        return None, None, "The procedure leaves preheat, interpass or heat input open."
    cold, hot = (celsius(start, procedure.temperature_unit) for start in starts if start is not None)
    try:
        quickest = cooling_time_85(net.least, wall * INCH_MM, cold)
        slowest = cooling_time_85(net.most, wall * INCH_MM, hot)
    except ValueError as error:
        return None, None, str(error)
    return quickest, slowest, ""


def _middle(limits: Range | None) -> Decimal | None:
    """The middle of a range; its one end where only one is named."""
    if limits is None:
        return None
    ends = [end for end in (limits.least, limits.most) if end is not None]
    return sum(ends, Decimal(0)) / len(ends) if ends else None
