"""How a snout joint warms and cools in the invented shop: what its pretended thermometer shows.

A bar heated in its middle: tube on one side, the thicker snout on the other, each cut into rings of 5 mm that
pass heat on and lose it to the air by convection and radiation. The weld goes round, so where it stopped is
hotter than its ring for a few minutes. It is made apart from the forecast (`housings.engineering.cooling`),
so that the demo does not show the forecast its own picture.

Magnitudes (common practice, no source, or textbook figures): 42 W/m K and 480 to 650 J/kg K of a low-alloy
steel, emissivity 0.8, 8 W/m² K of still air, 15 % more for the bore; three fifths of a TIG arc's energy reach
the work, and a minute after the arc the stop point is 20 °C above its ring.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

RING, STEP = 0.005, 0.5
"""Length of a ring in m, and of a step in s."""
CONDUCTIVITY, DENSITY = 42.0, 7850.0
EMISSIVITY, RADIATION, STILL_AIR, BORE = 0.8, 5.67e-8, 8.0, 1.15
ARC_EFFICIENCY = 0.6
TUBE, SNOUT, SNOUT_WALLS = 0.60, 0.25, 1.5
"""Lengths of both pieces in m, and how many walls of the tube the snout is thick."""
HOT_SPOT, HOT_SPOT_MINUTES = 48.0, 1.15
TORCH = 0.10
"""How far to each side a torch warms a joint before its root, m."""
INCH = 0.0254


@dataclass
class CoolingJoint:
    """One snout joint; diameter and wall in inches, temperatures in °C, times in minutes."""

    diameter: float
    wall: float
    air: float = 20.0
    minutes: float = 0.0
    stopped: float | None = None
    rings: NDArray[np.float64] = field(init=False)

    def __post_init__(self) -> None:
        tube, snout = round(TUBE / RING), round(SNOUT / RING)
        walls = np.concatenate([np.full(tube, 1.0), np.full(snout, SNOUT_WALLS)]) * self.wall * INCH
        outside = self.diameter * INCH
        self.weld = tube
        self.area = math.pi * walls * (outside - walls)
        self.around = math.pi * outside
        self.rings = np.full(tube + snout, self.air)

    def preheat(self, temperature: float) -> None:
        """Warm the joint with a torch, evenly round."""
        away = (np.arange(len(self.rings)) - self.weld) * RING
        self.rings = np.maximum(
            self.rings, self.air + (temperature - self.air) * np.exp(-((away / TORCH) ** 4))
        )

    def arc(self, minutes: float, energy: float) -> None:
        """One pass round the joint; ``energy``: what the arc gives, kJ per inch of weld."""
        per_second = ARC_EFFICIENCY * energy * 1000 * math.pi * (self.diameter - self.wall) / (60 * minutes)
        self._go(minutes, per_second)
        self.stopped = self.minutes

    def cool(self, until: float) -> None:
        """Let it stand until a moment."""
        self._go(until - self.minutes, 0.0)

    def at_stop(self) -> float:
        """How hot it is where the last pass stopped; before the first, at the groove."""
        ring = float(self.rings[self.weld])
        if self.stopped is None:
            return ring
        return ring + HOT_SPOT * math.exp(-(self.minutes - self.stopped) / HOT_SPOT_MINUTES)

    def _go(self, minutes: float, per_second: float) -> None:
        between = CONDUCTIVITY * np.minimum(self.area[1:], self.area[:-1]) / RING
        for _ in range(round(minutes * 60 / STEP)):
            heat = np.zeros_like(self.rings)
            flow = between * (self.rings[:-1] - self.rings[1:])
            heat[:-1] -= flow
            heat[1:] += flow
            heat -= self._loss() * self.around * RING
            heat[self.weld] += per_second
            capacity = DENSITY * self.area * RING * (480 + 0.45 * (self.rings - 20))
            self.rings = self.rings + STEP * heat / capacity
        self.minutes += minutes

    def _loss(self) -> NDArray[np.float64]:
        """What the joint gives off, W per m² of its outside."""
        warm, air = self.rings + 273.15, self.air + 273.15
        return BORE * (STILL_AIR * (warm - air) + EMISSIVITY * RADIATION * (warm**4 - air**4))
