"""What published arithmetic says beside a procedure, in words; temperatures in the procedure's own unit."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from housings.engineering.cooling_time import CoolingTime
from housings.engineering.preheat import PreheatAdvice
from housings.engineering.procedure_advice import (
    GrooveAt,
    HeatAdvice,
    grooves,
    heat_advice,
    preheat_for,
)
from housings.engineering.procedures import INCH_MM, Procedure
from housings.steel_on_file import RichHeat, richest

MM_IN = float(INCH_MM)
# Pounds per foot in kilograms per meter: 0.45359237 kg over 0.3048 m, both exact.
LB_FT = 0.45359237 / 0.3048


def groove_words(procedure: Procedure) -> list[dict[str, Any]]:
    """Area, passes, filler and shrinkage of the groove at each wall."""
    return [_groove(at) for at in grooves(procedure)]


def _groove(at: GrooveAt) -> dict[str, Any]:
    filled = at.filled
    return {
        "wall": format(at.wall, "f"),
        "angle": f"{float(2 * at.bevel):g}",
        "land": f"{at.land:.3f}",
        "gap": f"{at.gap:.3f}",
        "area": f"{filled.area / MM_IN**2:.3f} in² ({filled.area:.0f} mm²)",
        "passes": filled.passes,
        "filler": f"{filled.filler_kg_m / LB_FT:.2f} lb/ft ({filled.filler_kg_m:.2f} kg/m)",
        "by_area": f"{filled.shrinkage.by_area / MM_IN:.3f}",
        "by_gap": f"{filled.shrinkage.by_gap / MM_IN:.3f}",
    }


def advice_words(procedure: Procedure) -> list[dict[str, Any]]:
    """Carbon equivalents, preheat and cooling time for each pair of steels at each wall."""
    heats = richest((*procedure.grades_a, *procedure.grades_b))
    return [_advice(procedure, advice, heats) for advice in heat_advice(procedure)]


def _advice(procedure: Procedure, advice: HeatAdvice, heats: Mapping[str, RichHeat]) -> dict[str, Any]:
    unit = procedure.temperature_unit
    own = procedure.preheat_least
    return {
        "steels": _("%(one)s to %(other)s") % {"one": advice.grades[0], "other": advice.grades[1]},
        "wall": format(advice.wall, "f"),
        "governs": advice.steel.grade if advice.steel else "",
        "source": advice.steel.source if advice.steel else "",
        "equivalents": _equivalents(advice),
        "net": _net(advice),
        "own": f"{own} °{unit}" if own is not None else "",
        "preheat": _preheat(advice, unit),
        "on_file": _on_file(procedure, advice, heats),
        "cooling": _cooling(advice),
    }


def _on_file(procedure: Procedure, advice: HeatAdvice, heats: Mapping[str, RichHeat]) -> str:
    """The same for the richest heat on file of the two steels, by its mill certificate."""
    # A heat of the milder steel alone would say too little.
    if not ({advice.steel.grade} if advice.steel else set(advice.grades)) <= set(heats):
        return ""
    heat = max((heats[grade] for grade in advice.grades if grade in heats), key=lambda one: one.cet)
    advised = preheat_for(procedure, heat.cet, advice.wall)
    words = _degrees(advised, procedure.temperature_unit) or advised.reason
    facts = {"number": heat.number, "grade": heat.grade, "cet": f"{heat.cet:.2f}", "words": words}
    return _("heat %(number)s of %(grade)s, CET %(cet)s %%: %(words)s") % facts


def _equivalents(advice: HeatAdvice) -> str:
    if advice.steel is None:
        return ""
    return ", ".join(
        f"{formula} {least:.2f}–{most:.2f} %" for formula, (least, most) in advice.steel.equivalents().items()
    )


def _net(advice: HeatAdvice) -> str:
    sides = [f"{side:.2f}" for side in (advice.net_least, advice.net_most) if side is not None]
    return _("%(range)s kJ/mm net") % {"range": _(" to ").join(sides)} if sides else ""


def _preheat(advice: HeatAdvice, unit: str) -> str:
    """From the leanest to the richest steel of the grade; a reason where the method does not reach."""
    if advice.lean is None or advice.rich is None:
        return advice.preheat_reason
    lean, rich = (_degrees(one, unit) for one in (advice.lean, advice.rich))
    if lean and rich:
        said = _("%(lean)s for the leanest steel of the grade, %(rich)s for the richest.")
        return said % {"lean": lean, "rich": rich}
    if lean:
        said = _("%(lean)s for the leanest steel of the grade. For the richest it does not reach: %(why)s")
        return said % {"lean": lean, "why": advice.rich.reason}
    if rich:
        said = _("%(rich)s for the richest steel of the grade. For the leanest it does not reach: %(why)s")
        return said % {"rich": rich, "why": advice.lean.reason}
    return _("The method does not reach: %(why)s") % {"why": advice.rich.reason}


def _degrees(advice: PreheatAdvice, unit: str) -> str:
    if advice.temperature_c is None:
        return ""
    if advice.temperature_c <= 20:
        return _("none above shop temperature")
    value = advice.temperature_c * 9 / 5 + 32 if unit == "F" else advice.temperature_c
    return f"{Decimal(value):.0f} °{unit}"


def _cooling(advice: HeatAdvice) -> str:
    if advice.quickest is None or advice.slowest is None:
        return advice.cooling_reason
    facts = {"quick": _seconds(advice.quickest), "slow": _seconds(advice.slowest)}
    return _("from %(quick)s to %(slow)s") % facts


def _seconds(time: CoolingTime) -> str:
    flow = _("thick: heat flows off all round") if time.regime == "thick" else _("thin: heat flows along")
    return f"{time.seconds:.0f} s ({flow})"
