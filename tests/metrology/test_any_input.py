"""Whatever points are handed in: a result that holds together, or a ValueError with a sentence."""

import math
import re
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.metrology import (
    Ring,
    Zone,
    fit_circle,
    fit_line,
    fit_pattern,
    fit_plane,
    flatness,
    roundness,
    straightness,
)
from inspections.metrology.numbers import FloatArray, Points

METHODS = ("minimum_zone", "least_squares", "minimum_circumscribed", "maximum_inscribed")
IN_PLANE: list[Callable[[Points], object]] = [
    fit_circle,
    fit_line,
    straightness,
    lambda points: straightness(points, "least_squares"),
    *(lambda points, method=method: roundness(points, method) for method in METHODS),
    lambda points: fit_pattern(points, list(points)[::-1]),
    lambda points: fit_pattern(points, list(points)[::-1], "least_squares"),
    lambda points: fit_pattern(points, list(points)[::-1], scale=True),
]
IN_SPACE: list[Callable[[Points], object]] = [
    fit_line,
    fit_plane,
    flatness,
    lambda points: flatness(points, "least_squares"),
]

coarse = st.integers(-4, 4)
fine = st.floats(-1e6, 1e6, allow_subnormal=True)
strange = st.one_of(fine, st.sampled_from([1e-300, -1e-300, 5e-324, 1e30, -1e30, 1e-30, 0.0, -0.0]))


def points_of(
    numbers: st.SearchStrategy[float], dimension: int
) -> st.SearchStrategy[list[tuple[float, ...]]]:
    return st.lists(st.tuples(*[numbers] * dimension), min_size=1, max_size=9)


def holds_or_refuses(function: Callable[[Points], object], points: list[tuple[float, ...]]) -> None:
    try:
        result = function(points)
    except ValueError as refusal:
        assert type(refusal) is ValueError
        assert re.fullmatch(r"[a-z ]+( \d+)?: .+\.", str(refusal)), refusal
        return
    numbers = [float(number) for number in re.findall(r"nan|inf|-?\d+\.\d+(?:e[+-]\d+)?", repr(result))]
    assert all(map(math.isfinite, numbers)), result
    proof = getattr(result, "proof", None)
    if proof is not None:
        assert 0 <= proof.lower <= proof.upper
        assert set(proof.touching) <= set(range(len(points)))


@pytest.mark.parametrize("function", IN_PLANE)
@settings(max_examples=80)
@given(st.one_of(points_of(coarse, 2), points_of(fine, 2), points_of(strange, 2)))
def test_in_the_plane(function: Callable[[Points], object], points: list[tuple[float, ...]]) -> None:
    holds_or_refuses(function, points)


@pytest.mark.parametrize("function", IN_SPACE)
@settings(max_examples=80)
@given(st.one_of(points_of(coarse, 3), points_of(fine, 3), points_of(strange, 3)))
def test_in_space(function: Callable[[Points], object], points: list[tuple[float, ...]]) -> None:
    holds_or_refuses(function, points)


def million(dimension: int) -> FloatArray:
    """A face of 300 mm, or a profile of as much, with 10 micrometres of noise."""
    random = np.random.default_rng(dimension)
    along = random.uniform(0, 300, (1_000_000, dimension - 1))
    return np.column_stack((along, random.normal(0, 0.01, 1_000_000)))


def million_around() -> FloatArray:
    """A bore of 50 mm with 10 micrometres of noise."""
    random = np.random.default_rng(1)
    angle, radius = random.uniform(0, 2 * math.pi, 1_000_000), 50 + random.normal(0, 0.01, 1_000_000)
    return np.column_stack((radius * np.cos(angle), radius * np.sin(angle)))


@pytest.mark.parametrize(
    ("function", "measured"),
    [(flatness, lambda: million(3)), (straightness, lambda: million(2)), (roundness, million_around)],
)
def test_a_million_points_are_no_trouble(
    function: Callable[[Points], Zone | Ring], measured: Callable[[], FloatArray]
) -> None:
    points = measured()
    proof = function(points).proof
    assert proof is not None and proof.certified
    points[500_000, 1] = math.nan
    with pytest.raises(ValueError, match="point 500001, coordinate 2: nan is not a measured value"):
        function(points)


def test_a_million_points_in_one_plane_are_no_trouble() -> None:
    random = np.random.default_rng(2)
    points = np.column_stack((random.uniform(0, 300, (1_000_000, 2)), np.full(1_000_000, 12.5)))
    zone = flatness(points)
    assert zone.deviation == pytest.approx(0, abs=1e-12)
    assert zone.proof is not None and zone.proof.certified
