"""A raw reading of each kind that passes: what a good part gives."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from inspections.models import Characteristic, plans
from inspections.models.plans import Due

REACH = 30
JOURNALS = {"left": [[f"-{REACH}", "0", "0"]], "right": [[str(REACH), "0", "0"]]}
HEIGHT = "2.5"


def passing(characteristic: Characteristic, station: str) -> dict[str, Any]:
    """A raw reading that passes at a station."""
    due = characteristic.due_at(station)
    assert due is not None, f"{characteristic} is not due at {station}"
    make = KINDS.get(characteristic.kind)
    assert make is not None, f"No passing reading is known for {characteristic.kind}."
    return make(characteristic, due)


def middle(lower: str | None, upper: str | None) -> str:
    """A size between two limits."""
    if lower is None or upper is None:
        return lower or upper or "1"
    return str((Decimal(lower) + Decimal(upper)) / 2)


def ring(radius: float, z: str, count: int = 12) -> list[list[str]]:
    """Points round the middle, at one height."""
    turns = (2 * math.pi * place / count for place in range(count))
    return [[f"{radius * math.cos(a):.4f}", f"{radius * math.sin(a):.4f}", z] for a in turns]


def _size(_one: Characteristic, due: Due) -> dict[str, Any]:
    return {"value": middle(due.lower, due.upper)}


def _face_to_axis(one: Characteristic, due: Due) -> dict[str, Any]:
    height = middle(due.lower, due.upper) if one.quantity == "distance" else HEIGHT
    return {"face": ring(4.75, height), **JOURNALS}


def _pilot(_one: Characteristic, _due: Due) -> dict[str, Any]:
    return {"bore": ring(3.625, HEIGHT, 8), **JOURNALS}


def _pointing(one: Characteristic, due: Due) -> dict[str, Any]:
    """Both ends point where they should: 12 in further out, so much off the bar."""
    off = 12 * math.tan(math.radians(float(middle(due.lower, due.upper))))
    flat = ["0", "0", "0", "0"]
    bent = [f"{off:.6f}", "0", "0", f"{off:.6f}"]
    is_camber = one.quantity.startswith("camber")
    lifted = [f"{-off:.6f}", "0", "0", f"{-off:.6f}"]
    return {
        "z": ["-28", "-16", "16", "28"],
        "x": flat if is_camber else bent,
        "y": lifted if is_camber else flat,
    }


def _bores(one: Characteristic, due: Due) -> dict[str, Any]:
    bore = str(Decimal(one.parameters["shaft_diameter"]) + 4 * Decimal(due.lower or "0.02"))
    return {"z": ["4", "16", "28"], "x": ["0"] * 3, "y": ["0"] * 3, "bore": [bore] * 3}


KINDS: Mapping[str, Callable[[Characteristic, Due], dict[str, Any]]] = {
    plans.SIZE: _size,
    plans.GO_NO_GO: lambda one, due: {"result": "go"},
    plans.FACE_POINTS: lambda one, due: {
        "points": [[str(x), str(y), f"0.00{(x * y) % 2}"] for x in range(4) for y in range(4)]
    },
    plans.RUNOUT: lambda one, due: {"readings": ["0", "0.001", "0.002", "0.001"] * 3},
    plans.HOLE_CENTER: lambda one, due: {axis: one.parameters[f"nominal_{axis}"] for axis in ("x", "y")},
    plans.DIAMETERS: lambda one, due: {"values": [middle(due.lower, due.upper)] * 4},
    plans.FACE_TO_AXIS: _face_to_axis,
    plans.PILOT_TO_AXIS: _pilot,
    plans.HOLE_PATTERN: lambda one, due: {"holes": [list(center) for center in one.parameters["centers"]]},
    plans.END_ALIGNMENT: _pointing,
    plans.SHAFT_CLEARANCE: _bores,
    plans.THREAD_GAUGE: lambda one, due: {"go": "yes", "no_go_turns": "1.5"},
    plans.TAPER_TURNS: lambda one, due: {"turns": "0.5"},
    plans.PRESSURE_LOSS: lambda one, due: {
        "minutes": ["0", "5"],
        "pressures": ["4.00", "3.98"],
        "temperatures": ["70", "70"],
        "temperature_unit": "F",
        "unit": "psi",
    },
}
