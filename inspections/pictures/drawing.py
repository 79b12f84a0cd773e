"""The pen: an SVG drawing in ink, with hatching as its one tone.

Everything is written with presentation attributes, because the pages' security policy forbids style
attributes and paper knows no style sheet of the pages. Ink is the color of the text around the drawing
(``currentColor``), so that one drawing serves a light page, a dark page and a copied sheet.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from html import escape

Place = tuple[float, float]

HAIR, LINE, BOLD = 1.2, 2.4, 4.6
"""Widths of a line, in units of a drawing that is 480 wide."""
WORDS, NOTE = 29.0, 23.0
"""Sizes of writing, in the same unit: readable on a phone, and from two metres on a tablet."""
WIDTH = 480.0
TONE = 0.16
LETTER = 0.56
"""How wide a letter is on average, over its size; what a text may need is told from it."""
FONT = "Shop Text, Shop Text Ext, sans-serif"


@dataclass(frozen=True)
class Picture:
    """A drawing that stands for itself.

    Attributes
    ----------
    svg : str
        The ``<svg>`` element, every text in it escaped.
    alt : str
        A sentence that says what is to be seen, with its figures; the drawing carries it too.
    caption : str
        What stands below it: how much is enlarged, and what the marks mean.
    """

    svg: str
    alt: str
    caption: str


def number(value: float) -> str:
    """A coordinate, to a tenth."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


@dataclass
class Drawing:
    """A sheet of the given size; the origin is its upper left corner, y runs down."""

    height: float
    width: float = WIDTH
    parts: list[str] = field(default_factory=list)

    def path(
        self,
        d: str,
        weight: float = LINE,
        *,
        fill: str = "none",
        dash: str = "",
        name: str = "",
        ends: str = "",
        tone: bool = False,
    ) -> None:
        """A path as SVG writes it; ``tone`` fills it with a thin ink."""
        more = f' stroke-dasharray="{dash}"' if dash else ""
        more += f' fill-opacity="{TONE}"' if tone else ""
        fill = "currentColor" if tone else fill
        more += f' stroke-linecap="{ends}"' if ends else ""
        more += f' class="{name}"' if name else ""
        stroke = f' stroke="currentColor" stroke-width="{number(weight)}"' if weight else ""
        self.parts.append(f'<path d="{d}" fill="{fill}"{stroke}{more}/>')

    def line(self, a: Place, b: Place, weight: float = LINE, dash: str = "") -> None:
        """A straight line."""
        self.path(polyline([a, b]), weight, dash=dash)

    def circle(self, at: Place, radius: float, weight: float = LINE, dash: str = "") -> None:
        """A ring."""
        self.path(ring(at, radius), weight, dash=dash)

    def paper(self, d: str, weight: float = LINE) -> None:
        """A shape whose inside is blank, whatever lies below it."""
        self.path(d, weight, fill="#fff", name="blank")

    def halo(self, d: str, weight: float, ends: str = "butt") -> None:
        """A blank edge round what is drawn over it."""
        self.parts.append(
            f'<path d="{d}" fill="none" stroke="#fff" stroke-width="{number(weight)}" '
            f'stroke-linecap="{ends}" class="halo"/>'
        )

    def dot(self, at: Place, radius: float = 4.5) -> None:
        """A full round mark."""
        self.path(ring(at, radius), 0, fill="currentColor")

    def hole(self, at: Place, radius: float = 5.5) -> None:
        """A hollow round mark."""
        self.paper(ring(at, radius), LINE)

    def cross(self, at: Place, reach: float = 9.0) -> None:
        """The mark of what is outside its limits."""
        x, y = at
        d = f"M{number(x - reach)} {number(y - reach)}L{number(x + reach)} {number(y + reach)}"
        d += f"M{number(x - reach)} {number(y + reach)}L{number(x + reach)} {number(y - reach)}"
        self.halo(d, BOLD + 4)
        self.path(d, BOLD)

    def triangle(self, at: Place, reach: float = 11.0, *, up: bool = True) -> None:
        """Full and pointing up, or hollow and pointing down: a highest or a lowest point."""
        x, y = at
        tip = -reach if up else reach
        d = polyline([(x - reach, y - tip * 0.8), (x + reach, y - tip * 0.8), (x, y + tip)]) + "Z"
        if up:
            self.path(d, HAIR, fill="currentColor")
        else:
            self.paper(d, LINE)

    def arrow(self, a: Place, b: Place, weight: float = LINE, head: float = 12.0) -> None:
        """A line with a full head at its end."""
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        if length < 1e-6:
            return
        along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        head = min(head, length)
        neck = (b[0] - along[0] * head, b[1] - along[1] * head)
        side = (-along[1] * head * 0.45, along[0] * head * 0.45)
        if length > head:
            self.line(a, neck, weight)
        points = [b, (neck[0] + side[0], neck[1] + side[1]), (neck[0] - side[0], neck[1] - side[1])]
        self.path(polyline(points) + "Z", 0, fill="currentColor")

    def text(
        self,
        at: Place,
        words: str,
        size: float = NOTE,
        anchor: str = "start",
        *,
        bold: bool = False,
        room: float | None = None,
        over: bool = False,
    ) -> None:
        """Writing, made smaller until it takes no more than ``room``; never over the edge of the sheet.

        ``over``: it stands on other lines, so it gets a blank edge.
        """
        x, y = at
        edge = {"start": self.width - x, "end": x, "middle": 2 * min(x, self.width - x)}[anchor]
        wide = width_of(words, size)
        most = max(min(edge, room if room is not None else edge) - 2, 1.0)
        size = size * most / wide if wide > most else size
        weight = ' font-weight="700"' if bold else ""
        place = f'x="{number(x)}" y="{number(y)}" font-size="{number(size)}"'
        place += f' text-anchor="{anchor}"{weight}'
        if over:
            edge_of = 'fill="none" stroke="#fff" stroke-width="7" stroke-linejoin="round" class="halo"'
            self.parts.append(f'<text {place} {edge_of} aria-hidden="true">{escape(words)}</text>')
        self.parts.append(f'<text {place} fill="currentColor">{escape(words)}</text>')

    def picture(self, alt: str, caption: str) -> Picture:
        """The finished drawing."""
        size = f'viewBox="0 0 {number(self.width)} {number(self.height)}"'
        head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" aria-label="{escape(alt)}"'
        svg = f'{head} class="picture" font-family="{FONT}">{"".join(self.parts)}</svg>'
        return Picture(svg, alt, caption)


def width_of(words: str, size: float) -> float:
    """About how wide a line of writing is."""
    return max(len(words), 1) * LETTER * size


def ring(at: Place, radius: float) -> str:
    """A circle as a path."""
    x, y = at
    r, two = number(radius), number(2 * radius)
    return f"M{number(x - radius)} {number(y)}a{r} {r} 0 1 0 {two} 0a{r} {r} 0 1 0 -{two} 0Z"


def polyline(points: Iterable[Sequence[float]]) -> str:
    """Straight lines through points, as a path."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


def dots(points: Iterable[Sequence[float]]) -> str:
    """Points as lines without length, which round ends make into dots; each place once."""
    places = dict.fromkeys((round(x), round(y)) for x, y in points)
    return "".join(f"M{x} {y}h0" for x, y in places)
