"""Imperfections by their numbers, and whether one may stay; beside each value its source."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.metrology.weld_imperfections import (
    GROUPS,
    IMPERFECTIONS,
    NEVER,
    defect_of,
    judge,
    measures_of,
)
from inspections.metrology.weld_limits import weld_limit
from tests.published import Source, published

# The numbers of ISO 6520-1 with their names, as an extract of ISO 5817 lists them.
NAMES = Source("ISO 5817, extract of quality level C", "public copy", "numbers of ISO 6520-1")
LIMITS = Source("ISO 5817, extract of quality level C", "public copy", "judged sizes")
LEVEL_B = Source("Comparison of weld acceptance levels, level B", "public copy", "judged sizes")
REMEMBERED = Source("ISO 6520-1", "2007", "numbers that were not read")
LISTED = {
    "100": "crack",
    "104": "crater crack",
    "2017": "surface pore",
    "2025": "end crater pipe",
    "401": "lack of fusion",
    "402": "lack of penetration",
    "4021": "incomplete root penetration",
    "5011": "continuous undercut",
    "5012": "intermittent undercut",
    "5013": "shrinkage groove",
    "502": "excess weld metal",
    "503": "excessive convexity",
    "504": "excess penetration",
    "505": "incorrect weld toe",
    "506": "overlap",
    "509": "sagging",
    "510": "burn-through",
    "511": "incompletely filled groove",
    "515": "root concavity",
    "516": "root porosity",
    "517": "poor restart",
}


@pytest.mark.parametrize("number", LISTED)
def test_numbers_and_names(number: str) -> None:
    found = IMPERFECTIONS[number]
    published(NAMES.at(number), found.name, LISTED[number])
    assert not found.from_memory


@pytest.mark.parametrize(
    ("number", "name"),
    [
        ("101", "longitudinal crack"),
        ("601", "arc strike"),
        ("602", "spatter"),
        ("2013", "clustered porosity"),
    ],
)
def test_what_is_only_remembered_says_so(number: str, name: str) -> None:
    published(REMEMBERED.at(number), IMPERFECTIONS[number].name, name, kind="memory")
    assert IMPERFECTIONS[number].from_memory


def test_every_number_has_its_group() -> None:
    assert {one.group for one in IMPERFECTIONS.values()} == set(GROUPS.values())
    assert all(number.isdigit() and IMPERFECTIONS[number].number == number for number in IMPERFECTIONS)


@pytest.mark.parametrize(
    ("number", "size", "more", "verdict"),
    [
        # h <= 0.1 t, at most 0.5 mm, t = 8 mm.
        ("5011", "0.5", {}, "within"),
        ("5011", "0.501", {}, "beyond"),
        # h <= 1 + 0.15 b, b = 10 mm: 2.5 mm.
        ("502", "2.5", {"width": "10"}, "within"),
        ("502", "2.51", {"width": "10"}, "beyond"),
        # h <= 2 + 0.15 a, a = 6 mm: 2.9 mm.
        ("512", "2.9", {"throat": "6"}, "within"),
        ("512", "3", {"throat": "6"}, "beyond"),
        # d <= 0.2 s, at most 2 mm, s = t = 8 mm: 1.6 mm.
        ("2017", "1.6", {"is_butt": True}, "within"),
        ("2017", "1.7", {"is_butt": True}, "beyond"),
        # Short ones up to 0.1 t, at most 1 mm: here 0.8 mm; short is 25 mm.
        ("5013", "0.8", {"length": "25"}, "within"),
        ("5013", "0.8", {"length": "25.1"}, "beyond"),
        ("5013", "0.8", {}, "beyond"),
        ("506", "0.1", {}, "beyond"),
    ],
)
def test_sizes_at_level_c(number: str, size: str, more: dict[str, object], verdict: str) -> None:
    found = judge(number, "C", 8, size, **more)  # type: ignore[arg-type]
    published(LIMITS.at(f"{number} {size} {more}"), found.verdict, verdict)


def test_the_same_undercut_at_level_b() -> None:
    """h <= 0.05 t, at most 0.5 mm, t = 8 mm: 0.4 mm."""
    verdicts = [judge("5012", "B", 8, size).verdict for size in ("0.4", "0.41")]
    published(LEVEL_B.at("5012"), verdicts, ["within", "beyond"])


@pytest.mark.parametrize("level", ["B", "C", "D", ""])
@pytest.mark.parametrize("number", sorted(NEVER))
def test_never_is_never(number: str, level: str) -> None:
    assert judge(number, level, 8, "0.001").verdict == "never"  # type: ignore[arg-type]
    assert judge(number, level, None, None).verdict == "never"  # type: ignore[arg-type]
    assert measures_of(number, level, 8) == ()


def test_cracks_and_lack_of_fusion_are_permitted_at_no_level() -> None:
    for number in ("100", "104", "401"):
        allowed = [weld_limit(number, level, 8).permitted for level in ("B", "C", "D")]
        published(NAMES.at(f"{number}, not permitted"), allowed, [False, False, False])
        assert number in NEVER


def test_the_gravest_kind_names_the_defect() -> None:
    assert defect_of(frozenset({"5011", "4013", "104"})) == "crack"
    assert defect_of(frozenset({"5011", "4013"})) == "lack_of_fusion"
    assert defect_of(frozenset({"5011", "601"})) == "other"
    assert defect_of(frozenset()) == "other"


def test_what_has_to_be_measured_first() -> None:
    assert measures_of("5011", "C", 8) == ("size",)
    assert measures_of("502", "C", 8) == ("size", "width")
    assert measures_of("2017", "C", 8) == ("size", "throat")
    assert measures_of("2017", "C", 8, is_butt=True) == ("size",)
    assert measures_of("5013", "C", 8) == ("size", "length")
    assert measures_of("602", "C", 8) == measures_of("5011", "", 8) == measures_of("5011", "C", None) == ()
    # From memory, so that it decides nothing.
    assert measures_of("5071", "C", 8) == ()
    found = judge("5071", "C", 10, "9")
    assert (found.verdict, found.limit_mm, found.from_memory) == ("seen", Fraction(3, 2), True)


@given(
    st.sampled_from(["5011", "5012", "2025"]), st.decimals("0.5", "40", places=2), st.decimals(0, 5, places=3)
)
def test_a_size_is_within_its_limit_or_beyond_it(number: str, t: object, size: object) -> None:
    limit = weld_limit(number, "D", t).limit  # type: ignore[arg-type]
    short = weld_limit(number, "D", t).short_only  # type: ignore[arg-type]
    found = judge(number, "D", t, size, length=1 if short else None)  # type: ignore[arg-type]
    assert (found.verdict == "within") == (Fraction(size) <= limit)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: judge("999", "C", 8, 1), "is no number of it"),
        (lambda: judge("5011", "A", 8, 1), "choose B, C or D"),  # type: ignore[arg-type]
        (lambda: judge("5011", "C", 8, "-0.1"), "zero or more"),
        (lambda: judge("5011", "C", 8, "x"), "not a number"),
        (lambda: judge("5011", "C", 8, float("nan")), "not a measured value"),
    ],
)
def test_bad_input_is_refused_in_words(call: object, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        call()  # type: ignore[operator]
