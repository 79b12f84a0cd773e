"""The shaft in its bores: one end cut open where it is nearest, the clearance enlarged."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from django.utils.translation import gettext as _

from inspections.pictures.drawing import BOLD, HAIR, LINE, NOTE, WORDS, Drawing, Picture, Place, polyline
from inspections.pictures.figures import figure
from inspections.pictures.scale import scale_bar, units_for

HEIGHT, AXIS_AT, SHAFT, ROOM = 396.0, 176.0, 34.0, 88.0
LEFT, RIGHT, STEEL = 34.0, 446.0, 152.0
STEP = 8.0


def shaft_picture(
    stations: Sequence[float],
    offsets: Sequence[tuple[float, float]],
    bores: Sequence[float],
    shaft: float,
    *,
    unit: str = "in",
    places: int = 3,
    lower: str | None = None,
    value: str | None = None,
) -> Picture:
    """A shaft on its axis in the bores of one end.

    Parameters
    ----------
    stations : n >= 2 figures along the end, ascending
    offsets : forward and up, of each bore's center from the axis; bores : their diameters
    shaft : its diameter
    lower : what the clearance must be at least, as text; value : the least that was found
    """
    rooms = [bore / 2 - shaft / 2 - math.hypot(*o) for bore, o in zip(bores, offsets, strict=True)]
    worst = min(range(len(rooms)), key=lambda row: rooms[row])
    far = math.hypot(*offsets[worst])
    # The cut goes through the axis and the bore that is nearest; what is up on the sheet is up or forward.
    cut = (offsets[worst][0] / far, offsets[worst][1] / far) if far > 0 else (0.0, 1.0)
    if (cut[1], cut[0]) < (0.0, 0.0):
        cut = (-cut[0], -cut[1])
    gaps = [
        [bore / 2 - shaft / 2 + side * (o[0] * cut[0] + o[1] * cut[1]) for side in (1, -1)]
        for bore, o in zip(bores, offsets, strict=True)
    ]
    least = float(lower) if lower is not None else 0.0
    units = units_for(ROOM, max(max(abs(gap) for pair in gaps for gap in pair), least))
    span = stations[-1] - stations[0]
    across = [LEFT + (z - stations[0]) / span * (RIGHT - LEFT) for z in stations]
    drawing = Drawing(HEIGHT)
    for side, row in ((-1.0, 0), (1.0, 1)):
        wall = [
            (x, AXIS_AT + side * (SHAFT + pair[row] * units)) for x, pair in zip(across, gaps, strict=True)
        ]
        _steel(drawing, wall, side)
    _shaft(drawing, across[worst] < drawing.width / 2)
    if lower is not None:
        for side in (-1, 1):
            y = AXIS_AT + side * (SHAFT + least * units)
            drawing.line((8, y), (drawing.width - 8, y), LINE, dash="9 7")
    found = value if value is not None else figure(rooms[worst], places)
    _mark(drawing, across[worst], gaps[worst], units, found, unit)
    scale_bar(drawing, (12.0, HEIGHT - 12), units, unit)
    facts = {
        "found": f"{found} {unit}",
        "where": f"{stations[worst]:g} {unit}",
        "lower": f"{lower} {unit}",
        "shaft": f"{shaft:g} {unit}",
    }
    alt = _("A shaft of %(shaft)s in its bores: the least clearance is %(found)s, at station %(where)s.")
    if lower is not None:
        alt += " " + _("It must be at least %(lower)s.")
    caption = _(
        "Cut through the axis of the shaft where a bore is nearest. Only the clearance is enlarged; the "
        "triangle marks the least."
    )
    if lower is not None:
        caption += " " + _("The dashed lines are as near as the steel may come.")
    return drawing.picture(alt % facts, caption % facts)


def _steel(drawing: Drawing, wall: Sequence[Place], side: float) -> None:
    """The wall of the bores, hatched outwards."""
    outer = AXIS_AT + side * STEEL
    whole = [(8.0, wall[0][1]), *wall, (472.0, wall[-1][1])]
    strokes = []
    x = 10.0
    for a, b in pairwise(whole):
        while x <= b[0]:
            y = a[1] + (b[1] - a[1]) * ((x - a[0]) / (b[0] - a[0]) if b[0] > a[0] else 0.0)
            if side * (outer - y) > 0:
                strokes.append(f"M{x:.0f} {y:.1f}V{outer:.0f}")
            x += STEP
    drawing.path("".join(strokes), HAIR)
    drawing.path(polyline(whole), LINE + 1)


def _shaft(drawing: Drawing, is_left: bool) -> None:
    top, bottom = AXIS_AT - SHAFT, AXIS_AT + SHAFT
    drawing.paper(polyline([(8, top), (472, top), (472, bottom), (8, bottom)]) + "Z", LINE)
    drawing.line((2, AXIS_AT), (478, AXIS_AT), HAIR, dash="16 5 3 5")
    # At the end away from the mark, so that they do not meet.
    drawing.text((460 if is_left else 20, AXIS_AT - 8), _("shaft"), NOTE, "end" if is_left else "start")


def _mark(drawing: Drawing, x: float, gaps: Sequence[float], units: float, found: str, unit: str) -> None:
    above = gaps[0] <= gaps[1]
    side, gap = (-1.0, gaps[0]) if above else (1.0, gaps[1])
    y = AXIS_AT + side * (SHAFT + max(gap, 0.0) * units)
    inside = AXIS_AT + side * (SHAFT - 15)
    drawing.triangle((x, inside), 12, up=side < 0)
    drawing.line((x, AXIS_AT + side * SHAFT), (x, y), BOLD)
    words = f"{found} {unit}"
    drawing.text((468, HEIGHT - 14), words, WORDS, "end", bold=True, room=260)
