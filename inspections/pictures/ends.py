"""The housing with camber or toe enlarged: seen on the face, or from above."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from django.utils.translation import gettext as _

from inspections.pictures.drawing import (
    BOLD,
    HAIR,
    LINE,
    NOTE,
    WORDS,
    Drawing,
    Picture,
    Place,
    dots,
    polyline,
    ring,
)
from inspections.pictures.figures import ANGLE_PLACES, enlargement, figure, times

Angle = Literal["camber", "toe"]
HEIGHT, AXIS_AT, ROOM = 318.0, 150.0, 92.0
LEFT, RIGHT = 24.0, 456.0
TUBE = 13.0
"""Half the width of the tube as it is drawn."""
SIDES = {-1: "left", 1: "right"}


@dataclass(frozen=True)
class _End:
    """One end as it is drawn: reach and offset of its stations, and the straight line through them."""

    side: int
    reach: list[float]
    offset: list[float]

    @property
    def slope(self) -> float:
        r, o = np.array(self.reach), np.array(self.offset)
        x = r - r.mean()
        return float(x @ o) / float(x @ x)

    def on_line(self, reach: float) -> float:
        return float(np.mean(self.offset)) + self.slope * (reach - float(np.mean(self.reach)))


def ends_picture(
    stations: Sequence[float],
    offsets: Sequence[float],
    angle: Angle,
    *,
    unit: str = "in",
    asked: str = "",
    found: Mapping[str, str] | None = None,
    lower: float | None = None,
    upper: float | None = None,
) -> Picture:
    """Camber as it shows on the face, or toe as it shows from above.

    Parameters
    ----------
    stations : n figures along A-B from the middle, negative on the left, in ``unit``
    offsets : n figures: up for camber, forward for toe, the bar's own sag taken out
    asked : the side that is asked about, "left" or "right"; empty for both
    found : degrees by side as text, where they are known better than from the line through the offsets
    lower, upper : what the angle may be, degrees
    """
    ends = [end for side in (-1, 1) if (end := _end(side, stations, offsets)) is not None]
    if not ends:
        raise ValueError("An end needs two stations at least.")
    sign = -1.0 if angle == "camber" else 1.0
    limits = [sign * math.tan(math.radians(limit)) for limit in (lower, upper) if limit is not None]
    along = (RIGHT - LEFT) / (2 * max(max(end.reach) for end in ends))
    tall = enlargement(ROOM, along * max([_highest(end, limits) for end in ends] + [1e-9]))
    drawing = Drawing(HEIGHT)
    drawing.line((4, AXIS_AT), (drawing.width - 4, AXIS_AT), HAIR, dash="16 5 3 5")
    for end in ends:
        _wedge(drawing, end, limits, along, tall)
    for end in ends:
        _tube(drawing, end, along, tall, not asked or SIDES[end.side] == asked)
    _middle(drawing, angle)
    facts = {"times": times(tall), "angle": _("Camber") if angle == "camber" else _("Toe")}
    said = []
    for end in ends:
        side = SIDES[end.side]
        degrees = (found or {}).get(side) or figure(sign * math.degrees(math.atan(end.slope)), ANGLE_PLACES)
        said.append(f"{_(side)} {degrees}°")
        anchor, at = ("start", 8.0) if end.side < 0 else ("end", drawing.width - 8)
        drawing.text(
            (at, HEIGHT - 40), f"{degrees}°", WORDS, anchor, bold=side == asked or not asked, room=200
        )
        drawing.text((at, HEIGHT - 12), _(side), NOTE, anchor, room=200)
    view = _("seen on the face") if angle == "camber" else _("from above, the face below")
    drawing.text((drawing.width / 2, 24), view, NOTE, "middle")
    facts["found"] = ", ".join(said)
    facts["limits"] = _limit_words(lower, upper)
    alt = _("%(angle)s of the housing: %(found)s.") % facts
    if facts["limits"]:
        alt += " " + facts["limits"]
    caption = _("Off the line A-B, %(times)s times as large as along it.") % facts
    if limits:
        caption += " " + _("Each end may point anywhere into its toned wedge.")
    return drawing.picture(alt, caption)


def _limit_words(lower: float | None, upper: float | None) -> str:
    facts = {"lower": f"{lower or 0:g}", "upper": f"{upper or 0:g}"}
    if lower is not None and upper is not None:
        return _("It may be from %(lower)s° to %(upper)s°.") % facts
    if upper is not None:
        return _("It may be up to %(upper)s°.") % facts
    return _("It must be at least %(lower)s°.") % facts if lower is not None else ""


def _end(side: int, stations: Sequence[float], offsets: Sequence[float]) -> _End | None:
    here = [(side * z, offset) for z, offset in zip(stations, offsets, strict=True) if side * z >= 0]
    if len(here) < 2 or max(r for r, _o in here) <= 0 or len({r for r, _o in here}) < 2:
        return None
    here.sort()
    return _End(side, [r for r, _o in here], [offset for _r, offset in here])


def _highest(end: _End, limits: Sequence[float]) -> float:
    """How far off the axis anything of an end is drawn."""
    inner, outer = min(end.reach), max(end.reach)
    tips = [end.on_line(inner) + slope * (outer - inner) for slope in limits]
    return max(abs(offset) for offset in [*end.offset, *tips, end.on_line(inner), end.on_line(outer)])


def _spot(end: _End, reach: float, offset: float, along: float, tall: float) -> Place:
    return ((LEFT + RIGHT) / 2 + end.side * reach * along, AXIS_AT - offset * along * tall)


def _wedge(drawing: Drawing, end: _End, limits: Sequence[float], along: float, tall: float) -> None:
    if len(limits) < 2:
        return
    inner, outer = min(end.reach), max(end.reach)
    start = end.on_line(inner)
    tips = [_spot(end, outer, start + slope * (outer - inner), along, tall) for slope in limits]
    drawing.path(polyline([_spot(end, inner, start, along, tall), *tips]) + "Z", 0, tone=True)


def _tube(drawing: Drawing, end: _End, along: float, tall: float, bold: bool) -> None:
    inner, outer = min(end.reach), max(end.reach)
    a = _spot(end, inner, end.on_line(inner), along, tall)
    b = _spot(end, outer, end.on_line(outer), along, tall)
    neck = ((LEFT + RIGHT) / 2, AXIS_AT)
    for rise in (-TUBE, TUBE):
        drawing.line((neck[0], neck[1] + rise), (a[0], a[1] + rise), HAIR)
        drawing.line((a[0], a[1] + rise), (b[0], b[1] + rise), LINE if bold else HAIR)
    drawing.line((b[0], b[1] - TUBE), (b[0], b[1] + TUBE), LINE if bold else HAIR)
    drawing.line(a, b, BOLD if bold else LINE)
    spots = [_spot(end, r, o, along, tall) for r, o in zip(end.reach, end.offset, strict=True)]
    drawing.path(dots(spots), 9, ends="round")


def _middle(drawing: Drawing, angle: Angle) -> None:
    """The center section: a ring on the face, a box with the face below it from above."""
    x = (LEFT + RIGHT) / 2
    if angle == "camber":
        drawing.paper(ring((x, AXIS_AT), 40), LINE)
        drawing.circle((x, AXIS_AT), 27, LINE)
        return
    box = [(x - 40, AXIS_AT - 22), (x + 40, AXIS_AT - 22), (x + 40, AXIS_AT + 34), (x - 40, AXIS_AT + 34)]
    drawing.paper(polyline(box) + "Z", LINE)
    drawing.line((x - 46, AXIS_AT + 36), (x + 46, AXIS_AT + 36), BOLD + 2)
