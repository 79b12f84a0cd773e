"""A facing cut: how deep at each place, and edge on what is taken off and what may still be."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from django.utils.translation import gettext as _

from inspections.pictures.drawing import BOLD, HAIR, LINE, NOTE, Drawing, Picture, dots
from inspections.pictures.face import HEIGHT, MARKED, MIDDLE, RADIUS, outline_of, tubes
from inspections.pictures.figures import enlargement, figure, times
from inspections.pictures.relief import hatching

EDGE_AT, ROOM = 514.0, 96.0


def cut_picture(
    points: Sequence[Sequence[float]],
    depths: Sequence[float],
    deeper: float,
    *,
    unit: str = "in",
    places: int = 3,
) -> Picture:
    """A planned cut.

    Parameters
    ----------
    points : shape (n, 2 or more), n >= 3: along A-B and up, in ``unit``
    depths : what the cut takes off at each point
    deeper : how much more than planned may be taken off
    """
    across, off = np.array(points, dtype=np.float64)[:, :2], np.array(depths, dtype=np.float64)
    low, high = across.min(axis=0), across.max(axis=0)
    reach = float(np.hypot(*(across - (low + high) / 2).T).max())
    scale = RADIUS / reach if reach > 0 else 1.0
    at = (across - (low + high) / 2) * scale * (1, -1) + MIDDLE
    drawing, outline = Drawing(HEIGHT), outline_of(at)
    tubes(drawing, outline)
    drawing.paper(outline.path, LINE)
    deepest, last = int(off.argmax()), int(off.argmin())
    if np.ptp(off) > 0 and (hatched := hatching(at, off, float(off.max()) / 2, outline)):
        drawing.path(hatched, LINE)
    if outline.hole[2] > 0:
        drawing.circle(outline.hole[:2], outline.hole[2], LINE)
    if len(at) <= MARKED * 4:
        drawing.halo(dots(at), 11, "round")
        drawing.path(dots(at), 7, ends="round")
    drawing.triangle((float(at[last][0]), float(at[last][1])), 12, up=False)
    drawing.triangle((float(at[deepest][0]), float(at[deepest][1])), 12, up=True)
    factor = enlargement(ROOM, (float(off.max()) + max(deeper, 0.0)) * scale)
    _edge_on(drawing, at[:, 0], off, deeper, factor * scale, f"{figure(float(off.max()), places)} {unit}")
    facts = {
        "depth": f"{figure(float(off.max()), places)} {unit}",
        "deeper": f"{figure(deeper, places)} {unit}",
        "times": times(factor),
        "deepest": deepest + 1,
        "last": last + 1,
    }
    alt = _(
        "The cut from above: %(depth)s deep at point %(deepest)s, where the face is highest; point "
        "%(last)s is cleaned last. It may go %(deeper)s deeper."
    )
    caption = _(
        "Hatched: where more than half of the depth comes off. Full triangle: deepest; hollow: cleaned "
        "last. Edge on, depths are drawn %(times)s times as large as lengths; the dashed line is the "
        "most that may come off."
    )
    return drawing.picture(alt % facts, caption % facts)


def _edge_on(
    drawing: Drawing,
    across: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    off: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    deeper: float,
    tall: float,
    words: str,
) -> None:
    """What is taken off stands above the planned face, what may still go lies below it."""
    face = EDGE_AT - max(deeper, 0.0) * tall
    tops = face - off * tall
    strokes = "".join(
        f"M{x:.0f} {face:.1f}V{top:.1f}" for x, top in dict(zip(across.round(), tops, strict=True)).items()
    )
    drawing.path(strokes, HAIR)
    drawing.path(dots(zip(across, tops, strict=True)), 7, ends="round")
    drawing.line((20, face), (460, face), BOLD)
    if deeper > 0:
        drawing.line((20, EDGE_AT), (460, EDGE_AT), LINE, dash="9 7")
    drawing.text((20, HEIGHT - 10), words, NOTE, bold=True, room=200)
    drawing.text((460, HEIGHT - 10), _("most to cut: dashed"), NOTE, "end", room=220)
