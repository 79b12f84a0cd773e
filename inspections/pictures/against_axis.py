"""The face and the pilot bore as axis A-B sees them: edge on, what they are off enlarged."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from django.utils.translation import gettext as _

from inspections.metrology import Axis, face_to_axis
from inspections.pictures.drawing import BOLD, HAIR, LINE, NOTE, WORDS, Drawing, Picture, dots
from inspections.pictures.figures import enlargement, figure, times
from inspections.pictures.scale import scale_bar, units_for

HEIGHT, LEFT, RIGHT = 420.0, 40.0, 440.0
FACE_AT, ROOM, AXIS_AT = 120.0, 150.0, 316.0


def face_against_axis(
    face: Sequence[Sequence[float]],
    axis: Axis,
    *,
    unit: str = "in",
    places: int = 4,
    found: str,
    lower: float | None = None,
    upper: float | None = None,
    is_distance: bool = True,
) -> Picture:
    """The face over A-B, seen from below, heights enlarged.

    Parameters
    ----------
    face : shape (n, 3), n >= 3, in ``unit``
    found : the value as text, with its digits
    lower, upper : of the distance, with `is_distance`; else they belong to the parallelism
    """
    points, along = np.array(face, dtype=np.float64), np.array(axis.direction)
    seen = face_to_axis(points, axis)
    normal = np.array(seen.normal)
    ahead = normal - (normal @ along) * along
    ahead /= np.linalg.norm(ahead)
    stations = (points - np.array(axis.point)) @ along
    heights = (points - np.array(axis.point)) @ ahead
    length = float(np.ptp(stations))
    scale = (RIGHT - LEFT) / length if length > 0 else 1.0
    limits = [limit for limit in (lower, upper) if limit is not None] if is_distance else []
    low, high = min([*heights, *limits]), max([*heights, *limits])
    middle = (low + high) / 2
    factor = enlargement(ROOM, (high - low) * scale)

    def at(station: float, height: float) -> tuple[float, float]:
        across = LEFT + (station - float(stations.min())) * scale
        return (across, FACE_AT - (height - middle) * scale * factor)

    drawing = Drawing(HEIGHT)
    for limit in limits:
        y = at(0, limit)[1]
        drawing.line((8, y), (472, y), LINE, dash="9 7")
    ends = (float(stations.min()), float(stations.max()))
    center = sum(ends) / 2
    slope = -float(normal @ along) / float(normal @ ahead)
    line = [at(end, seen.distance + slope * (end - _middle(points, along, axis))) for end in ends]
    drawing.line(line[0], line[1], BOLD)
    drawing.path(dots(at(z, h) for z, h in zip(stations, heights, strict=True)), 8, ends="round")
    drawing.line((4, AXIS_AT), (476, AXIS_AT), HAIR, dash="16 5 3 5")
    drawing.text((10, AXIS_AT - 9), "A", NOTE, bold=True)
    drawing.text((470, AXIS_AT - 9), "B", NOTE, "end", bold=True)
    foot = at(center, seen.distance)
    gap = (foot[1] + AXIS_AT) / 2
    drawing.arrow((foot[0], gap + 12), (foot[0], AXIS_AT - 2), LINE)
    drawing.arrow((foot[0], gap - 12), (foot[0], max(line[0][1], line[1][1], foot[1]) + 6), LINE)
    if not is_distance:
        words = f"{figure(seen.distance, places)} {unit}"
        drawing.text((foot[0] + 16, AXIS_AT - 30), words, NOTE, room=200)
    drawing.text((drawing.width / 2, HEIGHT - 46), f"{found} {unit}", WORDS, "middle", bold=True, room=440)
    end = _("right") if slope > 0 else _("left")
    lean = f"{figure(abs(slope) * 12, places)} {unit}"
    drawing.text(
        (drawing.width / 2, HEIGHT - 14),
        _("%(end)s end %(lean)s farther out in 12") % {"end": end, "lean": lean},
        NOTE,
        "middle",
        room=460,
    )
    facts = {
        "found": f"{found} {unit}",
        "distance": f"{figure(seen.distance, places)} {unit}",
        "times": times(factor),
        "end": end,
        "lean": lean,
    }
    alt = _(
        "The face over axis A-B: its middle is %(distance)s away, its %(end)s end %(lean)s farther out in 12."
    )
    caption = _(
        "Seen from below. Across A-B the face is drawn %(times)s times as large as along it; "
        "its distance is not to scale."
    )
    if limits:
        caption += " " + _("Between the dashed lines is what it may be.")
    return drawing.picture(alt % facts, caption % facts)


def _middle(
    points: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    along: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    axis: Axis,
) -> float:
    """Station of the middle of the face, where its distance is stated."""
    return float((points.mean(axis=0) - np.array(axis.point)) @ along)


def pilot_picture(
    offset: float, *, unit: str = "in", places: int = 4, value: str | None = None, upper: str | None = None
) -> Picture:
    """The pilot bore over A-B, its offset enlarged; ``offset`` is positive upwards."""
    drawing = Drawing(400.0)
    middle, radius = (240.0, 176.0), 112.0
    units = units_for(44.0, max(abs(offset), float(upper) if upper is not None else 0.0))
    center = (middle[0], middle[1] - offset * units)
    drawing.circle(center, radius, LINE + 1)
    drawing.line((4, middle[1]), (476, middle[1]), HAIR, dash="16 5 3 5")
    drawing.text((10, middle[1] - 9), "A", NOTE, bold=True)
    drawing.text((470, middle[1] - 9), "B", NOTE, "end", bold=True)
    if upper is not None:
        for side in (-1, 1):
            y = middle[1] + side * float(upper) * units
            drawing.line((middle[0] - 84, y), (middle[0] + 84, y), LINE, dash="9 7")
    is_inside = upper is None or abs(offset) <= float(upper)
    if is_inside:
        drawing.dot(center, 8)
    else:
        drawing.cross(center, 11)
    found = value if value is not None else figure(abs(offset), places)
    scale_bar(drawing, (12.0, 388.0), units, unit)
    drawing.text((468, 386), f"{found} {unit}", WORDS, "end", bold=True, room=260)
    facts = {
        "found": f"{found} {unit}",
        "upper": f"{upper} {unit}",
        "side": _("above") if offset > 0 else _("below"),
    }
    alt = (
        _("The middle of the pilot bore is %(found)s %(side)s axis A-B.")
        if offset
        else _("The middle of the pilot bore is on axis A-B.")
    )
    caption = _("Seen on the face. How far the bore is off is enlarged, the bore itself is not to scale.")
    if upper is not None:
        alt += " " + _("It may be up to %(upper)s.")
        caption += " " + _("Between the dashed lines is what it may be.")
    return drawing.picture(alt % facts, caption % facts)
