"""The face cut: against a search over planes, and against limits laid exactly on its edge."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from scipy.spatial.transform import Rotation

from inspections.metrology import face_cut, face_to_axis, shims
from inspections.metrology.axis import Axis
from inspections.metrology.numbers import FloatArray

seeds = st.integers(0, 2**32 - 1)


def warped(dice: np.random.Generator, count: int = 12, pitch: float = 0.0) -> FloatArray:
    """A welded face: 10 by 8, at 5 from A-B, warped by 0.05, its frame pitched by so many degrees."""
    x, y = dice.uniform(-5, 5, count), dice.uniform(-4, 4, count)
    z = 5 + dice.uniform(0, 0.05, count) + 0.004 * y * dice.normal()
    turn = Rotation.from_rotvec([math.radians(pitch), 0, 0]).as_matrix()
    return np.asarray(np.column_stack((x, y, z)) @ turn.T)


def deepest(points: FloatArray, pitch: float, yaw: float = 0.0, most: float = math.inf) -> float:
    """Deepest cut of the plane with this pitch and yaw (radians) that cleans every point: plain geometry."""
    c, s = math.cos(pitch), math.sin(pitch)
    heights = points[:, 2] * c - points[:, 1] * s + points[:, 0] * math.tan(yaw)
    return float(heights.max() - min(heights.min(), most))


@settings(max_examples=80)
@given(seeds, st.floats(-20, 20))
def test_no_pitch_cuts_less(seed: int, tilt: float) -> None:
    dice = np.random.default_rng(seed)
    points = warped(dice, int(dice.integers(4, 40)), tilt)
    cut = face_cut(points, 1, "0.1")
    assert cut.saved and cut.depth is not None and cut.pitch is not None
    assert cut.yaw == 0 and cut.forbids == () and not cut.together
    assert cut.depth == pytest.approx(deepest(points, math.radians(cut.pitch)), abs=1e-9)
    around = math.radians(cut.pitch) + np.linspace(-0.05, 0.05, 2001)
    searched = min(deepest(points, float(pitch)) for pitch in around)
    assert cut.depth <= searched + 1e-9
    assert cut.depth == pytest.approx(max(cut.depths)) and min(cut.depths) == pytest.approx(0, abs=1e-9)
    assert cut.least_remaining == pytest.approx(1 - cut.depth)


@settings(max_examples=20)
@given(seeds)
def test_free_yaw_is_searched_too(seed: int) -> None:
    dice = np.random.default_rng(seed)
    points = warped(dice, 12, float(dice.uniform(-10, 10)))
    cut = face_cut(points, 1, "0.1", yaw=None)
    assert cut.depth is not None and cut.pitch is not None and cut.yaw is not None
    grid = np.linspace(-0.02, 0.02, 41)
    base = math.radians(cut.pitch), math.radians(cut.yaw)
    searched = min(deepest(points, base[0] + p, base[1] + y) for p in grid for y in grid)
    assert cut.depth <= searched + 1e-7
    assert cut.depth <= (face_cut(points, 1, "0.1").depth or math.inf) + 1e-9
    held = face_cut(points, 1, "0.1", yaw=("-0.05", "0.05"))
    assert held.depth is not None and held.yaw is not None and abs(held.yaw) <= 0.05
    assert cut.depth - 1e-9 <= held.depth


@settings(max_examples=40)
@given(seeds, st.floats(-0.3, 0.3), st.floats(0.02, 0.3))
def test_limits_are_kept_and_the_best_within_them_is_found(seed: int, low: float, width: float) -> None:
    dice = np.random.default_rng(seed)
    points = warped(dice, 10)
    high_distance = 5.0 - float(dice.uniform(-0.02, 0.05))
    cut = face_cut(points, 1, "0.1", distance=(None, high_distance), pitch=(low, low + width))
    assert cut.pitch is not None and cut.distance is not None and cut.depth is not None
    assert low <= cut.pitch <= low + width and cut.distance <= high_distance
    best = minimize_scalar(
        lambda p: deepest(points, p, most=high_distance),
        bounds=(math.radians(low), math.radians(low + width)),
        method="bounded",
        options={"xatol": 1e-12},
    )
    ends = min(deepest(points, math.radians(p), most=high_distance) for p in (low, low + width))
    assert cut.depth == pytest.approx(min(best.fun, ends), abs=1e-7)


@settings(max_examples=50)
@given(seeds)
def test_thickness_is_kept_to_its_limit_and_not_beyond(seed: int) -> None:
    """The least thickness that the best cut leaves is the limit up to which the face is saved."""
    dice = np.random.default_rng(seed)
    points = warped(dice, 9)
    plate = dice.uniform(0.4, 0.6, 9)
    free = face_cut(points, plate, 0, pitch=(0, 0))
    assert free.saved and free.least_remaining is not None
    depths = points[:, 2] - points[:, 2].min()
    assert free.least_remaining == pytest.approx(float((plate - depths).min()), abs=1e-9)
    at_limit = face_cut(points, plate, free.least_remaining, pitch=(0, 0))
    assert at_limit.saved and at_limit.least_remaining == pytest.approx(free.least_remaining, abs=1e-12)
    beyond = face_cut(points, plate, free.least_remaining + 1e-3, pitch=(0, 0), yaw=(0, 0))
    assert not beyond.saved and "thickness" in beyond.forbids
    assert (beyond.depth, beyond.pitch, beyond.yaw, beyond.least_remaining) == (None,) * 4


def test_each_limit_is_named_when_it_forbids() -> None:
    level = [(x, y, 5 + 0.001 * (x * y > 0)) for x in (-5, 5) for y in (-4, 4)]
    assert face_cut(level, "0.5", "0.4", distance=("5.01", None)).forbids == ("distance",)
    pitched = [(x, y, 5 + 0.02 * y) for x in (-5, 5) for y in (-4, 4)]
    steep = face_cut(pitched, "0.5", "0.45", distance=("4.9", None), pitch=(0, 0))
    assert steep.forbids == ("thickness", "pitch") and not steep.together
    askew = [(x, y, 5 + 0.02 * x) for x in (-5, 5) for y in (-4, 4)]
    assert face_cut(askew, "0.5", "0.45", pitch=(0, 0)).forbids == ("thickness", "yaw")
    both = face_cut(level, "0.5", "0.4995", distance=("5.01", None), pitch=(0, 0))
    assert both.together and both.forbids == ("thickness", "distance")
    assert face_cut(level, "0.5", "0.6").forbids == ("thickness",)


def test_a_distance_asked_for_is_cut_to() -> None:
    level = [(x, y, 5) for x in (-5, 5) for y in (-4, 4)]
    cut = face_cut(level, "0.5", "0.4", distance=("4.9", "4.95"))
    assert (cut.distance, cut.depth) == pytest.approx((4.95, 0.05))
    assert cut.least_remaining == pytest.approx(0.45)
    exact_cut = face_cut(level, "0.5", "0.4", distance=("4.9", "4.9"))
    assert exact_cut.saved and exact_cut.least_remaining == 0.4
    assert not face_cut(level, "0.5", "0.4001", distance=("4.9", "4.9")).saved


@settings(max_examples=50)
@given(seeds, st.floats(-5, 5), st.floats(-0.5, 0.5))
def test_the_cut_face_is_what_it_says(seed: int, tilt: float, lean: float) -> None:
    """Points of the cut face, measured again against A-B, have the distance, pitch and yaw of the cut."""
    dice = np.random.default_rng(seed)
    cut = face_cut(warped(dice, 12, tilt), 1, "0.1", yaw=(lean, lean))
    assert cut.pitch is not None and cut.yaw is not None and cut.distance is not None
    pitch, yaw = math.radians(cut.pitch), math.radians(cut.yaw)
    x, y = dice.uniform(-4, 4, (2, 8))
    x -= x.mean()
    flat = np.column_stack((x, y, cut.distance - x * math.tan(yaw)))
    made = flat @ Rotation.from_rotvec([pitch, 0, 0]).as_matrix().T
    again = face_to_axis(made, Axis.through((-30, 0, 0), (30, 0, 0)), (0, 0, 1))
    assert (again.distance, again.pitch, again.yaw) == pytest.approx(
        (cut.distance, cut.pitch, lean), abs=1e-8
    )


@settings(max_examples=50)
@given(seeds, st.floats(-1.5, 1.5), st.floats(-1, 1))
def test_shims_bring_the_cut_level(seed: int, tilt: float, lean: float) -> None:
    """Raise three jacks and carry the plane along as a rigid body: its normal stands upright."""
    dice = np.random.default_rng(seed)
    cut = face_cut(warped(dice, 12, tilt), 1, "0.1", yaw=(lean, lean))
    jacks = np.array([(-30.0, -8.0), (30.0, -8.0), (0.0, 10.0)])
    heights = np.array(shims(cut, jacks).heights)
    assert heights.min() == 0
    lifted = np.linalg.solve(np.column_stack((np.ones(3), jacks)), heights)
    assert cut.pitch is not None and cut.yaw is not None
    pitch, yaw = math.radians(cut.pitch), math.radians(cut.yaw)
    normal = np.array((math.sin(yaw), -math.cos(yaw) * math.sin(pitch), math.cos(yaw) * math.cos(pitch)))
    up = np.array((-lifted[1], -lifted[2], 1.0))
    axis = np.cross((0, 0, 1), up / np.linalg.norm(up))
    turn = Rotation.from_rotvec(axis / max(np.linalg.norm(axis), 1e-300) * math.asin(np.linalg.norm(axis)))
    assert np.degrees(math.acos(min(1.0, float(turn.apply(normal)[2])))) < 0.005


def test_four_jacks_stand_in_one_plane() -> None:
    cut = face_cut([(-4, -3, 5), (4, -3, 5), (4, 3, "5.06"), (-4, 3, "5.06")], 1, "0.5")
    heights = shims(cut, [(-10, -5), (10, -5), (10, 5), (-10, 5)]).heights
    assert heights == pytest.approx((0.1, 0.1, 0, 0), abs=1e-6)
    level = face_cut([(-4, -3, 5), (4, -3, 5), (4, 3, 5), (-4, 3, 5)], 1, "0.5")
    assert shims(level, [(0, 0), (1, 0), (0, 1)]).heights == pytest.approx((0, 0, 0), abs=1e-15)
    assert level.depth == 0 and level.least_remaining == 1
