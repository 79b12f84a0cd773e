"""What a pretended gauge says: plausible readings for trying the program out, never taken for measured.

The same housing, measuring and limits always give the same figures. Magnitudes are those of a good part
(common practice, no source): well inside the limits, spread over a third of them.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from typing import Any

from inspections.measuring import Measuring
from inspections.models import Characteristic
from inspections.models.plans import (
    DIAMETERS,
    END_ALIGNMENT,
    FACE_POINTS,
    FACE_TO_AXIS,
    HOLE_CENTER,
    HOLE_PATTERN,
    PILOT_TO_AXIS,
    PRESSURE_LOSS,
    RUNOUT,
    SHAFT_CLEARANCE,
    SIZE,
    Due,
)

SPREAD = 0.3
PLACES = {"in": 4, "mm": 3, "psi": 3}
# Where journals and rings of an invented housing are, in inches: x along A-B, y up, z out of the face.
HALF_LENGTH, RING, BORE = 28.0, 4.75, 3.625
INCH_IN_MM = 25.4


def simulated_raws(measuring: Measuring, serial: str) -> dict[str, dict[str, Any]]:
    """The raw reading of each characteristic of a measuring, by code; none for what is looked at."""
    return {code: raw for code, raw in _Run(measuring, serial).raws().items() if raw}


class _Run:
    """One run of the gauge over one measuring; lengths in its unit."""

    def __init__(self, measuring: Measuring, serial: str) -> None:
        self.measuring = measuring
        limits = [(c.code, *_limits(measuring.due(c))) for c in measuring.characteristics]
        self.random = random.Random(f"{serial} {limits}")
        self.scale = INCH_IN_MM if measuring.unit == "mm" else 1.0
        self.unit = {"unit": measuring.unit} if measuring.unit in ("in", "mm") else {}

    def raws(self) -> dict[str, dict[str, Any]]:
        points = self._points()
        made: dict[str, dict[str, Any]] = {}
        for one in self.measuring.characteristics:
            simulate = KINDS.get(one.kind)
            if simulate is not None:
                made[one.code] = {
                    **simulate(self, one, points),
                    **({} if one.kind == PRESSURE_LOSS else self.unit),
                }
        return made

    # --- numbers --------------------------------------------------------------------------------------
    def near(self, middle: float, half: float) -> float:
        """A value not far from the middle of what is allowed."""
        return middle + half * SPREAD * self.random.uniform(-1, 1)

    def text(self, value: float, unit: str = "") -> str:
        """As the gauge shows it."""
        return f"{value:.{PLACES.get(unit or self.measuring.unit, 2)}f}"

    def within(self, one: Characteristic) -> float:
        """A value inside the limits of a characteristic."""
        lower, upper = (None if text is None else float(text) for text in _limits(self.measuring.due(one)))
        if lower is not None and upper is not None:
            return self.near((lower + upper) / 2, (upper - lower) / 2)
        if upper is not None:
            return self.near(upper * 0.55, abs(upper) * 0.5)
        if lower is not None:
            return lower + abs(lower or 1) * self.random.uniform(0.05, 0.2)
        return float(one.parameters.get("nominal", 1))

    def upper(self, one: Characteristic, otherwise: float) -> float:
        text = self.measuring.due(one).upper
        return otherwise if text is None else float(text)

    # --- what is probed -------------------------------------------------------------------------------
    def _points(self) -> dict[str, list[list[str]]]:
        """A face, both journals and the bore in one frame, good to a third of what is allowed."""
        by_quantity = {c.quantity or c.kind: c for c in self.measuring.characteristics}
        distance = by_quantity.get("distance")
        height = self.within(distance) if distance else 2.5 * self.scale
        flatness = by_quantity.get(FACE_POINTS)
        half = self.upper(flatness, 0.004 * self.scale) * 0.3 if flatness else 0.0008 * self.scale
        pilot = by_quantity.get(PILOT_TO_AXIS)
        off = self.upper(pilot, 0.004 * self.scale) * 0.3 if pilot else 0.0
        count = max(self.measuring.least(12), 12)
        turn = self.random.uniform(0, math.tau)
        face = [
            (RING, angle, height + half * math.cos(2 * (angle - turn)) * self.random.uniform(0.8, 1))
            for angle in _angles(count)
        ]
        bore = [(BORE, angle, height - 0.2 * self.scale) for angle in _angles(8)]
        end = HALF_LENGTH * self.scale
        return {
            "face": [self._on_ring(radius, angle, z) for radius, angle, z in face],
            "left": [[self.text(x) for x in (-end, 0, 0)]],
            "right": [[self.text(x) for x in (end, 0, 0)]],
            "bore": [self._on_ring(radius, angle, z, off) for radius, angle, z in bore],
        }

    def _on_ring(self, radius: float, angle: float, z: float, up: float = 0.0) -> list[str]:
        across = radius * self.scale
        return [self.text(v) for v in (across * math.cos(angle), across * math.sin(angle) + up, z)]

    def stations(self) -> list[float]:
        return [share * HALF_LENGTH * self.scale for share in (-1, -0.7, -0.4, 0.4, 0.7, 1)]


def _limits(due: Due) -> tuple[str | None, str | None]:
    return due.lower, due.upper


def _angles(count: int) -> list[float]:
    return [math.tau * number / count for number in range(count)]


Points = Mapping[str, list[list[str]]]


def _size(run: _Run, one: Characteristic, _points: Points) -> dict[str, Any]:
    return {"value": run.text(run.within(one))}


def _face(_run: _Run, _one: Characteristic, points: Points) -> dict[str, Any]:
    return {"points": points["face"]}


def _face_to_axis(_run: _Run, _one: Characteristic, points: Points) -> dict[str, Any]:
    return {name: points[name] for name in ("face", "left", "right")}


def _pilot(_run: _Run, _one: Characteristic, points: Points) -> dict[str, Any]:
    return {name: points[name] for name in ("bore", "left", "right", "face")}


def _runout(run: _Run, one: Characteristic, _points: Points) -> dict[str, Any]:
    """Off center for the most part, as runout mostly is."""
    half = run.upper(one, 0.005 * run.scale) * 0.25
    turn = run.random.uniform(0, math.tau)
    count = max(run.measuring.least(8), 8)
    return {
        "readings": [
            run.text(half * (math.cos(angle - turn) + run.random.uniform(-0.1, 0.1)))
            for angle in _angles(count)
        ]
    }


def _hole(run: _Run, one: Characteristic, _points: Points) -> dict[str, Any]:
    zone = run.upper(one, 0.015 * run.scale)
    center = (float(one.parameters["nominal_x"]), float(one.parameters["nominal_y"]))
    return dict(zip(("x", "y"), _beside(run, center, zone), strict=True))


def _pattern(run: _Run, one: Characteristic, _points: Points) -> dict[str, Any]:
    zone = run.upper(one, 0.015 * run.scale)
    return {"holes": [_beside(run, (float(x), float(y)), zone) for x, y in one.parameters["centers"]]}


def _beside(run: _Run, center: tuple[float, float], zone: float) -> list[str]:
    return [run.text(run.near(value, zone / 2)) for value in center]


def _diameters(run: _Run, one: Characteristic, _points: Points) -> dict[str, Any]:
    middle = run.within(one)
    lower, upper = (float(text) if text else middle for text in _limits(run.measuring.due(one)))
    count = max(run.measuring.least(4), 4)
    return {"values": [run.text(run.near(middle, abs(upper - lower) / 6)) for _number in range(count)]}


def _bar(run: _Run, _one: Characteristic, _points: Points) -> dict[str, Any]:
    up, forward = (math.tan(math.radians(run.random.uniform(-0.02, 0.02))) for _axis in "yx")
    stations = run.stations()
    return {
        "z": [run.text(z) for z in stations],
        "x": [run.text(forward * abs(z)) for z in stations],
        "y": [run.text(up * abs(z)) for z in stations],
    }


def _bores(run: _Run, one: Characteristic, _points: Points) -> dict[str, Any]:
    shaft = float(one.parameters["shaft_diameter"])
    lower = run.measuring.due(one).lower
    room = float(lower) if lower else 0.02 * run.scale
    stations = [share * HALF_LENGTH * run.scale for share in (0.3, 0.6, 0.9)]
    return {
        "z": [run.text(z) for z in stations],
        "x": [run.text(run.near(0, room / 2)) for _z in stations],
        "y": [run.text(run.near(0, room / 2)) for _z in stations],
        "bore": [run.text(shaft + 5 * room) for _z in stations],
    }


def _pressure(run: _Run, one: Characteristic, _points: Points) -> dict[str, Any]:
    loss = run.upper(one, 0.1) * run.random.uniform(0.1, 0.4)
    minutes = float(one.parameters.get("over_minutes", "5"))
    return {
        "minutes": [f"{minutes * share:g}" for share in (0, 0.5, 1)],
        "pressures": [run.text(5.0 - loss * share, "psi") for share in (0, 0.5, 1)],
        "temperatures": ["70", "70", "70"],
        "temperature_unit": "F",
        "unit": "psi",
    }


KINDS: Mapping[str, Callable[[_Run, Characteristic, Points], dict[str, Any]]] = {
    SIZE: _size,
    FACE_POINTS: _face,
    FACE_TO_AXIS: _face_to_axis,
    PILOT_TO_AXIS: _pilot,
    RUNOUT: _runout,
    HOLE_CENTER: _hole,
    HOLE_PATTERN: _pattern,
    DIAMETERS: _diameters,
    END_ALIGNMENT: _bar,
    SHAFT_CLEARANCE: _bores,
    PRESSURE_LOSS: _pressure,
}
