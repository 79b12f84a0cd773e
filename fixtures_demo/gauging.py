"""What gauges read of a shape: each raw reading as its instrument gives it, with the noise of a hand.

Nothing here judges: the same shape seen by probe, bar and indicator gives figures that agree, because they
come from one geometry. The magnitudes are those of the trade (common practice, no source).
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fixtures_demo.shape import Face, Point, Shape
from inspections.metrology import Bar, flatness

CLOCK = 12
FACE_RINGS = (3.95, 5.05)
POINTS_ON_A_RING = 12
PROBE_NOISE = 0.00006
BAR_STATIONS = (-0.45, -0.41, -0.36, -0.31, 0.31, 0.36, 0.41, 0.45)
BORE_STATIONS = (0.14, 0.22, 0.30, 0.38, 0.46)
TUBE_STATION = 0.17
MINUTES = range(0, 21, 2)
ABSOLUTE_ZERO_F = -459.67


@dataclass(frozen=True)
class Hand:
    """Whoever measures: a source of chance that is the same each time."""

    chance: random.Random

    def shaken(self, value: float, by: float) -> float:
        return value + self.chance.gauss(0, by)


def text(value: float, places: int) -> str:
    """A figure as a display shows it, without a negative zero."""
    rounded = round(value, places)
    return f"{rounded + 0.0 if rounded else 0.0:.{places}f}"


def form(face: Face) -> list[Point]:
    """The points of a face as an exact geometry has them: two rings, form, tilt and distance.

    The form is scaled so that its minimum zone is as wide as `face.flatness` says.
    """
    places = []
    for ring, radius in enumerate(FACE_RINGS):
        for place in range(POINTS_ON_A_RING):
            angle = 2 * math.pi * (place + ring / 2) / POINTS_ON_A_RING
            places.append((radius * math.cos(angle), radius * math.sin(angle)))
    ridge, reach = math.radians(face.turned), FACE_RINGS[-1]
    raw = [
        face.saddle * (math.hypot(x, y) / reach) ** 2 * math.cos(2 * (math.atan2(y, x) - ridge))
        + (1 - face.saddle) * (math.hypot(x, y) / reach) ** 2
        for x, y in places
    ]
    width = float(flatness([(x, y, z) for (x, y), z in zip(places, raw, strict=True)]).deviation)
    middle = sum(raw) / len(raw)
    along, up = face.rise / 12, math.tan(math.radians(face.pitch))
    return [
        (x, y, face.distance + along * x + up * y + (z - middle) / width * face.flatness)
        for (x, y), z in zip(places, raw, strict=True)
    ]


@dataclass(frozen=True)
class Probed:
    """One program of the probe on the mill, its zero in the pilot bore and on A-B: features and points."""

    features: dict[str, list[list[str]]]


def probe(shape: Shape, hand: Hand, centers: Sequence[tuple[str, str]]) -> Probed:
    """Probe face, both journals, pilot bore and, once they are drilled, the holes."""
    below = -shape.pilot

    def row(x: float, y: float, z: float) -> list[str]:
        return [text(hand.shaken(part, PROBE_NOISE), 4) for part in (x, y, z)]

    # The zero lies in the pilot bore's center, so A-B runs as far below it as the bore is above A-B.
    features = {"face": [row(x, y + below, z) for x, y, z in form(shape.face)]}
    for sign, side in ((-1, "left"), (1, "right")):
        radius = shape.ends[side].journal / 2
        turn = [2 * math.pi * place / 8 for place in range(8)]
        features[side] = [
            row(sign * shape.reach, below + radius * math.sin(a), radius * math.cos(a)) for a in turn
        ]
    if shape.holes:
        radius, depth = shape.pilot_bore / 2, shape.face.distance - 0.25
        turn = [2 * math.pi * place / 8 for place in range(8)]
        features["bore"] = [row(radius * math.cos(a), radius * math.sin(a), depth) for a in turn]
        features["holes"] = [
            row(float(x) + dx, float(y) + dy, shape.face.distance)
            for (x, y), (dx, dy) in zip(centers, shape.holes, strict=True)
        ]
    return Probed(features)


def along_the_bar(shape: Shape, bar: Bar, hand: Hand) -> list[list[str]]:
    """Station, forward and upward offset of the bores from a bar that hangs between its supports."""
    stations = [round(part * shape.width, 1) for part in BAR_STATIONS]
    falls = bar.sag(stations)
    rows = []
    for along, fall in zip(stations, falls, strict=True):
        forward, up = shape.center(along)
        # The bar hangs down, so what is level with its supports seems high.
        seen = (forward, up - float(fall))
        rows.append([text(along, 1), *(text(hand.shaken(part, 0.0003), 4) for part in seen)])
    return rows


def runout(center: tuple[float, float], oval: float, step: float, hand: Hand) -> list[str]:
    """One turn of an indicator at the hours of the clock, 12 first: the center off the axis, and an oval.

    `center`: forward and up; 12 o'clock is up, 3 o'clock forward. `step`: what the dial can be read to.
    """
    forward, up = center
    high = hand.chance.uniform(0, math.pi)
    readings = []
    for hour in range(CLOCK):
        angle = 2 * math.pi * hour / CLOCK
        seen = up * math.cos(angle) + forward * math.sin(angle) + oval / 4 * math.cos(2 * (angle - high))
        readings.append(round(seen / step) * step)
    # The dial is set to zero at 12 o'clock.
    places = 4 if step < 0.001 else 3
    return [text(reading - readings[0], places) for reading in readings]


def tube_runout(shape: Shape, side: str, hand: Hand) -> list[str]:
    """The tube under the indicator while the housing turns about A-B."""
    sign = -1 if side == "left" else 1
    return runout(shape.center(sign * TUBE_STATION * shape.width), 0.004, 0.001, hand)


def journal_runout(shape: Shape, side: str, hand: Hand) -> list[str]:
    """The outer end of the journal under the indicator while the housing turns about A-B."""
    end = shape.ends[side]
    angle = math.radians(end.wobble_at)
    return runout((end.wobble * math.sin(angle), end.wobble * math.cos(angle)), 0.0002, 0.0001, hand)


def bores(shape: Shape, side: str, hand: Hand) -> list[list[str]]:
    """Station, forward and upward offset, and diameter of the bore along one end; stations ascend."""
    sign = -1 if side == "left" else 1
    rows = []
    for part in BORE_STATIONS:
        along = sign * part * shape.width
        forward, up = shape.center(along)
        bore = shape.snout_bore if part > 0.35 else shape.tube_bore
        figures = (forward, up, bore + 0.002)
        rows.append([text(along, 1), *(text(hand.shaken(figure, 0.001), 3) for figure in figures)])
    return rows if sign > 0 else rows[::-1]


def diameters(size: float, span: float, count: int, hand: Hand, places: int = 4) -> list[str]:
    """Diameters at several places: spread over `span` about `size`, as the display shows them."""
    spread = np.linspace(-0.5, 0.5, count)
    return [text(hand.shaken(size + span * float(part), span / 20), places) for part in spread]


def differences(size: float, span: float, count: int, master: float, hand: Hand) -> list[str]:
    """The same against a master: how much larger than it, to ten millionths."""
    spread = np.linspace(-0.5, 0.5, count)
    return [text(hand.shaken(size + span * float(part) - master, span / 20), 5) for part in spread]


def pressure_log(shape: Shape, hand: Hand, start: float = 4.0, air: float = 14.7) -> list[list[str]]:
    """Minute, gauge pressure in psi and temperature in °F of a closed housing that loses a little.

    The air inside warms a little, which alone moves the pressure by 0.035 psi/°F (ideal gas).
    """
    warm = hand.chance.uniform(68.5, 70.5)
    drift = hand.chance.uniform(0.005, 0.015)
    rows = []
    for minute in MINUTES:
        temperature = round(warm + drift * minute, 1)
        kelvins = (temperature - ABSOLUTE_ZERO_F) / (warm - ABSOLUTE_ZERO_F)
        left = (start + air - shape.loss * minute / 5) * kelvins - air
        rows.append([str(minute), text(hand.shaken(left, 0.0012), 3), text(temperature, 1)])
    return rows
