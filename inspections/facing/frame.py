"""The face in the frame of axis A-B, and a planned face back in the frame of the probe."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from inspections.metrology import Axis, FaceCut

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class AxisFrame:
    """Origin in the middle of A-B, x along it to the right, z as near to the probe's z as that lets it.

    `rows`: shape (3, 3), the unit vectors of x, y, z in the probe's frame.
    """

    origin: FloatArray
    rows: FloatArray

    @classmethod
    def of(cls, axis: Axis) -> AxisFrame:
        """The frame of an axis that does not run along the probe's z.

        Raises
        ------
        ValueError
            The axis runs along the direction in which the face should look.
        """
        along = np.array(axis.direction)
        out = np.array([0.0, 0.0, 1.0]) - along[2] * along
        length = float(np.linalg.norm(out))
        if length < 0.5:
            raise ValueError(
                "A-B runs along z, in which the face looks. Check which way the probe's axes run."
            )
        out /= length
        return cls(np.array(axis.point), np.array([along, np.cross(out, along), out]))

    def seen(self, points: Sequence[Sequence[float]]) -> FloatArray:
        """Points of the probe's frame in this one, shape (n, 3)."""
        return np.asarray((np.array(points, dtype=np.float64) - self.origin) @ self.rows.T)

    def as_it_lies(self, cut: FaceCut) -> FaceCut:
        """The planned face with pitch and yaw against the probe's own frame: as the housing lies now."""
        if cut.pitch is None or cut.yaw is None:
            return cut
        pitch, yaw = math.radians(cut.pitch), math.radians(cut.yaw)
        normal = np.array([math.sin(yaw), -math.sin(pitch) * math.cos(yaw), math.cos(pitch) * math.cos(yaw)])
        x, y, z = normal @ self.rows
        return replace(cut, pitch=math.degrees(math.atan2(-y, z)), yaw=math.degrees(math.asin(x)))
