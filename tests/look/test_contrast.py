"""Colors of the style sheet, light and dark, against WCAG 2.2 and the palette they are taken from."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopqc import paper
from tests.published import Source, published

WCAG = Source("W3C, Web Content Accessibility Guidelines", "2.2", "relative luminance, contrast ratio")
OKABE_ITO = Source("Okabe and Ito, Color Universal Design", "2008", "palette of eight")

STYLES = (paper.FONTS.parent / "shop.css").read_text()
VALUE = re.compile(r"--([a-z-]+):\s*(#[0-9a-f]{6}|\d+%)\s*;")


def values(block: str) -> dict[str, str]:
    return dict(VALUE.findall(block))


LIGHT = values(STYLES[STYLES.index(":root {") : STYLES.index("/* --- dark")])
DARK = LIGHT | values(STYLES[STYLES.index("/* --- dark") : STYLES.index("/* --- plain elements")])
THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])

Color = tuple[float, float, float]


def color(text: str) -> Color:
    red, green, blue = (int(text[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue


def luminance(of: Color) -> float:
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in of)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Color, other: Color) -> float:
    darker, lighter = sorted([luminance(one), luminance(other)])
    return (lighter + 0.05) / (darker + 0.05)


def mixed(top: Color, bottom: Color, share: float) -> Color:
    red, green, blue = (a * share + b * (1 - share) for a, b in zip(top, bottom, strict=True))
    return red, green, blue


def test_the_formula_gives_what_the_guideline_says() -> None:
    published(WCAG, round(contrast(color("#000000"), color("#ffffff")), 6), "21", kind="memory")
    published(WCAG, round(contrast(color("#123456"), color("#123456")), 6), "1", kind="memory")


@THEMES
def test_what_is_read_at_the_bench_has_seven_to_one(theme: dict[str, str]) -> None:
    for text, ground in [
        ("ink", "paper"),
        ("ink", "rail-paper"),
        ("ink", "field"),
        ("ink-soft", "paper"),
        ("ink-soft", "rail-paper"),
        ("rail-paper", "ink"),
        ("on-now", "now"),
    ]:
        assert contrast(color(theme[text]), color(theme[ground])) >= 7, (text, ground)


@THEMES
@pytest.mark.parametrize("state", ["pass", "fail", "undecided", "held"])
def test_the_word_of_a_verdict_has_seven_to_one_on_its_tint(theme: dict[str, str], state: str) -> None:
    ground = mixed(color(theme[state]), color(theme["paper"]), int(theme["tint"].rstrip("%")) / 100)
    assert contrast(color(theme["ink"]), ground) >= 7


def test_a_shape_stands_out_by_three_to_one() -> None:
    # On paper the outline carries the lighter colors; on graphite the colors carry themselves.
    assert contrast(color(LIGHT["state-edge"]), color(LIGHT["paper"])) >= 3
    for state in ("pass", "fail", "undecided", "held"):
        assert contrast(color(DARK[state]), color(DARK["paper"])) >= 3


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        ("pass", "#009e73"),
        ("fail", "#d55e00"),
        ("undecided", "#e69f00"),
        ("held", "#cc79a7"),
        ("now", "#f0e442"),
    ],
)
def test_light_states_are_of_the_palette(ours: str, theirs: str) -> None:
    published(OKABE_ITO.at(ours), LIGHT[ours], theirs, kind="memory")


def test_the_first_visit_leaves_room_for_the_page() -> None:
    """Of 100 KB, what every page loads may take 75; the rest is the page itself."""
    static: Path = paper.FONTS.parent
    loaded = [
        static / "shop.css",
        static / "submit_once.js",
        static / "bench.js",
        *(
            paper.FONTS / name
            for name in ("next-latin-400.woff2", "next-latin-700.woff2", "mono-latin-600.woff2")
        ),
    ]
    assert sum(path.stat().st_size for path in loaded) <= 75_000
