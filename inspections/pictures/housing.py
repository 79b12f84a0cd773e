"""The housing of a build spec, from above and on the face: a place for everything measured on it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.pictures.drawing import (
    BOLD,
    HAIR,
    LINE,
    NOTE,
    Drawing,
    Picture,
    Place,
    dots,
    polyline,
    ring,
)

HEIGHT, ABOVE, ON_FACE, WIDTH_AT = 436.0, 92.0, 236.0, 396.0
LEFT, RIGHT = 16.0, 464.0
TARGET = 35.0
"""Radius of what a glove touches: on a phone, where the sheet is two thirds as large, 48 points across."""
SNOUT = 7.0
"""Length of a snout beyond its tube, in inches; only for the drawing."""
FACE, PILOT, PLATE = 11.5, 7.25, 7.0
"""Diameter of the face and its bore, depth of the center section, in inches; only for the drawing."""

NAMES = {
    "left_end": gettext_lazy("Left end"),
    "left_weld": gettext_lazy("Left snout weld"),
    "left_tube": gettext_lazy("Left tube"),
    "center": gettext_lazy("Center, its seams and ribs"),
    "face": gettext_lazy("Face"),
    "holes": gettext_lazy("Holes of the face"),
    "fittings": gettext_lazy("Inside, fittings and tightness"),
    "right_tube": gettext_lazy("Right tube"),
    "right_weld": gettext_lazy("Right snout weld"),
    "right_end": gettext_lazy("Right end"),
    "whole": gettext_lazy("The whole housing"),
}
"""Places of a housing, from left to right."""
OF_PART = {"ends": "end", "welds": "weld", "tubes": "tube"}


def place_of(code: str, part: str) -> str:
    """The place where a characteristic is measured, by its code and the part it belongs to.

    >>> place_of("camber_left", "ends"), place_of("width", "ends"), place_of("ribs", "welds")
    ('left_end', 'whole', 'center')
    """
    side = next((side for side in ("left", "right") if side in code.split("_")), "")
    if part in OF_PART:
        if side:
            return f"{side}_{OF_PART[part]}"
        return "center" if part == "welds" else "whole"
    return part if part in NAMES else "whole"


@dataclass(frozen=True)
class Mark:
    """What a place shows: a state (pass, fail, undecided, else open), a count, and where a touch leads."""

    state: str
    count: str
    says: str
    href: str = ""


def anchors(spec: Mapping[str, Any]) -> Mapping[str, Place]:
    """Where each place lies on the sheet."""
    shape = _Shape.of(spec)
    tube, weld = (shape.tube_end + shape.face_edge) / 2, shape.tube_end
    spots = {
        "center": (shape.middle, ABOVE - 14),
        "face": (shape.middle, ON_FACE),
        "holes": (shape.middle, ON_FACE + 84),
        "fittings": (shape.middle + 104, ABOVE + 44),
        "whole": (shape.middle, WIDTH_AT),
    }
    for side, name in ((-1, "left"), (1, "right")):
        spots[f"{name}_end"] = (240 + side * 202, ON_FACE)
        spots[f"{name}_tube"] = (240 + side * tube, ON_FACE)
        spots[f"{name}_weld"] = (240 + side * weld, ABOVE - 4)
    return spots


@dataclass(frozen=True)
class _Shape:
    """Figures of the drawing, in its units, from the middle of the sheet."""

    scale: float
    tube: float
    snout: float
    tube_end: float
    end: float
    middle: float
    face_edge: float
    bracket: float | None

    @classmethod
    def of(cls, spec: Mapping[str, Any]) -> _Shape:
        width = float(spec["width"])
        scale = (RIGHT - LEFT) / width
        bracket = spec.get("bracket_offset") if spec.get("links") else None
        # A center far off the middle must leave both tubes on the sheet.
        shift = max(-70.0, min(70.0, float(spec.get("center_offset") or 0) * scale))
        return cls(
            scale,
            float(spec["tube_od"]) / 2 * scale,
            float(spec["snout_size"]) / 2 * scale,
            (width / 2 - min(SNOUT, width / 5)) * scale,
            width / 2 * scale,
            240 + shift,
            FACE / 2 * scale,
            float(bracket) * scale if bracket else None,
        )


def housing_picture(spec: Mapping[str, Any], marks: Mapping[str, Mark] | None = None) -> Picture:
    """The housing, with a mark at each place that has one.

    Parameters
    ----------
    spec : tube_od, snout_size, width and, if it has them, center_offset, links, bracket_offset, drain,
        vent_side; as `Spec.as_json` gives them
    marks : by place
    """
    drawing, shape = Drawing(HEIGHT), _Shape.of(spec)
    _tubes(drawing, shape, ABOVE)
    _tubes(drawing, shape, ON_FACE)
    _from_above(drawing, shape, spec)
    _on_face(drawing, shape)
    _width(drawing, spec)
    spots, said = anchors(spec), []
    if marks and "fittings" in marks:
        drawing.line(spots["fittings"], (shape.middle + shape.face_edge * 0.5, ABOVE + 12), HAIR)
    if marks and "holes" in marks:
        drawing.line(spots["holes"], (shape.middle, ON_FACE + shape.face_edge - 6), HAIR)
    drawing.text((8, 22), _("from above"), NOTE)
    drawing.text((8, ON_FACE - 62), _("on the face"), NOTE)
    for name in NAMES:
        if marks and name in marks:
            drawing.parts.append(_marked(spots[name], name, marks[name]))
            said.append(f"{NAMES[name]}: {marks[name].says}")
    facts = {"width": spec["width"], "tube": spec["tube_od"], "snout": spec["snout_size"]}
    alt = _(
        "The housing from above and on the face: %(width)s in wide, tubes of %(tube)s in, "
        "snouts of %(snout)s in."
    )
    alt = " ".join([alt % facts, *(f"{words}." for words in said)])
    picture = drawing.picture(alt, _("Drawn to scale but for the center section and the snouts' length."))
    if any(mark.href for mark in (marks or {}).values()):
        # Links inside a picture would be hidden from who cannot see it.
        return Picture(picture.svg.replace('role="img"', 'role="group"', 1), alt, picture.caption)
    return picture


def _tubes(drawing: Drawing, shape: _Shape, y: float) -> None:
    drawing.line((4, y), (476, y), HAIR, dash="16 5 3 5")
    for side in (-1, 1):
        joint, end = 240 + side * shape.tube_end, 240 + side * shape.end
        tube = [
            (shape.middle, y - shape.tube),
            (joint, y - shape.tube),
            (joint, y + shape.tube),
            (shape.middle, y + shape.tube),
        ]
        drawing.paper(polyline(tube) + "Z", LINE)
        neck = joint + side * 10
        step = shape.snout * 1.25
        snout = [(joint, y - shape.tube), (neck, y - step), (neck, y - shape.snout), (end, y - shape.snout)]
        snout += [(x, 2 * y - v) for x, v in reversed(snout)]
        drawing.paper(polyline(snout) + "Z", LINE)


def _from_above(drawing: Drawing, shape: _Shape, spec: Mapping[str, Any]) -> None:
    x, half, deep = shape.middle, shape.face_edge, PLATE * shape.scale / 2
    if shape.bracket is not None:
        for side in (-1, 1):
            at = x + side * min(shape.bracket, shape.tube_end - 20)
            for apart in (-5, 5):
                drawing.line(
                    (at + apart, ABOVE - shape.tube - 13), (at + apart, ABOVE + shape.tube + 13), BOLD
                )
    body = [
        (x - half, ABOVE + deep), (x + half, ABOVE + deep), (x + half + 12, ABOVE + shape.tube),
        (x + half + 12, ABOVE - shape.tube), (x + half * 0.6, ABOVE - deep), (x - half * 0.6, ABOVE - deep),
        (x - half - 12, ABOVE - shape.tube), (x - half - 12, ABOVE + shape.tube),
    ]  # fmt: skip
    drawing.paper(polyline(body) + "Z", LINE)
    drawing.line((x - half, ABOVE + deep + 2), (x + half, ABOVE + deep + 2), BOLD + 2)
    side = -1 if spec.get("vent_side") == "left" else 1
    drawing.paper(ring((x + side * (half + 34), ABOVE), 4), LINE)


def _on_face(drawing: Drawing, shape: _Shape) -> None:
    at, radius = (shape.middle, ON_FACE), shape.face_edge + 4
    drawing.paper(ring(at, radius + 7), LINE)
    drawing.circle(at, radius, HAIR)
    drawing.circle(at, PILOT / 2 * shape.scale, LINE)
    middle = (radius + PILOT / 2 * shape.scale) / 2
    turns = [math.radians(15 + 30 * place) for place in range(12)]
    holes = [(at[0] + middle * math.cos(turn), at[1] + middle * math.sin(turn)) for turn in turns]
    drawing.path(dots(holes), 4, ends="round")


def _width(drawing: Drawing, spec: Mapping[str, Any]) -> None:
    for x in (LEFT, RIGHT):
        drawing.line((x, ON_FACE + 34), (x, WIDTH_AT + 12), HAIR)
    drawing.arrow((240, WIDTH_AT), (LEFT, WIDTH_AT), HAIR)
    drawing.arrow((240, WIDTH_AT), (RIGHT, WIDTH_AT), HAIR)
    drawing.halo(polyline([(70, WIDTH_AT), (150, WIDTH_AT)]), 30)
    drawing.text((110, WIDTH_AT + 8), f"{spec['width']} in", NOTE, "middle", room=78)


def _marked(at: Place, name: str, mark: Mark) -> str:
    """The mark of a place; with an address, a link as large as a glove."""
    drawing = Drawing(HEIGHT)
    shape = {"pass": drawing.dot, "fail": drawing.cross}.get(mark.state)
    drawing.paper(ring(at, 17), HAIR)
    if shape is not None:
        shape(at, 10)
    else:
        drawing.hole(at, 9)
        if mark.state == "undecided":
            x, y = at
            drawing.path(f"M{x:.1f} {y - 9:.1f}a9 9 0 0 0 0 18Z", 0, fill="currentColor")
    drawing.text((at[0], at[1] + 36), mark.count, NOTE, "middle", room=70, over=True)
    inside = f'<g class="place-{mark.state}">{"".join(drawing.parts)}</g>'
    if not mark.href:
        return inside
    words = escape(f"{NAMES[name]}: {mark.says}")
    target = f'<path d="{ring(at, TARGET)}" fill="#fff" fill-opacity="0"/>'
    return f'<a href="{escape(mark.href)}" aria-label="{words}"><title>{words}</title>{target}{inside}</a>'


def worst_of(states: Sequence[str]) -> str:
    """The state a place shows for several: failing before undecided, not measured before passed."""
    return next((state for state in ("fail", "undecided", "open") if state in states), "pass")
