"""Straightness: against rational arithmetic, the convex hull, and what must not change it."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from inspections.metrology import straightness
from inspections.metrology.numbers import FloatArray
from tests.metrology.zones_by_brute_force import least_width

COS_30 = 3**0.5 / 2
KINDS = ("noise", "bow", "steps", "outlier", "short")
seeds = st.integers(0, 2**32 - 1)
kinds = st.sampled_from(KINDS)


def profile(kind: str, n: int, random: np.random.Generator) -> FloatArray:
    """A profile of 500 mm, shape (n, 2)."""
    x = np.sort(random.uniform(0, 500, n))
    y = random.normal(0, 0.005, n)
    if kind == "bow":
        y += 0.1 * np.sin(math.pi * x / 500)
    elif kind == "steps":
        x, y = np.round(x), np.round(y, 3)
    elif kind == "outlier":
        y[random.integers(n)] += 0.4
    elif kind == "short":
        x /= 20_000
    return np.column_stack((x, y))


def turned(points: FloatArray, degrees: float) -> FloatArray:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.asarray(points @ [[c, s], [-s, c]])


@given(seeds, kinds, st.integers(3, 12), st.floats(-180, 180))
def test_it_is_the_rational_minimum(seed: int, kind: str, n: int, degrees: float) -> None:
    points = turned(profile(kind, n, np.random.default_rng(seed)), degrees) + 700
    centred = points - points.mean(axis=0)
    normal = np.linalg.svd(centred)[2][1]
    try:
        zone = straightness(points)
    except ValueError as refusal:
        assert kind == "short" and "not like a line" in str(refusal)
        return
    exact = least_width(points.tolist(), normal.tolist(), COS_30)
    assert zone.proof is not None and zone.proof.certified
    assert zone.deviation == pytest.approx(exact, rel=1e-12, abs=0)


@given(seeds, st.sampled_from(["noise", "bow", "steps", "outlier"]), st.integers(10, 3000))
def test_it_is_the_width_of_the_hull(seed: int, kind: str, n: int) -> None:
    points = profile(kind, n, np.random.default_rng(seed))
    hull = ConvexHull(points / (500, 0.01))
    corners = points[hull.vertices]
    edges = np.roll(corners, -1, axis=0) - corners
    normals = np.stack((-edges[:, 1], edges[:, 0])) / np.hypot(*edges.T)
    width = float(np.ptp(corners @ normals, axis=0).min())
    zone = straightness(points)
    assert zone.deviation == pytest.approx(width, rel=1e-9, abs=1e-12)
    heights = points @ np.array(zone.normal) - zone.offset
    assert np.abs(heights).max() == pytest.approx(zone.deviation / 2, abs=1e-12)
    assert heights[list(zone.high)] == pytest.approx(zone.deviation / 2, abs=1e-12)
    assert heights[list(zone.low)] == pytest.approx(-zone.deviation / 2, abs=1e-12)
    assert len(zone.touching) >= 3
    assert zone.proof is not None and zone.proof.certified
    squares = straightness(points, "least_squares")
    assert squares.deviation >= zone.deviation - 1e-12
    assert max(squares.normal, key=abs) > 0


@given(seeds, kinds, st.integers(4, 300), st.floats(-180, 180))
def test_neither_place_nor_order_nor_unit_matter(seed: int, kind: str, n: int, degrees: float) -> None:
    random = np.random.default_rng(seed)
    points = profile(kind, n, random)
    try:
        zone = straightness(points)
    except ValueError:
        return
    moved = turned(points, degrees) + random.uniform(-1000, 1000, 2)
    assert straightness(moved).deviation == pytest.approx(zone.deviation, rel=0, abs=2e-12)
    assert straightness(random.permutation(points)).deviation == zone.deviation
    assert straightness(points * 0.125).deviation == zone.deviation / 8


@pytest.mark.parametrize("method", ["minimum_zone", "least_squares"])
def test_points_on_a_line_have_none(method: str) -> None:
    zone = straightness([(0, 1), (1, 3), (2, 5), (5, 11)], method)  # type: ignore[arg-type]
    assert zone.deviation == pytest.approx(0, abs=1e-14)


def test_a_bow_is_measured_across_its_chord() -> None:
    zone = straightness([("0", "0"), ("30", "0"), ("15", "0.2")])
    assert zone.deviation == 0.2
    assert (zone.normal, zone.offset, zone.high, zone.low) == ((0.0, 1.0), 0.1, (2,), (0, 1))


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([(0, 0), (1, 0)], "2 given, at least 3"),
        ([(0, 0), (1, 0), (1, 0)], "fewer than 3 different points"),
        ([(0, 0), (1, 0), (2, "flat")], "profile point 3, coordinate 2: 'flat'"),
        (np.zeros((5, 3)), r"shape \(5, 3\)"),
    ],
)
@pytest.mark.parametrize("method", ["minimum_zone", "least_squares"])
def test_what_shows_no_line_is_refused(points: FloatArray, said: str, method: str) -> None:
    with pytest.raises(ValueError, match=said):
        straightness(points, method)  # type: ignore[arg-type]


def test_a_cloud_that_is_no_line_is_refused() -> None:
    square = [(1, 0), (-1, 0), (0, 0.95), (0, -0.95)]
    with pytest.raises(ValueError, match=r"not like a line.*30 degrees"):
        straightness(square)


def test_an_unknown_method_is_refused() -> None:
    with pytest.raises(ValueError, match="the method is minimum_zone or least_squares, not 'two point'"):
        straightness([(0, 0)] * 3, "two point")  # type: ignore[arg-type]
