"""The face: its flatness, where it stands against axis A-B, and the pilot bore."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import numpy as np

from inspections import metrology
from inspections.metrology.numbers import exact
from inspections.verdicts.asked import Asked, Judged
from inspections.verdicts.engine_2 import doubt
from inspections.verdicts.engine_2 import raw as reading
from inspections.verdicts.engine_2.decided import computed
from inspections.verdicts.engine_2.temperature import at_20
from inspections.verdicts.typed import need, significant

DISTANCE, PARALLELISM, PITCH = "distance", "parallelism", "pitch"
# A difference of two figures of one gauge carries its error twice, independently.
DIFFERENCE = math.sqrt(2)


def face_points(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"points": [["x", "y", "z"], …], "unit": "in"}``: minimum zone flatness of a probed face."""
    need(raw, "points", optional=["unit"])
    rows = reading.points(asked, raw, "points", 3, int(asked.parameters.get("points_at_least", 4)))
    found = metrology.flatness(rows)
    detail = {
        "touching": [int(index) for index in found.touching],
        "normal": [significant(float(c)) for c in found.normal],
        "points": len(rows),
        "certified": found.proof is not None and found.proof.certified,
    }
    return computed(asked, float(found.deviation), doubt.gauge(asked, DIFFERENCE), detail)


def face_to_axis(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"face": […], "left": […], "right": […], "unit": "in"}``: distance, parallelism or pitch from A-B.

    One point a side is the center of that journal; three and more are points on it. ``second`` is the
    direction in which the face looks at zero pitch, the z of the probe's frame if it is left out. Pitch is
    positive where the carrier's nose points up (x to the right end, y up, z out of the face).
    """
    need(raw, "face", "left", "right", optional=["unit", "second"])
    quantity = asked.parameters.get("quantity", DISTANCE)
    limits = asked
    if quantity == PITCH:
        asked = doubt.in_lengths(asked)
    face = reading.points(asked, raw, "face", 3, max(int(asked.parameters.get("points_at_least", 3)), 3))
    axis = axis_of(asked, raw)
    second = reading.plain({"second": ["0", "0", "1"], **raw}, "second", 3)
    found = metrology.face_to_axis(face, axis, second if quantity == PITCH else None)
    detail = {
        "distance": significant(found.distance),
        "yaw": significant(found.yaw),
        "rise": significant(found.rise),
        "zone": significant(found.parallelism),
        "normal": [significant(c) for c in found.normal],
        "points": len(face),
    }
    along, across = _spans(face, axis, found.normal)
    if quantity == DISTANCE:
        referred = at_20(asked, Fraction(significant(found.distance)))
        return computed(
            asked, float(referred.length), [*doubt.gauge(asked, DIFFERENCE), *referred.parts], detail
        )
    if quantity == PARALLELISM:
        over = float(exact(asked.parameters.get("over", "12"), "The length it is stated over"))
        slope = abs(math.tan(math.radians(found.yaw)))
        times = DIFFERENCE * over / along if along else 0.0
        return computed(asked, slope * over, doubt.gauge(asked, times), {**detail, "over": significant(over)})
    if quantity == PITCH and found.pitch is not None:
        expanded = float(exact(asked.basis.get("gauge_uncertainty") or "0", "The gauge's uncertainty"))
        turned = doubt.half_angle(expanded * DIFFERENCE, across) / doubt.COVERAGE
        parts = [metrology.Contribution(turned, name="gauge")] if turned else []
        # A nose that points up turns the face's normal backward about left to right.
        up = 0.0 - found.pitch
        return computed(limits, up, parts, {**detail, "pitch": significant(up)})
    raise ValueError(f"The plan asks for {quantity} of a face, which is not known.")


def pilot_to_axis(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"bore": […], "left": […], "right": […], "face": […]?}``: how far the bore's axis is from A-B."""
    need(raw, "bore", "left", "right", optional=["unit", "face"])
    bore = reading.points(asked, raw, "bore", 3, 1)
    least = max(int(asked.parameters.get("points_at_least", 3)), 3)
    if 1 < len(bore) < least:
        raise ValueError(f"bore has {len(bore)} points; {least} are needed, or its center as one point.")
    axis = axis_of(asked, raw)
    normal = None
    if raw.get("face"):
        normal = metrology.face_to_axis(reading.points(asked, raw, "face", 3, 3), axis).normal
    if len(bore) == 1:
        return _center_to_axis(asked, bore[0], axis, normal)
    found = metrology.pilot_to_axis(bore, axis, normal)
    detail = {
        "offset": significant(found.offset),
        "station": significant(found.station),
        "radius": significant(found.radius),
        "center": [significant(c) for c in found.center],
    }
    return computed(asked, abs(found.offset), doubt.gauge(asked, DIFFERENCE), detail)


def _center_to_axis(
    asked: Asked, point: list[Fraction], axis: metrology.Axis, normal: tuple[float, ...] | None
) -> Judged:
    """The pilot bore by its center alone: which way the bore runs, only the face can say."""
    if normal is None:
        raise ValueError("The bore's center alone needs points of the face, which say which way it runs.")
    center, along, out = np.array([float(c) for c in point]), np.array(axis.direction), np.array(normal)
    across = np.cross(out, along)
    offset = float((center - np.array(axis.point)) @ across) / float(np.linalg.norm(across))
    detail = {
        "offset": significant(offset),
        "station": significant(float((center - np.array(axis.point)) @ along)),
        "radius": None,
        "center": [significant(float(c)) for c in center],
    }
    return computed(asked, abs(offset), doubt.gauge(asked, DIFFERENCE), detail)


def axis_of(asked: Asked, raw: Mapping[str, Any]) -> metrology.Axis:
    """Axis A-B: through one point a side, or through the circles of the journals' points."""
    left, right = (reading.points(asked, raw, side, 3, 1) for side in ("left", "right"))
    if len(left) == len(right) == 1:
        return metrology.Axis.through(left[0], right[0])
    if min(len(left), len(right)) < 3:
        raise ValueError(
            f"The left journal has {len(left)} points, the right {len(right)}: give three and more on each, "
            "or one center each."
        )
    return metrology.axis_from_journals(left, right)


def _spans(
    face: list[list[Fraction]], axis: metrology.Axis, normal: tuple[float, ...]
) -> tuple[float, float]:
    """How far the face reaches along the axis, and square to it within the face."""
    along = np.array(axis.direction)
    side = np.cross(np.array(normal), along)
    points = np.array([[float(c) for c in point] for point in face])
    return float(np.ptp(points @ along)), float(np.ptp(points @ side))
