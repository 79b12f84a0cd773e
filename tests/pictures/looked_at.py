"""A picture as a reader sees it: its extent with real letter widths, its marks, and what it may not hold."""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

from fontTools.ttLib import TTFont

from inspections.pictures import Picture

SVG = "{http://www.w3.org/2000/svg}"
FONTS = Path(__file__).resolve().parents[2] / "shopqc/static/shopqc/fonts"
# Half of the widest stroke, and rounding to tenths.
EDGE = 4.0
_TOKEN = re.compile(r"[MLHVahZ]|-?\d+(?:\.\d+)?")
_TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "a": 7, "h": 1, "Z": 0}


def root_of(picture: Picture) -> ElementTree.Element:
    return ElementTree.fromstring(picture.svg)


def places_of(d: str) -> list[tuple[float, float]]:
    """Every place that a path touches; of an arc the box of its circle."""
    tokens = _TOKEN.findall(d)
    assert "".join(tokens) == d.replace(" ", ""), d
    found: list[tuple[float, float]] = []
    x = y = 0.0
    command = ""
    while tokens:
        if tokens[0] in _TAKES:
            command = tokens.pop(0)
        count = _TAKES[command]
        values = [float(tokens.pop(0)) for _ in range(count)]
        assert all(map(math.isfinite, values)), d
        match command:
            case "M" | "L":
                x, y = values
            case "H":
                (x,) = values
            case "V":
                (y,) = values
            case "h":
                x += values[0]
            case "a":
                radius = values[0]
                middle = (x + values[5] / 2, y + values[6] / 2)
                found += [(middle[0] - radius, middle[1] - radius), (middle[0] + radius, middle[1] + radius)]
                x, y = x + values[5], y + values[6]
        found.append((x, y))
    return found


@cache
def _widths() -> dict[str, float]:
    font = TTFont(FONTS / "next-latin-700.woff2")
    metrics, cmap, size = font["hmtx"], font.getBestCmap(), font["head"].unitsPerEm
    return {chr(code): metrics[name][0] / size for code, name in cmap.items()}


def text_box(element: ElementTree.Element) -> list[tuple[float, float]]:
    """The corners of a line of writing, in the bold of the bundled type."""
    size, x, y = (float(element.attrib[name]) for name in ("font-size", "x", "y"))
    assert size > 0
    wide = size * sum(_widths().get(letter, 0.7) for letter in element.text or "")
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[element.attrib["text-anchor"]]
    return [(left, y - 0.75 * size), (left + wide, y + 0.25 * size)]


def must_be_sound(picture: Picture, most_bytes: int = 60_000) -> None:
    """Valid, finite, inside its sheet, of a bounded size, without what the security policy forbids."""
    assert len(picture.svg.encode()) <= most_bytes
    root = root_of(picture)
    _x, _y, width, height = map(float, root.attrib["viewBox"].split())
    assert root.attrib["aria-label"] == picture.alt
    assert picture.alt.strip().endswith(".")
    assert picture.caption
    assert "%(" not in picture.alt + picture.caption
    for element in root.iter():
        assert "style" not in element.attrib
        assert not [name for name in element.attrib if name.lower().startswith("on")]
        assert element.tag in {f"{SVG}{name}" for name in ("svg", "g", "a", "title", "path", "text")}
        corners: list[tuple[float, float]] = []
        if element.tag == f"{SVG}path":
            corners = places_of(element.attrib["d"])
        elif element.tag == f"{SVG}text":
            corners = text_box(element)
        for x, y in corners:
            assert -EDGE <= x <= width + EDGE, (x, ElementTree.tostring(element))
            assert -EDGE <= y <= height + EDGE, (y, ElementTree.tostring(element))


def words_in(picture: Picture) -> list[str]:
    """What is written in a picture, one entry for each line."""
    return [element.text or "" for element in root_of(picture).iter(f"{SVG}text")]
