"""What is asked of each kind, and a raw reading of it that passes: the part is the same in all of them."""

from __future__ import annotations

from typing import Any

from inspections.models import plans
from inspections.verdicts import Asked, Judged, as_typed, judge

FACE = [
    [x, y, z]
    for x, y, z in (
        ("4", "0", "2.5004"),
        ("3", "3", "2.5000"),
        ("0", "4", "2.5005"),
        ("-3", "3", "2.5001"),
        ("-4", "0", "2.5006"),
        ("-3", "-3", "2.5002"),
        ("0", "-4", "2.5003"),
        ("3", "-3", "2.5001"),
    )
]
BORE = [["3.6", "0.001", "2.3"], ["0", "3.601", "2.3"], ["-3.6", "0.001", "2.3"], ["0", "-3.599", "2.3"]]
LEFT, RIGHT = [["-30", "0", "0"]], [["30", "0", "0"]]
CENTERS = [["4", "0"], ["0", "4"], ["-4", "0"], ["0", "-4"]]

RAWS: dict[str, dict[str, Any]] = {
    plans.SIZE: {"value": "2.4993"},
    plans.GO_NO_GO: {"result": "go"},
    plans.FACE_POINTS: {"points": FACE},
    plans.RUNOUT: {"readings": ["0", "0.001", "0.002", "0.001"]},
    plans.HOLE_CENTER: {"x": "4.003", "y": "0.004"},
    plans.DIAMETERS: {"values": ["2.4992", "2.4993"]},
    plans.FACE_TO_AXIS: {"face": FACE, "left": LEFT, "right": RIGHT},
    plans.PILOT_TO_AXIS: {"bore": BORE, "left": LEFT, "right": RIGHT},
    plans.HOLE_PATTERN: {"holes": [["4.003", "0.004"], ["0", "4"], ["-4", "0.001"], ["0", "-4"]]},
    plans.END_ALIGNMENT: {
        "z": ["-30", "-10", "10", "30"],
        "x": ["0", "0", "0", "0.01"],
        "y": ["0.02", "0", "0", "0.02"],
    },
    plans.SHAFT_CLEARANCE: {
        "z": ["4", "16", "28"],
        "x": ["0", "0.003", "0"],
        "y": ["0", "0.004", "0"],
        "bore": ["2", "2", "2"],
    },
    plans.THREAD_GAUGE: {"go": "yes", "no_go_turns": "1.5"},
    plans.TAPER_TURNS: {"turns": "0.5"},
    plans.PRESSURE_LOSS: {
        "minutes": ["0", "5", "10"],
        "pressures": ["5.00", "4.98", "4.95"],
        "temperatures": ["70", "70", "70"],
        "temperature_unit": "F",
        "unit": "psi",
    },
}
PARAMETERS: dict[str, dict[str, Any]] = {
    plans.HOLE_CENTER: {"nominal_x": "4", "nominal_y": "0"},
    plans.FACE_TO_AXIS: {"quantity": "distance"},
    plans.HOLE_PATTERN: {"centers": CENTERS},
    plans.END_ALIGNMENT: {"quantity": "camber_left"},
    plans.SHAFT_CLEARANCE: {"shaft_diameter": "1.75"},
    plans.PRESSURE_LOSS: {"volume": "18", "over_minutes": "5"},
}
UNITS = {
    plans.END_ALIGNMENT: "°",
    plans.PRESSURE_LOSS: "psi",
    plans.TAPER_TURNS: "turns",
    plans.GO_NO_GO: "",
    plans.THREAD_GAUGE: "",
}
LIMITS: dict[str, tuple[str | None, str | None]] = {
    plans.SIZE: ("2.4990", "2.4995"),
    plans.GO_NO_GO: (None, None),
    plans.DIAMETERS: ("2.4990", "2.4995"),
    plans.FACE_TO_AXIS: ("2.495", "2.505"),
    plans.END_ALIGNMENT: ("-0.10", "0.10"),
    plans.SHAFT_CLEARANCE: ("0.020", None),
    plans.THREAD_GAUGE: (None, None),
    plans.TAPER_TURNS: ("-1", "1"),
    plans.PRESSURE_LOSS: (None, "0.1"),
}
OF_LENGTHS = [kind for kind in RAWS if UNITS.get(kind, "in") in ("in", "°")]
FIGURES = [kind for kind in RAWS if kind not in (plans.GO_NO_GO, plans.THREAD_GAUGE)]


def asked_of(kind: str, **changes: Any) -> Asked:
    """What is asked of a kind; ``changes`` are attributes of `Asked`."""
    lower, upper = LIMITS.get(kind, (None, "0.015"))
    return Asked(
        **{
            "kind": kind,
            "unit": UNITS.get(kind, "in"),
            "lower": lower,
            "upper": upper,
            "parameters": PARAMETERS.get(kind, {}),
            **changes,
        }
    )


def judged(kind: str, raw: Any = None, **changes: Any) -> Judged:
    """A raw reading of a kind, or the one that passes, judged."""
    return judge(asked_of(kind, **changes), as_typed(RAWS[kind] if raw is None else raw))
