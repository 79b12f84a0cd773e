"""Holes where they are and where they should be: each deviation enlarged in its own zone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from inspections.pictures.drawing import HAIR, LINE, NOTE, WORDS, Drawing, Picture, Place
from inspections.pictures.figures import figure
from inspections.pictures.scale import scale_bar, units_for

MIDDLE, RADIUS = (240.0, 236.0), 150.0
HEIGHT = 500.0
ZONE = 30.0
"""The greatest radius of an enlarged zone; neighbors must not touch."""
MOST_LABELS = 24


@dataclass(frozen=True)
class Hole:
    """One hole: where it should be, how far it is off, what is left after the best move of the whole pattern.

    `center`, `off`, `left`: x to the right end, y up, one unit of length. `inside`: the verdict.
    """

    center: Place
    off: Place
    inside: bool
    left: Place | None = None


@dataclass(frozen=True)
class Move:
    """The best move of the whole pattern: degrees, counterclockwise, a shift, and the zone it leaves."""

    turn: float
    shift: Place
    zone: float


def pattern_picture(
    holes: Sequence[Hole],
    zone: float | None,
    *,
    unit: str = "in",
    places: int = 4,
    value: str | None = None,
    move: Move | None = None,
) -> Picture:
    """A hole pattern with enlarged deviations.

    Parameters
    ----------
    holes : at least 1
    zone : the diameter that is allowed, in ``unit``
    value : the diameter of the worst hole's zone, where it is known better than from `holes`
    move : shown where a hole is outside
    """
    if len(holes) == 1:
        return _one(holes[0], zone, unit, places, value)
    drawing = Drawing(HEIGHT)
    spots, apart = _laid_out(holes)
    worst = max(math.hypot(*hole.off) for hole in holes)
    outside = [row for row, hole in enumerate(holes) if not hole.inside]
    reach = min(ZONE, apart * 0.44)
    # The zone fills its place; holes far outside make it smaller, down to a third.
    units = units_for(reach, (zone or 2 * worst) / 2)
    units = max(units / 3, min(units, 1.5 * units_for(reach, worst))) if worst > 0 else units
    for row, spot in enumerate(spots):
        _zone(drawing, spot, zone, units)
        _label(drawing, spot, str(row + 1), len(holes), reach)
    for hole, spot in zip(holes, spots, strict=True):
        _hole(drawing, spot, hole, units, 1.6 * reach, bool(outside) and move is not None)
    found = value if value is not None else figure(2 * worst, places)
    drawing.text((MIDDLE[0], MIDDLE[1] - 2), f"⌀ {found}", WORDS, "middle", bold=True, room=190)
    drawing.text((MIDDLE[0], MIDDLE[1] + 28), _("the worst hole"), NOTE, "middle", room=190)
    scale_bar(drawing, (12.0, HEIGHT - 12), units, unit)
    return drawing.picture(*_said(holes, outside, zone, found, unit, places, move if outside else None))


def _laid_out(holes: Sequence[Hole]) -> tuple[list[Place], float]:
    """Where each hole stands on the sheet, and how near two of them are."""
    low = [min(hole.center[axis] for hole in holes) for axis in (0, 1)]
    high = [max(hole.center[axis] for hole in holes) for axis in (0, 1)]
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    reach = max(math.dist(hole.center, middle) for hole in holes)
    scale = RADIUS / reach if reach > 0 else 1.0
    spots = [
        (MIDDLE[0] + (hole.center[0] - middle[0]) * scale, MIDDLE[1] - (hole.center[1] - middle[1]) * scale)
        for hole in holes
    ]
    apart = min((math.dist(a, b) for row, a in enumerate(spots) for b in spots[:row]), default=2 * RADIUS)
    return spots, max(apart, 8.0)


def _zone(drawing: Drawing, spot: Place, zone: float | None, units: float) -> None:
    if zone:
        drawing.circle(spot, zone / 2 * units, LINE)
    for dx, dy in ((5.0, 0.0), (0.0, 5.0)):
        drawing.line((spot[0] - dx, spot[1] - dy), (spot[0] + dx, spot[1] + dy), HAIR)


def _label(drawing: Drawing, spot: Place, words: str, count: int, reach: float) -> None:
    if count > MOST_LABELS:
        return
    x, y = spot[0] - MIDDLE[0], spot[1] - MIDDLE[1]
    far = math.hypot(x, y) or 1.0
    out = 1 + (reach + 19) / far
    drawing.text((MIDDLE[0] + x * out, MIDDLE[1] + y * out + 7), words, NOTE, "middle")


def _hole(drawing: Drawing, spot: Place, hole: Hole, units: float, most: float, moved: bool) -> None:
    at = _drawn(spot, hole.off, units, most)
    if moved and hole.left is not None:
        after = _drawn(spot, hole.left, units, most)
        drawing.line(at, after, HAIR)
        drawing.hole(after, 5)
    if hole.inside:
        drawing.dot(at, 5.5)
    else:
        drawing.cross(at, 8)


def _drawn(spot: Place, off: Place, units: float, most: float) -> Place:
    """Where an enlarged deviation ends; one that would run into the neighbors is cut short."""
    length = math.hypot(*off) * units
    short = min(1.0, most / length) if length > 0 else 1.0
    return (spot[0] + off[0] * units * short, spot[1] - off[1] * units * short)


def _one(hole: Hole, zone: float | None, unit: str, places: int, value: str | None) -> Picture:
    """One hole alone, as large as the sheet lets it be."""
    drawing = Drawing(400.0)
    spot, off = (240.0, 190.0), math.hypot(*hole.off)
    units = units_for(130, max((zone or 0) / 2, off * 0.8))
    for dx, dy in ((170.0, 0.0), (0.0, 170.0)):
        drawing.line((spot[0] - dx, spot[1] - dy), (spot[0] + dx, spot[1] + dy), HAIR, dash="16 5 3 5")
    if zone:
        drawing.circle(spot, zone / 2 * units, LINE)
    at = _drawn(spot, hole.off, units, 172)
    drawing.line(spot, at, LINE)
    if hole.inside:
        drawing.dot(at, 9)
    else:
        drawing.cross(at, 13)
    scale_bar(drawing, (12.0, 388.0), units, unit)
    found = value if value is not None else figure(2 * off, places)
    drawing.text((468, 388), f"⌀ {found} {unit}", WORDS, "end", bold=True, room=290)
    return drawing.picture(*_said([hole], [] if hole.inside else [0], zone, found, unit, places, None))


def _said(
    holes: Sequence[Hole],
    outside: Sequence[int],
    zone: float | None,
    found: str,
    unit: str,
    places: int,
    move: Move | None,
) -> tuple[str, str]:
    facts = {
        "count": len(holes),
        "found": f"{found} {unit}",
        "zone": f"{figure(zone or 0, places)} {unit}",
        "outside": ", ".join(str(row + 1) for row in outside[:12]) + (" …" if len(outside) > 12 else ""),
        "turn": f"{abs(move.turn):.3f}" if move else "",
        "shift": f"{figure(math.hypot(*move.shift), places)} {unit}" if move else "",
        "left": f"{figure(move.zone, places)} {unit}" if move else "",
    }
    if len(holes) == 1:
        alt = _("The hole needs a zone of %(found)s in diameter.")
    else:
        alt = _("%(count)s holes; the worst needs a zone of %(found)s in diameter.")
    if zone:
        alt += " " + _("It may be %(zone)s.")
    if outside and len(holes) > 1:
        alt += " " + _("Outside: hole %(outside)s.")
    caption = _(
        "Each ring is the zone that is allowed, enlarged; a dot is a hole inside it, a cross one outside."
    )
    if move is not None:
        words = _(
            "Hollow: where the holes would be if the whole pattern were turned by %(turn)s° and moved by "
            "%(shift)s; the worst would then need %(left)s."
        )
        alt, caption = f"{alt} {words}", f"{caption} {words}"
    return alt % facts, caption % facts
