"""Least-squares line and plane: against SciPy's orthogonal distance regression and what must hold."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize
from scipy.spatial.transform import Rotation

from inspections.metrology import fit_line, fit_plane
from inspections.metrology.numbers import FloatArray
from tests.metrology.faces import KINDS, face, lying

seeds = st.integers(0, 2**32 - 1)


@given(seeds, st.sampled_from(KINDS), st.integers(3, 400))
def test_no_other_plane_is_nearer(seed: int, kind: str, n: int) -> None:
    random = np.random.default_rng(seed)
    points = lying(face(kind, n, random), random)
    plane = fit_plane(points)
    normal = np.array(plane.normal)
    assert np.linalg.norm(normal) == pytest.approx(1, abs=1e-15)
    assert plane.normal[int(np.abs(normal).argmax())] > 0
    assert plane.point == pytest.approx(points.mean(axis=0), abs=1e-11)

    def sum_of_squares(way: FloatArray) -> float:
        rest = (points - plane.point) @ (way / np.linalg.norm(way))
        return float(rest @ rest)

    best = sum_of_squares(normal)
    for size in (1e-9, 1e-6, 1e-3, 1.0):
        assert sum_of_squares(normal + random.normal(0, size, 3)) >= best - 1e-12 * max(best, 1e-9)


@given(seeds, st.integers(2, 300), st.sampled_from([2, 3]))
def test_no_other_line_is_nearer(seed: int, n: int, dimension: int) -> None:
    random = np.random.default_rng(seed)
    way = random.normal(0, 1, dimension)
    points = np.outer(random.uniform(0, 400, n), way) + random.normal(0, 0.01, (n, dimension)) + 50
    line = fit_line(points)
    direction = np.array(line.direction)
    assert np.linalg.norm(direction) == pytest.approx(1, abs=1e-15)
    assert line.direction[int(np.abs(direction).argmax())] > 0
    assert line.point == pytest.approx(points.mean(axis=0), abs=1e-11)

    def sum_of_squares(along: FloatArray) -> float:
        along = along / np.linalg.norm(along)
        rest = points - line.point
        return float(((rest - np.outer(rest @ along, along)) ** 2).sum())

    best = sum_of_squares(direction)
    found = minimize(sum_of_squares, direction, method="Nelder-Mead", options={"xatol": 1e-10})
    assert found.fun >= best * (1 - 1e-9) - 1e-18


@given(seeds, st.integers(4, 60))
def test_fits_turn_with_their_points(seed: int, n: int) -> None:
    random = np.random.default_rng(seed)
    points = face("noise", n, random)
    turn = Rotation.random(rng=random)
    plane, turned = fit_plane(points), fit_plane(turn.apply(points))
    assert abs(float(turn.apply(plane.normal) @ turned.normal)) == pytest.approx(1, abs=1e-12)
    line, turned_line = fit_line(points), fit_line(turn.apply(points))
    # The direction of a broad face is soft: its error is the rounding over the difference of spreads.
    assert abs(float(turn.apply(line.direction) @ turned_line.direction)) == pytest.approx(1, abs=1e-9)


def test_a_line_lies_in_the_plane_or_in_space() -> None:
    assert fit_line([(0, 0), (3, 4)]).direction == pytest.approx((0.6, 0.8), abs=1e-15)
    assert fit_line([(0, 0, 0), (2, -3, -6)]).direction == pytest.approx((-2 / 7, 3 / 7, 6 / 7), abs=1e-15)
    assert fit_plane([(0, 0, 0), (0, 1, 0), (0, 0, 1)]).normal == pytest.approx((1, 0, 0), abs=1e-15)


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([(0, 0)], "line point: 1 given, at least 2"),
        ([(1, 1), (1, 1)], "all points are the same"),
        ([(1, 0), (-1, 0), (0, 1), (0, -1)], "spread as far across as along"),
        ([(0, 0, 0, 0)], "line point 1: 3 coordinates needed"),
        ([], "line point: 0 given"),
        ("text", "give a list of points"),
        (5, "give a list of points"),
        ([(0, 0), (math.inf, 1)], "line point 2, coordinate 1: inf"),
    ],
)
def test_what_shows_no_line_is_refused(points: FloatArray, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        fit_line(points)


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([(0, 0, 0), (1, 0, 0)], "plane point: 2 given, at least 3"),
        ([(1, 1, 1)] * 4, "all points are the same"),
        ([(k, k, 2 * k) for k in range(5)], "along one line"),
        ([(0, 0), (1, 0), (0, 1)], "plane point 1: 3 coordinates needed"),
    ],
)
def test_what_shows_no_plane_is_refused(points: FloatArray, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        fit_plane(points)
