"""The axis and what is judged from it: built parts come back, and no frame is better than another."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from inspections.metrology import (
    Axis,
    axis_from_journals,
    clocking,
    face_to_axis,
    fit_pattern,
    flatness,
    pilot_to_axis,
    straightness,
)
from inspections.metrology.axis import square_to
from inspections.metrology.numbers import FloatArray

seeds = st.integers(0, 2**32 - 1)


def ring(station: float, radius: float, count: int, dice: np.random.Generator, noise: float) -> FloatArray:
    """Points around x at a station, spread a little along it."""
    angles = np.sort(dice.uniform(0, 2 * math.pi, count)) + np.arange(count) * 2 * math.pi / count
    r = radius + dice.normal(0, noise, count)
    x = station + dice.uniform(-0.5, 0.5, count)
    return np.column_stack((x, r * np.cos(angles), r * np.sin(angles)))


@given(seeds)
def test_round_journals_give_their_axis_in_any_frame(seed: int) -> None:
    dice = np.random.default_rng(seed)
    left, right = ring(-28, 1.25, 9, dice, 0), ring(30, 1.1, 12, dice, 0)
    turn, shift = Rotation.random(random_state=seed).as_matrix(), dice.normal(0, 100, 3)
    axis = axis_from_journals(left @ turn.T + shift, right @ turn.T + shift)
    assert np.allclose(axis.direction, turn[:, 0], atol=1e-11)
    assert np.allclose(np.cross(np.array(axis.left) - shift, turn[:, 0]), 0, atol=1e-9)
    assert np.allclose(axis.point, (np.array(axis.left) + axis.right) / 2)
    assert axis.length == pytest.approx(float(np.linalg.norm(np.subtract(axis.right, axis.left))))
    assert np.allclose(axis.distances(left @ turn.T + shift), 1.25, atol=1e-9)


@settings(max_examples=60)
@given(seeds)
def test_journals_are_least_squares_circles_seen_along_the_axis(seed: int) -> None:
    """Both centres at once by a general solver: y, z at each end, such that each circle is a best fit."""
    dice = np.random.default_rng(seed)
    left, right = ring(-28, 1.25, 15, dice, 0.002), ring(30, 1.25, 15, dice, 0.002)
    axis = axis_from_journals(left, right)

    plane = square_to(np.array(axis.direction))
    for points, centre in ((left, axis.left), (right, axis.right)):
        seen = (points - np.array(centre)) @ plane.T

        def misses(c: FloatArray, seen: FloatArray = seen) -> FloatArray:
            return np.asarray(np.hypot(*(seen - c[:2]).T) - c[2])

        best = least_squares(misses, [0.01, 0.01, 1.2], xtol=1e-15, ftol=1e-15, gtol=1e-15).x
        assert np.allclose(best[:2], 0, atol=1e-8)
        assert (np.array(centre) - points.mean(axis=0)) @ axis.direction == pytest.approx(0, abs=1e-11)


def face(
    distance: float, pitch: float, yaw: float, dice: np.random.Generator, noise: float = 0
) -> FloatArray:
    """A face about x = 0: built level at its distance, leaned by yaw, then pitched about x."""
    x, y = dice.uniform(-5, 5, (2, 40))
    z = distance - (x - x.mean()) * math.tan(math.radians(yaw)) + dice.normal(0, noise, 40)
    turn = Rotation.from_rotvec([math.radians(pitch), 0, 0]).as_matrix()
    return np.asarray(np.column_stack((x, y, z)) @ turn.T)


@given(seeds, st.floats(2, 10), st.floats(-30, 30), st.floats(-2, 2))
def test_a_built_face_comes_back(seed: int, distance: float, pitch: float, yaw: float) -> None:
    dice = np.random.default_rng(seed)
    points = face(distance, pitch, yaw, dice)
    turn, shift = Rotation.random(random_state=seed).as_matrix(), dice.normal(0, 50, 3)
    axis = Axis.through(turn @ (-30, 0, 0) + shift, turn @ (30, 0, 0) + shift)
    second = turn @ (0.4, 0, 2.0)
    found = face_to_axis(points @ turn.T + shift, axis, second)
    assert found.distance == pytest.approx(distance, abs=1e-9)
    assert found.yaw == pytest.approx(yaw, abs=1e-8)
    assert found.pitch == pytest.approx(pitch, abs=1e-8)
    length = float(np.ptp(points[:, 0]))
    assert found.rise == pytest.approx(-math.tan(math.radians(yaw)) * length, abs=1e-9)
    outward = (
        turn
        @ Rotation.from_rotvec([math.radians(pitch), 0, 0]).as_matrix()
        @ (math.sin(math.radians(yaw)), 0, math.cos(math.radians(yaw)))
    )
    assert np.allclose(found.normal, outward, atol=1e-9)
    assert face_to_axis(points @ turn.T + shift, axis).pitch is None


@settings(max_examples=60)
@given(seeds)
def test_parallelism_is_the_zone_that_is_parallel(seed: int) -> None:
    """Brute force: turn a pair of planes about A-B; no turn is narrower, and the flatness is not wider."""
    dice = np.random.default_rng(seed)
    points = face(5, float(dice.uniform(-3, 3)), float(dice.uniform(-0.05, 0.05)), dice, 0.003)
    axis = Axis.through((-30, 0, 0), (30, 0, 0))
    found = face_to_axis(points, axis)
    turns = np.radians(np.linspace(-5, 5, 20001))
    widths = np.ptp(points[:, 1:] @ np.array((-np.sin(turns), np.cos(turns))), axis=0)
    assert found.parallelism <= widths.min() + 1e-12
    assert found.parallelism == pytest.approx(widths.min(), rel=1e-2)
    assert found.parallelism >= flatness(points).deviation - 1e-12
    assert found.parallelism == pytest.approx(straightness(points[:, 1:]).deviation, abs=1e-9)


@given(seeds, st.floats(-0.1, 0.1), st.floats(-1, 1), st.booleans())
def test_a_pilot_bore_off_the_axis(seed: int, offset: float, station: float, deep: bool) -> None:
    dice = np.random.default_rng(seed)
    angles = np.arange(12) * math.pi / 6
    depth = dice.uniform(4, 6, 12) if deep else np.full(12, 5.0)
    bore = np.column_stack((station + 3 * np.cos(angles), offset + 3 * np.sin(angles), depth))
    turn, shift = Rotation.random(random_state=seed).as_matrix(), dice.normal(0, 50, 3)
    axis = Axis.through(turn @ (-30, 0, 0) + shift, turn @ (30, 0, 0) + shift)
    normal = turn @ (0, 0, 2.5)
    found = pilot_to_axis(bore @ turn.T + shift, axis, normal)
    assert (found.offset, found.station, found.radius) == pytest.approx((offset, station, 3), abs=1e-9)
    assert np.allclose(found.center, turn @ (station, offset, depth.mean()) + shift, atol=1e-9)
    if not deep:
        alone = pilot_to_axis(bore @ turn.T + shift, axis)
        assert (alone.offset, alone.station) == pytest.approx((offset, station), abs=1e-9)


def test_a_bore_that_crosses_askew_is_judged_where_they_are_nearest() -> None:
    """Bore along (1, 0, 1) through (0, 0.02, 5): it passes A-B at x = -5, 0.02 above it."""
    along = np.array((1.0, 0, 1)) / math.sqrt(2)
    plane = square_to(along)
    angles = np.arange(8) * math.pi / 4
    bore = np.array((0, 0.02, 5)) + np.column_stack((np.cos(angles), np.sin(angles))) @ plane
    found = pilot_to_axis(bore, Axis.through((-30, 0, 0), (30, 0, 0)), along)
    assert (found.offset, found.station) == pytest.approx((0.02, -5), abs=1e-9)


@given(seeds, st.floats(-179, 179), st.floats(-179, 179), st.sampled_from(["least_squares", "minimax"]))
def test_clocking_is_the_turn_against_the_axis(seed: int, turn: float, axis: float, method: str) -> None:
    dice = np.random.default_rng(seed)
    angles = np.arange(10) * math.pi / 5
    holes = np.column_stack((4 * np.cos(angles), 4 * np.sin(angles))) + dice.normal(0, 3, 2)
    c, s = math.cos(math.radians(turn + axis)), math.sin(math.radians(turn + axis))
    made = holes @ np.array(((c, s), (-s, c))) + dice.normal(0, 10, 2)
    direction = (math.cos(math.radians(axis)), math.sin(math.radians(axis)))
    found = clocking(holes, made, direction, method)  # type: ignore[arg-type]
    assert math.remainder(found.angle - turn, 360) == pytest.approx(0, abs=1e-7)
    assert -180 < found.angle <= 180
    assert found.slip == pytest.approx(math.radians(found.angle) * 4)
    assert clocking(holes, made, (1, 0)).angle == pytest.approx(
        fit_pattern(holes, made, "least_squares").rotation
    )


def test_half_a_turn_is_positive() -> None:
    assert clocking([(1, 0), (-1, 0)], [(-1, 0), (1, 0)]).angle == pytest.approx(180)
    assert clocking([(1, 0), (-1, 0)], [(1, 0), (-1, 0)], (-1, 0)).angle == pytest.approx(180)


def test_a_point_has_a_distance_from_the_axis() -> None:
    assert Axis.through((-30, 0, 0), (30, 0, 0)).distances([(99, 3, 4)]).tolist() == [5]


def test_a_face_through_the_axis_has_no_outside() -> None:
    """Judged by the size of the face: on a face of 100, less than a ten-thousandth is nothing."""
    axis = Axis.through((-300, 0, 0), (300, 0, 0))
    for distance, taken in ((0.00009, False), (0.00011, True)):
        corners = [(x, y, distance) for x in (-50, 50) for y in (-50, 50)]
        if taken:
            found = face_to_axis(corners, axis)
            assert found.distance == pytest.approx(distance)
            assert found.parallelism == 0, "two lines parallel to A-B always lie in one plane"
        else:
            with pytest.raises(ValueError, match="A-B lies in the face"):
                face_to_axis(corners, axis)
