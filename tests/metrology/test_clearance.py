"""Room for the shaft: against a general solver, and at its limits."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from inspections.metrology import shaft_clearance
from inspections.metrology.numbers import FloatArray

seeds = st.integers(0, 2**32 - 1)


def tube(seed: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Stations, centres and bores of a bowed end with a narrow snout."""
    dice = np.random.default_rng(seed)
    count = int(dice.integers(2, 15))
    z = np.cumsum(dice.uniform(0.5, 4, count))
    centres = dice.normal(0, 0.03, (count, 2)) + np.outer(z, dice.normal(0, 0.002, 2))
    bores = np.where(dice.random(count) < 0.4, 2.0, dice.uniform(2.0, 3.0, count))
    return z, centres, bores


@settings(max_examples=30)
@given(seeds)
def test_clearance_on_the_given_axis_is_plain_geometry(seed: int) -> None:
    z, centres, bores = tube(seed)
    shafts = np.where(z > z.mean(), 1.5, 1.4)
    axis = [(0.01, -0.02, -3), (-0.03, 0.01, 40)]
    found = shaft_clearance(z, *centres.T, bores, shafts, axis)
    start, end = np.array(axis)
    line = start[:2] + np.outer((z - start[2]) / (end - start)[2], (end - start)[:2])
    rooms = [b / 2 - s / 2 - math.dist(o, p) for b, s, o, p in zip(bores, shafts, centres, line, strict=True)]
    assert found.clearances == pytest.approx(rooms, abs=1e-12)
    assert found.least == min(found.clearances) and found.where == z[int(np.argmin(found.clearances))]
    straight = shaft_clearance(z, *centres.T, bores, "1.5")
    assert straight.clearances == pytest.approx((bores - 1.5) / 2 - np.hypot(*centres.T), abs=1e-12)


@settings(max_examples=50)
@given(seeds)
def test_no_line_has_room_for_more(seed: int) -> None:
    """Convex: a local solver started anywhere finds the same radius; the proof's bounds agree."""
    z, centres, bores = tube(seed)
    found = shaft_clearance(z, *centres.T, bores, 1)
    scaled = (z - z.mean()) / np.ptp(z)

    def spare(v: FloatArray) -> FloatArray:
        return np.asarray(bores / 2 - np.hypot(*(centres - v[:2] - np.outer(scaled, v[2:4])).T) - v[4])

    best = minimize(
        lambda v: -v[4],
        [*centres.mean(axis=0), 0, 0, 0.5],
        constraints={"type": "ineq", "fun": spare},
        method="SLSQP",
        options={"ftol": 1e-14, "maxiter": 500},
    )
    assert found.proof.certified
    # The solver may overstep its constraints a little; what it really reaches is a bound from below.
    reached = best.x[4] + min(0.0, float(spare(best.x).min()))
    assert found.largest / 2 >= reached - 1e-9
    assert found.largest / 2 == pytest.approx(reached, abs=1e-4)
    assert found.proof.lower <= found.proof.upper and found.largest == pytest.approx(2 * found.proof.lower)
    least = np.sort(bores)[0]
    assert found.largest <= least + 1e-12


@settings(max_examples=25)
@given(seeds, st.floats(0, 6.28), st.floats(-1, 1), st.floats(-1, 1))
def test_turning_and_shifting_change_nothing(seed: int, turn: float, dx: float, dy: float) -> None:
    z, centres, bores = tube(seed)
    c, s = math.cos(turn), math.sin(turn)
    moved = centres @ np.array(((c, s), (-s, c))) + (dx, dy)
    here, there = (shaft_clearance(z, *o.T, bores, 1) for o in (centres, moved))
    assert there.largest == pytest.approx(here.largest, abs=1e-8)


def test_two_rings_pass_the_smaller_of_them() -> None:
    found = shaft_clearance([0, 10], [0, 3], [0, 4], [2, 3], 1)
    assert found.largest == pytest.approx(2)
    assert found.tilt_error == pytest.approx((math.sqrt(1 + 0.25) - 1), rel=0.3)
    same = shaft_clearance([0, 10, 20], [0, 0, 0], [0, 0, 0], 2, "1.5")
    assert (same.largest, same.least, same.tilt_error) == (2, 0.25, 0)
    assert same.proof.certified and same.proof.touching == (0, 1, 2)


def test_a_shaft_that_touches_has_negative_room() -> None:
    found = shaft_clearance([0, 10, 20], [0, 1, 0], [0, 0, 0], 2, "1.9")
    assert found.least == pytest.approx(-0.95) and found.where == 10
    assert found.largest == pytest.approx(1)
    closed = shaft_clearance([0, 10, 20], [0, 5, 0], [0, 0, 0], 2, "1.9")
    assert closed.largest == 0


def test_tilt_error_bounds_what_the_model_overlooks() -> None:
    """A tilted cylinder cuts the plane of a bore in an ellipse; its long half axis against the circle's."""
    for slope in (0.001, 0.01, 0.1):
        found = shaft_clearance([0, 10], [0, 0], [0, 0], 2, "1.5", [(0, 0, 0), (10 * slope, 0, 10)])
        direction = np.array((slope, 0, 1)) / math.hypot(slope, 1)
        around = np.linspace(0, 2 * math.pi, 721)
        u, v = np.array((direction[2], 0, -direction[0])), np.array((0, 1, 0))
        circle = 0.75 * (np.outer(np.cos(around), u) + np.outer(np.sin(around), v))
        flat = circle - np.outer(circle[:, 2] / direction[2], direction)
        overlooked = float(np.hypot(*flat.T[:2]).max()) - 0.75
        assert overlooked <= found.tilt_error + 1e-12
        assert found.tilt_error <= 1.01 * overlooked * (1 / 0.75)
