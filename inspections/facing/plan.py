"""The cut that saves a probed face, with what it leaves."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspections.facing.frame import AxisFrame, FloatArray
from inspections.metrology import Axis, FaceCut, axis_from_journals, face_cut, shims

Points = Sequence[Sequence[float]]
Limits = tuple[str | None, str | None]


@dataclass(frozen=True)
class Asked:
    """What the plan asks of the face where it is cut. Lengths in inches, angles in degrees.

    `parallelism` over `over`: how much farther out one end may be. `pitch`: None where nothing on the plan
    says which way is up. `thread`: diameter of the holes' thread, whose engagement is what is left.
    """

    least_thickness: str
    distance: Limits | None
    parallelism: str | None
    over: str
    pitch: Limits | None
    thread: str

    @property
    def yaw(self) -> tuple[float, float]:
        """The parallelism as an angle to A-B, to either side."""
        if self.parallelism is None:
            return (0.0, 0.0)
        angle = math.degrees(math.atan(float(self.parallelism) / float(self.over)))
        return (-angle, angle)


@dataclass(frozen=True)
class Plan:
    """A cut, or why there is none.

    `seen`: the face in the frame of A-B, shape (n, 3). `deeper`: how much deeper than planned the cut may go
    until a limit is broken, and `stops` which one, "thickness" or "distance". `engagement`: thread in
    diameters, None without a cut.
    """

    cut: FaceCut
    seen: FloatArray
    frame: AxisFrame
    deeper: float
    stops: str
    engagement: float | None

    @property
    def last_depth(self) -> float | None:
        """The deepest that is safe for the limits, at the deepest place."""
        return None if self.cut.depth is None else self.cut.depth + self.deeper

    def shims(self, jacks: Points) -> tuple[float, ...]:
        """Shim at each jack, from the housing as it lay when it was probed; the least is zero."""
        return shims(self.frame.as_it_lies(self.cut), jacks).heights


def axis_of(left: Points, right: Points) -> Axis:
    """A-B from points of both journals, or from one center each."""
    if len(left) == len(right) == 1:
        return Axis.through(left[0], right[0])
    return axis_from_journals(left, right)


def plan_of(face: Points, left: Points, right: Points, thickness: str, asked: Asked) -> Plan:
    """The shallowest cut that cleans the face and keeps what is asked.

    Parameters
    ----------
    face, left, right : as probed, inches; the face looks along z
    thickness : of the ring, at its thinnest

    Raises
    ------
    ValueError
        With a sentence: the points make no face or no axis, or the ring has no thickness.
    """
    frame = AxisFrame.of(axis_of(left, right))
    seen = frame.seen(face)
    cut = face_cut(seen.tolist(), thickness, asked.least_thickness, asked.distance, asked.pitch, asked.yaw)
    if cut.distance is None or cut.least_remaining is None:
        return Plan(cut, seen, frame, 0.0, "", None)
    room = {"thickness": cut.least_remaining - float(asked.least_thickness)}
    if asked.distance and asked.distance[0] is not None:
        room["distance"] = cut.distance - float(asked.distance[0])
    stops = min(room, key=lambda name: room[name])
    engagement = cut.least_remaining / float(Decimal(asked.thread))
    return Plan(cut, seen, frame, max(0.0, room[stops]), stops, engagement)
