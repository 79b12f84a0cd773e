"""The moves of a pattern: derivatives against differences, the bound against a scan and a linear system."""

import cmath
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.metrology.numbers import FloatArray
from inspections.metrology.pattern_moves import Moves
from inspections.metrology.pattern_search import least_worst

seeds = st.integers(0, 2**32 - 1)


def some_moves(random: np.random.Generator, n: int, scaled: bool) -> Moves:
    holes = random.normal(0, 30, (2, n))
    return Moves(holes - holes.mean(axis=1)[:, None], random.normal(0, 1, (2, n)), scaled)


def as_complex(vectors: FloatArray) -> np.ndarray:
    return np.asarray(vectors[0] + 1j * vectors[1])


@given(seeds, st.integers(2, 9), st.booleans())
def test_a_move_turns_and_shifts_the_whole_pattern(seed: int, n: int, scaled: bool) -> None:
    random = np.random.default_rng(seed)
    moves = some_moves(random, n, scaled)
    x = random.normal(0, 20, moves.size)
    holes, misses = moves.after(x)
    factor = (
        complex(1 + x[1] / moves.radius, x[0] / moves.radius)
        if scaled
        else cmath.exp(1j * x[0] / moves.radius)
    )
    assert 1 + moves.factor(x) == pytest.approx(factor, abs=1e-14)
    assert as_complex(holes) == pytest.approx(factor * as_complex(moves.holes), abs=1e-11)
    shift = complex(x[-2], x[-1])
    moved = as_complex(moves.misses) + (factor - 1) * as_complex(moves.holes) + shift
    assert as_complex(misses) == pytest.approx(moved, abs=1e-11)
    assert moves.radius == pytest.approx(np.abs(as_complex(moves.holes)).max(), rel=1e-15)


@given(seeds, st.integers(2, 9), st.booleans())
def test_derivatives_are_those_of_the_squares(seed: int, n: int, scaled: bool) -> None:
    random = np.random.default_rng(seed)
    moves = some_moves(random, n, scaled)
    x = random.normal(0, 5, moves.size)
    weights = random.uniform(0, 1, n)
    here = moves.near(x)
    assert here.squares == pytest.approx((moves.after(x)[1] ** 2).sum(axis=0), rel=1e-12)
    step = 1e-4
    for k, way in enumerate(np.eye(moves.size)):
        ahead, behind = moves.near(x + step * way), moves.near(x - step * way)
        slope = (ahead.squares - behind.squares) / (2 * step)
        assert here.gradients[k] == pytest.approx(slope, abs=1e-4, rel=1e-5)
        bend = (ahead.gradients - behind.gradients) @ weights / (2 * step)
        assert here.curvature(weights)[k] == pytest.approx(bend, abs=1e-4, rel=1e-5)


@settings(max_examples=40)
@given(seeds, st.integers(2, 7), st.sampled_from([0.1, 10.0, 100.0]))
def test_the_bound_is_the_least_weighted_mean_over_all_turns(seed: int, n: int, error: float) -> None:
    random = np.random.default_rng(seed)
    moves = some_moves(random, n, scaled=False)
    moves = Moves(moves.holes, moves.misses * error, False)
    weights = random.uniform(0, 1, n)
    share = weights / weights.sum()
    bound = moves.lower_bound(random.normal(0, 30, 3), weights)

    def mean_square(turn: float) -> float:
        misses = moves.after(np.array([turn * moves.radius, 0.0, 0.0]))[1]
        rest = misses - (misses @ share)[:, None]
        return float((rest * rest).sum(axis=0) @ share)

    scan = min(mean_square(turn) for turn in np.linspace(-math.pi, math.pi, 721))
    assert bound**2 <= scan * (1 + 1e-9)
    # Along the turn it is a + c cos(turn - t): between two places of the scan it falls by c / 2 (pi/720)^2.
    swing = max(mean_square(turn) for turn in np.linspace(-math.pi, math.pi, 73)) - scan
    assert bound**2 >= scan - swing * (math.pi / 720) ** 2 * 0.51 - 1e-9 * scan


@given(seeds, st.integers(2, 9), st.sampled_from([0.1, 10.0, 100.0]))
def test_the_bound_with_free_size_is_a_linear_least_squares(seed: int, n: int, error: float) -> None:
    random = np.random.default_rng(seed)
    moves = some_moves(random, n, scaled=True)
    moves = Moves(moves.holes, moves.misses * error, True)
    weights = random.uniform(0, 1, n)
    x, y = moves.holes
    rows = np.vstack(
        (
            np.column_stack((-y, x, np.ones(n), np.zeros(n))),
            np.column_stack((x, y, np.zeros(n), np.ones(n))),
        )
    )
    root = np.sqrt(np.tile(weights / weights.sum(), 2))
    right = -moves.misses.ravel() * root
    answer = np.linalg.lstsq(rows * root[:, None], right, rcond=None)[0]
    least = float(((rows * root[:, None] @ answer - right) ** 2).sum())
    bound = moves.lower_bound(random.normal(0, 5, 4), weights)
    assert bound**2 == pytest.approx(least, rel=1e-6, abs=1e-9 * error**2)


def test_weights_that_say_nothing_bound_nothing() -> None:
    moves = some_moves(np.random.default_rng(1), 4, scaled=False)
    assert moves.lower_bound(np.zeros(3), np.array([0.0, -1.0, 0.0, 0.0])) == 0.0


@given(seeds, st.integers(3, 40), st.booleans())
def test_the_holes_that_share_the_worst_are_named(seed: int, n: int, scaled: bool) -> None:
    random = np.random.default_rng(seed)
    moves = some_moves(random, n, scaled)
    best = least_worst(moves, np.zeros(moves.size))
    squares = moves.near(best.move).squares
    assert best.worst**2 == pytest.approx(squares.max(), rel=1e-12)
    assert best.active == tuple(np.flatnonzero(squares >= squares.max() * (1 - 1e-9)))
    assert best.lower <= best.worst
    assert best.worst - best.lower <= 1e-9 * best.worst
    # Two or more share it, at most one more than there are unknowns unless by chance.
    assert 2 <= len(best.active) <= moves.size + 1
