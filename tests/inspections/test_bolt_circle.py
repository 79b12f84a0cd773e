"""Where the holes of a bolt circle should be."""

from itertools import pairwise

import pytest

from inspections.planning.bolt_circle import hole_centers
from tests.published import Source, published

HANDBOOK = Source(
    "Machinery's Handbook", "27th ed.", "hole coordinate factors, circle of diameter 1, first hole on top"
)


def test_it_gives_the_factors_of_the_handbook_for_six_holes():
    """The handbook counts from the upper left corner of the square around the circle; known from memory."""
    corner = [(float(x) + 0.5, 0.5 - float(y)) for x, y in hole_centers(6, "1", 90)]
    expected = {(0.5, 0.0), (0.06699, 0.25), (0.06699, 0.75), (0.5, 1.0), (0.93301, 0.75), (0.93301, 0.25)}
    for index, wanted in enumerate(sorted(expected)):
        published(
            HANDBOOK.at(f"6 holes, {index}"), sorted(corner)[index], wanted, tolerance=1e-4, kind="memory"
        )


@pytest.mark.parametrize(("count", "first"), [(1, 0), (5, 3), (12, 15), (24, 7.5)])
def test_every_hole_lies_on_the_circle_and_all_are_equally_far_apart(count, first):
    centers = [complex(float(x), float(y)) for x, y in hole_centers(count, "9.5", first)]
    assert len(set(centers)) == count
    chords = [abs(a - b) for a, b in pairwise(centers)]
    for center in centers:
        assert abs(abs(center) - 4.75) < 1e-4
    assert not chords or max(chords) - min(chords) < 3e-4


def test_it_is_written_without_a_negative_zero():
    assert all("-0.0000" not in center for center in hole_centers(4, "1", 0))


@pytest.mark.parametrize(("count", "diameter"), [(0, "1"), (-1, "1"), (4, "0"), (4, "-1"), (4, "NaN")])
def test_it_refuses_what_is_no_bolt_circle(count, diameter):
    with pytest.raises(ValueError, match="at least one hole"):
        hole_centers(count, diameter, 0)
