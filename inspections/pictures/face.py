"""A probed face: high hatched, low blank, the points that touch the zone marked; below it seen edge on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from django.utils.translation import gettext as _
from scipy.spatial import ConvexHull, QhullError

from inspections.pictures.drawing import HAIR, LINE, NOTE, Drawing, Picture, dots
from inspections.pictures.figures import enlargement, figure, times
from inspections.pictures.relief import FloatArray, Outline, hatching

RADIUS, MIDDLE = 176.0, (240.0, 206.0)
"""Of the face on the sheet."""
EDGE_AT, EDGE_ROOM = 482.0, 96.0
"""The middle and the height of the view edge on."""
HEIGHT = 578.0
MANY, MARKED = 300, 24
ROUND = 0.72
"""From this share of its circle on, the outline of the points counts as round."""


@dataclass(frozen=True)
class Probed:
    """A face as it is drawn: places on the sheet, heights out of the face, and who touches the zone.

    `places`: shape (n, 2), units of the sheet; `heights`: shape (n,), from the middle of the zone;
    `scale`: units of the sheet for one unit of length; `high`, `low`: row numbers of the points that touch.
    """

    places: FloatArray
    heights: FloatArray
    scale: float
    high: tuple[int, ...]
    low: tuple[int, ...]

    @property
    def spread(self) -> float:
        return float(np.ptp(self.heights))


def face_picture(
    points: Sequence[Sequence[Any]],
    touching: Sequence[int],
    normal: Sequence[Any],
    *,
    unit: str = "in",
    places: int = 4,
    upper: str | None = None,
    value: str | None = None,
) -> Picture:
    """A face in two tones.

    Parameters
    ----------
    points : shape (n, 3), n >= 3
        The points that were probed, in ``unit``.
    touching : row numbers, from 0, of the points that touch the zone
    normal : 3 figures, out of the face
    places : of the figures shown
    upper : what the zone may be, as text; value : what it is, where that is known better than from the spread
    """
    probed = _probed(np.array(points, dtype=np.float64), touching, np.array(normal, dtype=np.float64))
    drawing = Drawing(HEIGHT)
    _seen_on(drawing, probed)
    found = value if value is not None else figure(probed.spread, places)
    factor = _seen_edge_on(drawing, probed, upper, f"{found} {unit}", unit)
    facts = {
        "found": f"{found} {unit}",
        "count": len(probed.heights),
        "high": _numbers(probed.high),
        "low": _numbers(probed.low),
        "times": times(factor),
        "upper": f"{upper} {unit}",
    }
    alt = _(
        "The face from outside, %(count)s points. High parts are hatched, low parts are blank. "
        "It is %(found)s out of flat: highest at point %(high)s, lowest at point %(low)s."
    )
    if upper is not None:
        alt += " " + _("It may be %(upper)s.")
    caption = _(
        "Hatched is high, blank is low. Full triangles touch the zone from above, hollow ones from below. "
        "Edge on, heights are drawn %(times)s times as large as lengths."
    )
    return drawing.picture(alt % facts, caption % facts)


def _numbers(rows: Sequence[int]) -> str:
    """Row numbers as people count, a handful of them."""
    few = ", ".join(str(row + 1) for row in rows[:4])
    return f"{few} …" if len(rows) > 4 else few or "–"


def _probed(points: FloatArray, touching: Sequence[int], normal: FloatArray) -> Probed:
    """Lay the face on the sheet: along and up as in its frame, the axis nearest to its normal left out."""
    away = int(np.abs(normal).argmax())
    normal = normal if normal[away] > 0 else -normal
    across = np.delete(points, away, axis=1)
    # Seen from where the normal points, so that right and left are not swapped.
    if away == 1:
        across[:, 0] = -across[:, 0]
    heights = (points - points.mean(axis=0)) @ normal / np.linalg.norm(normal)
    heights -= (heights.max() + heights.min()) / 2
    low, high = across.min(axis=0), across.max(axis=0)
    reach = float(np.hypot(*(across - (low + high) / 2).T).max())
    scale = RADIUS / reach if reach > 0 else 1.0
    places = (across - (low + high) / 2) * scale * (1, -1) + MIDDLE
    valid = [row for row in touching if 0 <= row < len(heights)]
    return Probed(
        places,
        heights,
        scale,
        tuple(row for row in valid if heights[row] >= 0),
        tuple(row for row in valid if heights[row] < 0),
    )


def outline_of(places: FloatArray) -> Outline:
    """The ring that the points show: round if they go round, else their own outline, a little wider."""
    reach = np.hypot(*(places - MIDDLE).T)
    try:
        found = ConvexHull(places)
        hull, area = places[found.vertices], float(found.volume)
    except QhullError:
        # Seen so, the points lie in a line: a box round them.
        (left, top), (right, bottom) = places.min(axis=0) - 10, places.max(axis=0) + 10
        box = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
        return Outline(box, (0.0, 0.0, 0.0))
    radius = float(reach.max())
    if area > ROUND * np.pi * radius**2:
        turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
        hull = np.array(MIDDLE) + (radius + 12) * np.column_stack((np.cos(turn), np.sin(turn)))
        inner = float(reach.min())
        return Outline(hull, (*MIDDLE, inner - 14 if inner > 0.3 * radius else 0.0), radius + 12)
    middle = hull.mean(axis=0)
    apart = hull - middle
    return Outline(middle + apart * (1 + 10 / np.maximum(np.hypot(*apart.T), 1))[:, None], (0.0, 0.0, 0.0))


def _seen_on(drawing: Drawing, probed: Probed) -> None:
    outline = outline_of(probed.places)
    tubes(drawing, outline)
    x, y, radius = outline.hole
    drawing.paper(outline.path, LINE)
    if probed.spread > 0 and len(outline.hull) >= 3:
        hatched = hatching(probed.places, probed.heights, 0.0, outline)
        if hatched:
            drawing.path(hatched, LINE)
    drawing.path(outline.path, LINE)
    if radius > 0:
        drawing.circle((x, y), radius, LINE)
    _points(drawing, probed)


def tubes(drawing: Drawing, outline: Outline) -> None:
    """A stub of the tube at either side says how the housing lies."""
    left, right = float(outline.hull[:, 0].min()), float(outline.hull[:, 0].max())
    for side, edge in ((6.0, left), (drawing.width - 6.0, right)):
        for rise in (-38.0, 38.0):
            drawing.line((side, MIDDLE[1] + rise), (edge, MIDDLE[1] + rise), HAIR)


def _points(drawing: Drawing, probed: Probed) -> None:
    places = probed.places
    touching = {*probed.high, *probed.low}
    others = [place for row, place in enumerate(places) if row not in touching]
    # Hundreds of points would hide what they show.
    if 0 < len(others) <= MANY:
        drawing.halo(dots(others), 11, "round")
        drawing.path(dots(others), 7, ends="round")
    for rows, up in ((probed.low[:MARKED], False), (probed.high[:MARKED], True)):
        for row in rows:
            x, y = map(float, places[row])
            drawing.triangle((x, y), 12, up=up)


def _seen_edge_on(drawing: Drawing, probed: Probed, upper: str | None, found: str, unit: str) -> float:
    """The face from below, heights enlarged: the zone that was found, and the one that is allowed."""
    allowed = float(upper) if upper is not None else 0.0
    most = max(probed.spread, allowed)
    factor = enlargement(EDGE_ROOM, most * probed.scale)
    tall = factor * probed.scale
    left, right = 26.0, drawing.width - 26.0
    half, wide = probed.spread * tall / 2, allowed * tall / 2
    below = EDGE_AT + max(half, wide) + 32
    if upper is not None:
        for y in (EDGE_AT - wide, EDGE_AT + wide):
            drawing.line((left, y), (right, y), LINE, dash="9 7")
        words = _("may be up to %(upper)s") % {"upper": upper}
        drawing.text((right, below), words, NOTE, "end", room=230)
    for y in (EDGE_AT - half, EDGE_AT + half):
        drawing.line((left, y), (right, y), LINE)
    drawing.text((left, below), found, NOTE, bold=True, room=190)
    touching = {*probed.high, *probed.low}
    across, above = probed.places[:, 0], EDGE_AT - probed.heights * tall
    drawing.path(
        dots([at for row, at in enumerate(zip(across, above, strict=True)) if row not in touching]),
        7,
        ends="round",
    )
    for rows, up in ((probed.low[:MARKED], False), (probed.high[:MARKED], True)):
        for row in rows:
            drawing.triangle((float(across[row]), float(above[row]) + (9 if up else -9)), 9, up=up)
    return factor
