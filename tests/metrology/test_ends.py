"""Ends of a housing and the bar they are measured from: bent on paper, found again."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from inspections.metrology import Bar, Rolled, end_alignment
from inspections.metrology.numbers import FloatArray

angles = st.floats(-2, 2)
STATIONS = np.array([-30.0, -20, -8, 0, 8, 19, 30])


def bent(left: tuple[float, float], right: tuple[float, float]) -> tuple[FloatArray, FloatArray]:
    """Forward and upward offsets of straight ends with these (camber, toe), left and right."""
    x, y = np.zeros(7), np.zeros(7)
    for (camber, toe), here in ((left, STATIONS < 0), (right, STATIONS > 0)):
        reach = np.abs(STATIONS[here])
        y[here] = -reach * math.tan(math.radians(camber))
        x[here] = reach * math.tan(math.radians(toe))
    return x, y


@given(angles, angles, angles, angles)
def test_each_end_points_where_it_was_bent(a: float, b: float, c: float, d: float) -> None:
    x, y = bent((a, b), (c, d))
    found = end_alignment(STATIONS, x, y)
    assert found.left is not None and found.right is not None and found.sag is None
    assert (found.left.camber, found.left.toe) == pytest.approx((a, b), abs=1e-9)
    assert (found.right.camber, found.right.toe) == pytest.approx((c, d), abs=1e-9)
    assert found.left.bow == pytest.approx(0, abs=1e-12) and found.left.reach == 30
    wanted = end_alignment(STATIONS, x, y, camber="-0.25", toe="0.1")
    assert wanted.left is not None
    straightened = y.copy()
    straightened[STATIONS < 0] += np.abs(STATIONS[STATIONS < 0]) / 30 * wanted.left.move_up
    ahead = x.copy()
    ahead[STATIONS < 0] += np.abs(STATIONS[STATIONS < 0]) / 30 * wanted.left.move_forward
    again = end_alignment(STATIONS, ahead, straightened, camber="-0.25", toe="0.1")
    assert again.left is not None
    assert (again.left.camber, again.left.toe) == pytest.approx((-0.25, 0.1), abs=1e-9)
    assert (again.left.move_up, again.left.move_forward) == pytest.approx((0, 0), abs=1e-9)


@given(angles, angles, st.floats(-180, 180))
def test_the_second_datum_says_what_is_up(camber: float, toe: float, attitude: float) -> None:
    x, y = bent((camber, toe), (camber, toe))
    c, s = math.cos(math.radians(attitude)), math.sin(math.radians(attitude))
    # Seen in a frame whose up is turned back by the attitude.
    found = end_alignment(STATIONS, c * x + s * y, c * y - s * x, attitude=attitude)
    assert found.right is not None
    assert (found.right.camber, found.right.toe) == pytest.approx((camber, toe), abs=1e-9)


def test_directions_by_eye() -> None:
    """Right end up and forward: the wheel's top leans in, its front turns in."""
    found = end_alignment([0, 30], [0, 1], [0, 1])
    assert found.left is None and found.right is not None
    assert found.right.camber < 0 < found.right.toe
    assert found.right.move_up == -1 and found.right.move_forward == -1
    assert found.right.bow is None and found.right.bow_station is None
    left = end_alignment([-30, -10], [0, 0], [0, "0.2"]).left
    assert left is not None and left.camber > 0 and left.reach == 20
    turned = end_alignment([0, 30], [0, 0], [0, 1], attitude=90).right
    assert turned is not None
    assert turned.camber == pytest.approx(0) and turned.toe == pytest.approx(-math.degrees(math.atan(1 / 30)))


def test_bow_is_the_greatest_step_off_the_line() -> None:
    z = [0, 10, 20, 30, -10, -20, -30][3::-1][::-1]
    found = end_alignment(z, [0, 0, 0, 0], [0, "0.03", "0.03", 0]).right
    assert found is not None
    assert found.camber == 0
    assert (found.bow, found.bow_station) == pytest.approx((0.015, 0))
    sideways = end_alignment([-30, -20, -10], [0, "0.03", 0], ["0.04", 0, "0.04"]).left
    assert sideways is not None
    assert sideways.bow == pytest.approx(math.hypot(0.02, 0.08 / 3))
    assert sideways.bow_station == -20


@given(st.lists(st.floats(-0.1, 0.1), min_size=7, max_size=7), st.floats(0, 0.05))
def test_a_roll_takes_out_whatever_stays_with_the_room(housing: list[float], hang: float) -> None:
    sag = -hang * (1 - (STATIONS / 30) ** 2)
    own = np.array(housing)
    first = end_alignment(STATIONS, own[::-1], own + sag, Rolled(-own[::-1], -own + sag))
    plain = end_alignment(STATIONS, own[::-1], own)
    assert first.sag == pytest.approx(tuple(sag), abs=1e-12)
    for one, other in ((first.left, plain.left), (first.right, plain.right)):
        assert one is not None and other is not None
        assert one.camber == pytest.approx(other.camber, abs=1e-9)
        assert one.toe == pytest.approx(other.toe, abs=1e-9)
        assert one.bow == pytest.approx(other.bow, abs=1e-9)


def test_the_bar_s_sag_is_added() -> None:
    """A straight housing over a hanging bar reads high in the middle; corrected, both ends are straight."""
    bar = Bar("1.5", (-30, 30))
    fall = bar.sag(STATIONS)
    found = end_alignment(STATIONS, [0] * 7, -fall, bar)
    assert found.left is not None and found.right is not None and found.sag == tuple(fall)
    assert found.left.camber == found.right.camber == 0
    raw = end_alignment(STATIONS, [0] * 7, -fall)
    assert raw.right is not None and raw.right.camber > 0.01


@pytest.mark.parametrize(
    ("supports", "ends"), [((-20, 20), (-30, 30)), ((-10, 25), (-28, 30)), ((0, 40), (0, 55))]
)
def test_sag_is_the_solution_of_the_beam(supports: tuple[float, float], ends: tuple[float, float]) -> None:
    """The beam equation by a boundary value solver, from the bending moment cut by cut."""
    bar = Bar(2, supports, bore=1, ends=ends)
    weight = 9.80665 * 7850 * 0.0254 * 16 / (205e9 * 5)
    (a, b), (start, end) = supports, ends
    whole = end - start
    right = whole * ((start + end) / 2 - a) / (b - a)

    def moment(z: FloatArray) -> FloatArray:
        hung = -((z - start) ** 2) / 2
        held = (whole - right) * np.clip(z - a, 0, None) + right * np.clip(z - b, 0, None)
        return np.asarray(weight * (hung + held))

    # Between the supports, where both ends are known to be zero.
    z = np.linspace(a, b, 401)
    solved = solve_bvp(
        lambda z, y: np.vstack((y[1], moment(z))),
        lambda p, q: np.array([p[0], q[0]]),
        z,
        np.zeros((2, 401)),
        tol=1e-8,
    )
    assert solved.success
    assert bar.sag(z) == pytest.approx(solved.sol(z)[0], abs=1e-9)
    assert bar.slope(z) == pytest.approx(solved.sol(z)[1], abs=1e-9)
    # Over the overhangs the slope is the integral of the moment.
    for outer, support in ((start, a), (end, b)):
        if outer != support:
            grid = np.linspace(support, outer, 2001)
            steps = (moment(grid)[1:] + moment(grid)[:-1]) / 2 * np.diff(grid)
            assert bar.slope([outer])[0] - bar.slope([support])[0] == pytest.approx(steps.sum(), rel=1e-5)
    assert bar.sag([a, b]) == pytest.approx([0, 0], abs=1e-15)


def test_units_of_the_bar() -> None:
    inch = Bar(2, (-30, 30)).sag([0])[0]
    mm = Bar("50.8", (-762, 762), unit="mm").sag([0])[0]
    assert mm == pytest.approx(25.4 * inch)
    assert Bar(2, (-30, 30), bore="1.9").sag([0])[0] > inch, "a tube sags less than a solid bar"
    assert Bar(2, (-30, 30), density=0).sag([0])[0] == 0
    assert Bar(2, (-30, 30), elasticity=410_000_000_000).sag([0])[0] == pytest.approx(inch / 2)
