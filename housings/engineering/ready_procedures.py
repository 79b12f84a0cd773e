"""Example procedures to begin with: one for every kind of joint and every steel of the fit catalogue.

Their figures are invented (those of the snouts follow common practice: TIG, 150 to 200 A, 12 to 13 V, 3 to
4 in/min, which is 27 to 52 kJ/in of arc energy; 4130 to 4130 not below 250 °F and not above 400 °F, a harder
snout hotter). Nothing here is qualified: a shop replaces each by its own qualified procedure.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from .joints import JointKind

__all__ = ["READY_PROCEDURES", "ReadyProcedure"]


@dataclass(frozen=True, slots=True)
class ReadyProcedure:
    """An example with a sentence that says what it is; `data` as `procedures.procedure_from` reads it."""

    name: str
    what: str
    data: Mapping[str, Any]


def _range(least: str, most: str, unit: str = "") -> dict[str, str]:
    said = {"least": least, "most": most, "unit": unit}
    return {name: text for name, text in said.items() if text}


_NOT_QUALIFIED = "none: an invented example, not qualified"
_TUBES = {"thickness": _range("0.250", "0.500"), "diameter": _range("3.5", "4")}
_TIG: Mapping[str, Any] = {
    "qualified_by": _NOT_QUALIFIED,
    "process": "141",
    "fillers": ["ER80S-D2"],
    "gas": "ISO 14175 - I1 - Ar",
    "positions": ["PA", "PB", "PC", "PH"],
    "volts": _range("12", "13"),
    "amps": _range("150", "200"),
    "travel": _range("3", "4", "in/min"),
    "heat_input": _range("27", "52", "kJ/in"),
    "heat_basis": "arc",
    "temperature_unit": "F",
    "hydrogen_ml": "3",
}
_MAG: Mapping[str, Any] = {
    "qualified_by": _NOT_QUALIFIED,
    "process": "135",
    "fillers": ["ER80S-D2"],
    "gas": "ISO 14175 - M21 - ArC - 18",
    "purge": "",
    "positions": ["PA", "PB", "PC", "PF"],
    "volts": _range("22", "27"),
    "amps": _range("170", "240"),
    "travel": _range("10", "16", "in/min"),
    "heat_input": _range("14", "39", "kJ/in"),
    "heat_basis": "arc",
    "temperature_unit": "F",
    "measured_at": "beside",
    "hydrogen_ml": "5",
    "cold_below": "100",
    "level": "C",
}
_WARM: Mapping[str, Any] = {
    "preheat_least": "250",
    "interpass_greatest": "400",
    "waiting_hours": "16",
    "slow_cooling": "Out of any draft, under a ceramic blanket, until it can be touched.",
}
_HOT: Mapping[str, Any] = {
    "preheat_least": "400",
    "interpass_greatest": "600",
    "waiting_hours": "48",
    "slow_cooling": "Back to 600 °F for half an hour after the last pass, then under a ceramic blanket.",
}
_V_GROOVE = {
    "gap": _range("0.0625", "0.125"),
    "land": _range("0.03125", "0.09375"),
    "mismatch": _range("", "0.03125"),
    "bevel": _range("27.5", "32.5"),
}
_PLATE = {"grades_a": ["4130", "A656-80"], "grades_b": ["4130", "A656-80"]}
_SNOUTS = (("4130", _WARM), ("4140", _HOT))
_WALLS = (("0.250", "3", "5"), ("0.375", "5", "7"), ("0.500", "7", "10"))


def _snout(steel: str, heat: Mapping[str, Any], wall: str, least: str, most: str) -> ReadyProcedure:
    return ReadyProcedure(
        f"snout-{steel}-{wall[2:]}",
        f"Snout of {steel} to tube of 4130, V groove through {wall} in of wall.",
        {
            **_TIG,
            **heat,
            "title": f"Snout of {steel} to tube, wall {wall} in",
            "kinds": [str(JointKind.SNOUT)],
            "grades_a": ["4130"],
            "grades_b": [steel],
            "thickness": _range(wall, wall),
            "diameter": _range("3.5", "4"),
            "purge": "ISO 14175 - I1 - Ar",
            "measured_at": "stop",
            "passes": _range(least, most),
            "fit_up": _V_GROOVE,
            "looks_after": [1],
            "cold_below": "100",
            "level": "B",
        },
    )


def _rosette(steel: str, heat: Mapping[str, Any]) -> ReadyProcedure:
    return ReadyProcedure(
        f"rosette-{steel}",
        f"Chamfered rosettes that hold a snout of {steel} in its tube.",
        {
            **_TIG,
            **heat,
            **_TUBES,
            "title": f"Rosettes, snout of {steel}",
            "kinds": [str(JointKind.ROSETTE)],
            "grades_a": ["4130"],
            "grades_b": [steel],
            "purge": "",
            "measured_at": "beside",
            "cold_below": "100",
            "level": "B",
        },
    )


def _repair(steel: str, heat: Mapping[str, Any]) -> ReadyProcedure:
    return ReadyProcedure(
        f"repair-snout-{steel}",
        f"Repair of a snout weld or a rosette, snout of {steel}.",
        {
            **_TIG,
            **heat,
            **_TUBES,
            "title": f"Repair at a snout of {steel}",
            "kinds": [str(JointKind.SNOUT), str(JointKind.ROSETTE)],
            "grades_a": ["4130"],
            "grades_b": [steel],
            "purge": "ISO 14175 - I1 - Ar",
            "measured_at": "stop",
            "passes": _range("1", "10"),
            "cold_below": "100",
            "level": "B",
            "for_repair": True,
        },
    )


_READY = (
    ReadyProcedure(
        "plate-seams",
        "Seams, ribs and gussets of the center section, washers of the link tabs.",
        {
            **_MAG,
            **_PLATE,
            "title": "Plate to plate: seams, ribs, washers",
            "kinds": [str(JointKind.SEAM), str(JointKind.RIB), str(JointKind.WASHER)],
            "preheat_least": "150",
            "interpass_greatest": "400",
        },
    ),
    ReadyProcedure(
        "tube-to-plate",
        "Truss, brackets and link tabs on the tubes.",
        {
            **_MAG,
            **_TUBES,
            "title": "Tube to plate: truss, brackets",
            "kinds": [str(JointKind.TRUSS), str(JointKind.BRACKET)],
            "grades_a": ["4130"],
            "grades_b": ["4130", "A656-80"],
            "preheat_least": "150",
            "interpass_greatest": "400",
        },
    ),
    *(_snout(steel, heat, *wall) for steel, heat in _SNOUTS for wall in _WALLS),
    *(_rosette(steel, heat) for steel, heat in _SNOUTS),
    ReadyProcedure(
        "armor",
        "Armor plates after the machining, in short runs so that the face stays flat.",
        {
            **_MAG,
            **_PLATE,
            "title": "Armor plates",
            "kinds": [str(JointKind.ARMOR)],
            "thickness": _range("0.1875", "0.250"),
            "preheat_least": "70",
            "interpass_greatest": "250",
        },
    ),
    ReadyProcedure(
        "fittings",
        "Fill and drain bungs, vent fitting.",
        {
            **_TIG,
            **_PLATE,
            "title": "Bungs and fittings",
            "kinds": [str(JointKind.FITTING)],
            "purge": "",
            "amps": _range("90", "160"),
            "volts": _range("11", "13"),
            "heat_input": _range("14", "42", "kJ/in"),
            "preheat_least": "70",
            "interpass_greatest": "300",
            "measured_at": "beside",
            "cold_below": "100",
            "level": "C",
        },
    ),
    *(_repair(steel, heat) for steel, heat in _SNOUTS),
    ReadyProcedure(
        "repair-plate",
        "Repair of seams, ribs, truss, brackets, washers, armor and fittings.",
        {
            **_TIG,
            **_PLATE,
            "title": "Repair at plate",
            "kinds": [str(kind) for kind in JointKind if kind not in (JointKind.SNOUT, JointKind.ROSETTE)],
            "purge": "",
            "amps": _range("90", "200"),
            "volts": _range("11", "13"),
            "heat_input": _range("14", "52", "kJ/in"),
            "preheat_least": "150",
            "interpass_greatest": "400",
            "measured_at": "beside",
            "waiting_hours": "16",
            "cold_below": "100",
            "level": "C",
            "for_repair": True,
        },
    ),
)

READY_PROCEDURES = MappingProxyType({entry.name: entry for entry in _READY})
"""Every example by its name (read only)."""
