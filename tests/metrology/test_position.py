"""Position of holes: exact on the edge of its zone, and the same in whichever way it is looked at."""

import math
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from inspections.metrology import hole_position
from inspections.metrology.exact_vectors import root_ratio

offsets = st.decimals(-1, 1, places=4)
whole = st.integers(-20, 20)
vectors = st.tuples(whole, whole, whole)
TRIPLES = [(3, 4, 5), (5, 12, 13), (8, 15, 17), (7, 24, 25), (20, 21, 29), (0, 1, 1)]


@given(st.sampled_from(TRIPLES), st.integers(1, 5000), offsets, offsets)
def test_a_hole_on_the_rim_of_its_zone_passes(
    triple: tuple[int, int, int], size: int, x: Decimal, y: Decimal
) -> None:
    a, b, c = (Decimal(part * size) / 100_000 for part in triple)
    for dx, dy in ((a, b), (-b, a)):
        on_rim = hole_position((x, y), (x + dx, y + dy), 2 * c)
        assert on_rim.passes and on_rim.deviation_squared == Fraction(2 * c) ** 2
        assert not hole_position((x, y), (x + dx, y + dy), 2 * c - Decimal("1e-12")).passes
        assert on_rim.deviation == float(2 * c)


@given(vectors, vectors, vectors, st.integers(1, 9))
def test_only_what_is_square_to_the_axis_counts(
    nominal: tuple[int, ...], offset: tuple[int, ...], axis: tuple[int, ...], along: int
) -> None:
    assume(any(axis))
    actual = [a + b for a, b in zip(nominal, offset, strict=True)]
    found = hole_position(nominal, actual, 1, axis=axis)
    slid = [a + along * b for a, b in zip(actual, axis, strict=True)]
    assert hole_position(nominal, slid, 1, axis=axis).deviation_squared == found.deviation_squared
    longer = [-along * part for part in axis]
    assert hole_position(nominal, actual, 1, axis=longer).deviation_squared == found.deviation_squared
    d, n = np.array(offset, float), np.array(axis, float) / np.linalg.norm(axis)
    assert found.deviation == pytest.approx(2 * float(np.linalg.norm(np.cross(d, n))), abs=1e-12)


@given(st.integers(0, 2**32 - 1))
def test_position_does_not_know_the_frame(seed: int) -> None:
    dice = np.random.default_rng(seed)
    nominal, actual = dice.normal(size=3), dice.normal(size=3)
    axis, tilt = np.array([0.0, 0, 1]), np.array([*dice.uniform(-0.2, 0.2, 2), 1.0])
    flat = hole_position(nominal, actual, 1, axis=axis, actual_axis=tilt, projected="0.75")
    turn = Rotation.random(random_state=seed).as_matrix()
    shift = dice.normal(size=3)
    moved = hole_position(
        turn @ nominal + shift, turn @ actual + shift, 1, turn @ axis, turn @ tilt, projected="0.75"
    )
    assert moved.deviation == pytest.approx(flat.deviation, rel=1e-9)
    far = (actual - nominal)[:2] + 0.75 * tilt[:2]
    reference = 2 * max(np.hypot(*(actual - nominal)[:2]), np.hypot(*far))
    assert flat.deviation == pytest.approx(float(reference), rel=1e-12)


def test_a_leaning_thread_fails_at_the_far_end_of_its_zone() -> None:
    """0.003 at the face, leaning 0.008 over 1 in: 0.005 + ... the screw is 0.011 off at its head."""
    square = hole_position((0, 0), ("0.003", 0), "0.015", thread=True)
    leaning = hole_position(
        (0, 0), ("0.003", 0), "0.015", actual_axis=("0.008", 0, 1), projected=1, thread=True
    )
    assert square.passes and square.deviation_squared == Fraction("0.006") ** 2
    assert not leaning.passes and leaning.deviation_squared == Fraction("0.022") ** 2
    back = hole_position((0, 0), ("0.003", 0), "0.006", actual_axis=("-0.003", 0, 1), projected=1)
    assert back.passes, "an axis that leans towards its place is worst at the face"
    in_space = hole_position(
        (0, 0, 5), ("0.003", 0, 5), "0.022", axis=(0, 0, 7), actual_axis=("0.008", 0, 1), projected=1
    )
    assert in_space.passes and in_space.deviation_squared == leaning.deviation_squared


def test_a_measured_axis_leans_less_than_half_a_right_angle() -> None:
    """Whatever the lengths of the two directions: 45° is taken, a hair more is an entry error."""
    for along, rise in (((0, 0, 1), 3), ((0, 0, 7), "0.2"), ((0, 0, "0.01"), 1)):
        hole_position((0, 0), (0, 0), 9, along, (rise, 0, rise), 1)
        with pytest.raises(ValueError, match="within 45°"):
            hole_position((0, 0), (0, 0), 9, along, (Fraction(rise) * Fraction("1.001"), 0, rise), 1)


def test_two_coordinates_lie_square_to_the_third() -> None:
    assert hole_position((0, 0), (1, 0), 2, axis=(0, 0, -5)).passes
    for axis in ((0, 1, 1), (1, 0, 0)):
        with pytest.raises(ValueError, match="two coordinates lie square"):
            hole_position((0, 0), (1, 0), 2, axis=axis)


@given(st.decimals(9, 11, places=3), offsets, st.decimals(0, 1, places=3))
def test_bonus_lies_between_zero_and_the_size_tolerance(size: Decimal, dx: Decimal, zone: Decimal) -> None:
    limits = ("9.5", "10.5")
    at_mmc = hole_position((0, 0), (dx, 0), zone, size=size, size_limits=limits, material="mmc")
    regardless = hole_position((0, 0), (dx, 0), zone, size=size, size_limits=limits)
    thread = hole_position((0, 0), (dx, 0), zone, size=size, size_limits=limits, material="mmc", thread=True)
    bonus = min(max(Fraction(size) - Fraction(19, 2), Fraction(0)), Fraction(1))
    assert at_mmc.bonus == bonus and regardless.bonus == thread.bonus == 0
    assert at_mmc.allowed == Fraction(zone) + bonus
    fits = Decimal("9.5") <= size <= Decimal("10.5")
    assert at_mmc.size_passes is regardless.size_passes is thread.size_passes is fits
    assert at_mmc.passes == (fits and 2 * abs(Fraction(dx)) <= at_mmc.allowed)
    assert regardless.passes == (fits and 2 * abs(Fraction(dx)) <= Fraction(zone))


def test_a_size_outside_its_limits_fails_by_itself() -> None:
    assert not hole_position((0, 0), (0, 0), 1, size="10.001", size_limits=(9, 10)).passes
    assert hole_position((0, 0), (0, 0), 1, size="10", size_limits=(9, 10)).passes
    assert hole_position((0, 0), (0, 0), 1, size=8, size_limits=(None, 10)).passes
    assert hole_position((0, 0), (0, 0), 0).passes
    assert hole_position((0, 0), (0, 0), 1).size_passes is None


@given(st.fractions(0, 1000, max_denominator=10**6))
def test_roots_are_exact_or_right_to_sixty_digits(value: Fraction) -> None:
    assert root_ratio(value**2) == value
    root = root_ratio(value)
    assert root**2 <= value
    assert (root * (1 + Fraction(1, 10**58)) + Fraction(1, 10**80)) ** 2 > value
    assert float(root) == pytest.approx(math.sqrt(value), rel=1e-15)
