"""Runout of one turn as a trace round the section: enlarged, its high side, and how far to press."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

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
from inspections.pictures.figures import figure
from inspections.pictures.scale import scale_bar, units_for

MIDDLE, INNER, ROOM = (240.0, 236.0), 92.0, 84.0
"""The least reading lies on the inner ring; the greatest at most `ROOM` outside it."""
CLOCK, CLOCK_WORDS = 196.0, 214.0
HEIGHT = 472.0
MANY = 72


@dataclass(frozen=True)
class Press:
    """How far to press and from where: `by` in the unit of the readings, `hour` of the high side, 0 to 12."""

    by: float
    hour: float


def runout_picture(
    readings: Sequence[float],
    *,
    unit: str = "in",
    places: int = 4,
    upper: str | None = None,
    value: str | None = None,
    eccentricity: float | None = None,
    high_angle: float | None = None,
    advise: bool = False,
    angles: Sequence[float] = (),
) -> Picture:
    """A polar trace of one turn.

    Parameters
    ----------
    readings : n >= 2 figures in even steps of one turn, the first at 12 o'clock, positive away from the axis
    places : of the figures shown
    upper : what the full movement may be, as text; value : what it is
    eccentricity, high_angle : how far and where the section's center is off, where the set-up lets it be
        seen; degrees from 12 o'clock, clockwise
    advise : say how far to press towards the low side
    angles : of the readings, degrees clockwise from 12 o'clock; empty for even steps
    """
    least, most = min(readings), max(readings)
    spread = most - least
    factor = units_for(ROOM, spread)
    radius = [INNER + (reading - least) * factor for reading in readings]
    turns = [angle / 360 for angle in angles] or [place / len(readings) for place in range(len(readings))]
    trace = [_at(turn, r) for turn, r in zip(turns, radius, strict=True)]
    top = max(range(len(readings)), key=lambda place: readings[place])
    turn = turns[top] if high_angle is None else high_angle / 360
    press = None
    if advise and eccentricity is not None and high_angle is not None and eccentricity > 0:
        press = Press(eccentricity, turn * 12)

    drawing = Drawing(HEIGHT)
    _clock(drawing)
    scale_bar(drawing, (14.0, HEIGHT - 14), factor, unit)
    drawing.circle(MIDDLE, INNER, HAIR)
    has_ring = upper is not None and float(upper) * factor <= ROOM * 1.12
    if upper is not None and has_ring:
        drawing.circle(MIDDLE, INNER + float(upper) * factor, LINE, dash="9 7")
    closed = polyline(trace) + "Z"
    drawing.path(closed + ring(MIDDLE, INNER), 0, tone=True)
    drawing.path(closed, LINE + 0.6)
    if len(readings) <= MANY:
        drawing.path(dots(trace), 9, ends="round")
    drawing.triangle(_at(turns[top], radius[top] + 14), 11, up=True)
    found = value if value is not None else figure(spread, places)
    drawing.text((MIDDLE[0], MIDDLE[1] - 4), found, WORDS, "middle", bold=True, room=2 * INNER - 20)
    drawing.text((MIDDLE[0], MIDDLE[1] + 24), unit, NOTE, "middle", room=2 * INNER - 40)
    if press:
        drawing.arrow(_at(turn, INNER - 8), _at(turn, INNER - 44), BOLD, 20)
    alt, caption = _said(found, unit, places, upper, turns[top], press)
    if has_ring:
        caption += " " + _("The dashed ring is what it may be.")
    if advise and press is None:
        caption += " " + _(
            "Where the middle of the tube lies cannot be seen in this set-up, or the set-up was not said; so "
            "nothing is said about pressing."
        )
    return drawing.picture(alt, caption)


def _said(
    found: str, unit: str, places: int, upper: str | None, top: float, press: Press | None
) -> tuple[str, str]:
    facts = {
        "found": f"{found} {unit}",
        "upper": f"{upper} {unit}",
        "high": clock(top * 12),
        "by": f"{figure(press.by, places)} {unit}" if press else "",
        "from": clock(press.hour) if press else "",
        "to": clock(press.hour + 6) if press else "",
    }
    alt = _("One turn of the indicator: %(found)s between its least and its greatest, highest at %(high)s.")
    caption = _(
        "Only what moves the indicator is drawn, enlarged, outwards from the inner ring, which is the least "
        "reading. The triangle is the highest."
    )
    if upper is not None:
        alt += " " + _("It may be up to %(upper)s.")
    if press:
        words = _("To bring it straight, press %(by)s at %(from)s, towards %(to)s.")
        alt += " " + words
        caption += (
            " "
            + words
            + " "
            + _(
                "That is where the metal has to stay when it has sprung back. Whether to press at all, "
                "and how, is for the shop's procedure."
            )
        )
    return alt % facts, caption % facts


def clock(hour: float) -> str:
    """An hour of the clock to the half: "3 o'clock", "half past 3"."""
    halves = round(hour * 2) % 24
    whole = halves // 2 or 12
    return (
        _("half past %(hour)s") % {"hour": whole} if halves % 2 else _("%(hour)s o'clock") % {"hour": whole}
    )


def _at(turn: float, radius: float) -> Place:
    """A place on the dial: turn from 0 to 1, clockwise from 12 o'clock."""
    angle = 2 * math.pi * turn
    return (MIDDLE[0] + radius * math.sin(angle), MIDDLE[1] - radius * math.cos(angle))


def _clock(drawing: Drawing) -> None:
    for hour in range(12):
        quarter = hour % 3 == 0
        drawing.line(
            _at(hour / 12, CLOCK - (8 if quarter else 4)), _at(hour / 12, CLOCK), LINE if quarter else HAIR
        )
        if quarter:
            x, y = _at(hour / 12, CLOCK_WORDS)
            drawing.text((x, y + 8), str(hour or 12), NOTE, "middle")
