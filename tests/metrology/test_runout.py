"""Runout and V-blocks: against a part that is really laid into a V, and against Fourier sums."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from inspections.metrology import circular_runout, total_runout, v_block_gain
from inspections.metrology.numbers import FloatArray
from inspections.metrology.v_block import support_lift

RADIUS = 1000.0
lobes = st.integers(1, 12)
v_angles = st.sampled_from([45.0, 60.0, 72.0, 90.0, 108.0, 120.0, 150.0])


def lift_in_v(amplitude: float, n: int, turned: float, v_angle: float) -> float:
    """What an indicator reads on a lobed part laid into a V: support lines of the outline, no gains.

    A part with the support function s(t) (distance of the tangent whose normal points to t) touches a flank
    when the centre is s away from it. The V's flanks have outward normals at -90° ± (90° - v/2).
    """
    half = math.radians(v_angle / 2)

    def support(direction: float) -> float:
        # For small lobes the outline r(t) = R + e(t) has its tangent point next to the normal's direction.
        around = np.linspace(direction - 0.002, direction + 0.002, 401)
        outline = RADIUS + amplitude * np.cos(n * (around - turned))
        return float((outline * np.cos(around - direction)).max())

    left, right = (-math.pi / 2 + side * (math.pi / 2 - half) for side in (-1, 1))
    # Centre (x, y) with x cos(t) + y sin(t) + s(t) = 0 at both flanks; apex of the V at the origin.
    table = np.array([[math.cos(left), math.sin(left)], [math.cos(right), math.sin(right)]])
    x, y = np.linalg.solve(table, [-support(left), -support(right)])
    # The indicator reads the outline above the apex, straight over x = 0.
    top = brentq(
        lambda t: x + (RADIUS + amplitude * math.cos(n * (t - turned))) * math.cos(t),
        math.pi / 2 - 0.3,
        math.pi / 2 + 0.3,
    )
    return float(y + (RADIUS + amplitude * math.cos(n * (top - turned))) * math.sin(top))


@pytest.mark.parametrize("n", [1, 2, 3, 4, 5, 7])
@pytest.mark.parametrize("v_angle", [60.0, 90.0, 120.0])
def test_gain_is_what_a_part_in_a_v_does(n: int, v_angle: float) -> None:
    amplitude = 0.01
    turns = np.radians(np.arange(0, 360, 15))
    readings = np.array([lift_in_v(amplitude, n, turn + math.pi / 2, v_angle) for turn in turns])
    wave = 2 * abs(np.mean((readings - readings.mean()) * np.exp(-1j * n * turns)))
    assert wave / amplitude == pytest.approx(abs(v_block_gain(n, v_angle)), abs=2e-3)


@given(lobes, st.floats(1, 179))
def test_eccentricity_is_never_seen_in_a_v(n: int, v_angle: float) -> None:
    assert v_block_gain(1, v_angle) == pytest.approx(0, abs=1e-10)
    assert v_block_gain(n, v_angle) == pytest.approx(1 + support_lift(n, v_angle))


def section(angles: FloatArray, waves: dict[int, tuple[float, float]], gains: dict[int, float]) -> FloatArray:
    turns = np.radians(angles)
    return np.asarray(
        sum(gains.get(n, 1.0) * a * np.cos(n * (turns - math.radians(p))) for n, (a, p) in waves.items())
    )


@given(
    st.floats(0.001, 0.1), st.floats(0, 359), st.floats(0.0005, 0.05), st.floats(0, 179), st.integers(6, 60)
)
def test_eccentricity_and_ovality_come_back(e: float, at: float, a: float, p: float, count: int) -> None:
    angles = np.arange(count) * 360 / count
    found = circular_runout(section(angles, {1: (e, at), 2: (a, p)}, {}))
    assert found.eccentricity == pytest.approx(e, rel=1e-9)
    assert found.high_angle is not None
    assert abs(math.remainder(found.high_angle - at, 360)) < 1e-6
    assert found.ovality == pytest.approx(4 * a, rel=1e-9)
    assert found.residual == pytest.approx(0, abs=1e-12)
    again = circular_runout(section(angles, {1: (e, at), 2: (a, p)}, {}), angles)
    assert again.eccentricity == pytest.approx(found.eccentricity, rel=1e-9)


@given(st.integers(0, 2**32 - 1), st.integers(7, 40))
def test_irregular_angles_are_fitted_by_least_squares(seed: int, count: int) -> None:
    dice = np.random.default_rng(seed)
    angles = np.sort(np.round((np.arange(count) + dice.uniform(-0.3, 0.3, count)) * 360 / count + 5, 6))
    readings = np.round(dice.normal(size=count), 6)
    table = np.column_stack([f(n * np.radians(angles)) for n in (1, 2) for f in (np.cos, np.sin)])
    table = np.column_stack((np.ones(count), table))
    mean, c1, s1, c2, s2 = np.linalg.solve(table.T @ table, table.T @ readings)
    found = circular_runout(readings, angles)
    assert found.eccentricity == pytest.approx(math.hypot(c1, s1), abs=1e-9)
    assert found.ovality == pytest.approx(4 * math.hypot(c2, s2), abs=1e-9)
    assert found.high_angle == pytest.approx(math.degrees(math.atan2(s1, c1)) % 360, abs=1e-6)
    assert found.residual == pytest.approx(float(np.ptp(readings - table @ [mean, c1, s1, c2, s2])), abs=1e-9)
    assert found.fim == max(map(Fraction, map(str, readings))) - min(map(Fraction, map(str, readings)))


@given(v_angles, st.floats(0.001, 0.1), st.floats(0, 359))
def test_what_the_v_hides_is_none(v_angle: float, a: float, p: float) -> None:
    angles = np.arange(24) * 15.0
    gains = {n: v_block_gain(n, v_angle) for n in (1, 2, 3)}
    found = circular_runout(
        section(angles, {1: (0.5, 10), 2: (a, p), 3: (0.002, 0)}, gains),
        section="in_v_block",
        v_angle=v_angle,
    )
    assert (found.eccentricity, found.high_angle) == (None, None)
    if v_angle == 60:
        assert found.ovality is None and found.residual is None
    else:
        assert found.ovality == pytest.approx(4 * a, rel=1e-9)
        assert found.residual == pytest.approx(0.004 * abs(gains[3]), rel=1e-6)


@given(v_angles, st.floats(0.001, 0.1), st.floats(0, 359))
def test_rolling_elsewhere_shows_where_the_centre_is(v_angle: float, e: float, at: float) -> None:
    """The supports' own ovality (0.01) lifts the axis by the gain M; only at 90° it does not."""
    angles = np.arange(24) * 15.0
    lifted = 0.01 * support_lift(2, v_angle)
    readings = section(angles, {1: (e, at), 2: (0.003, 40)}, {}) + section(angles, {2: (lifted, 0)}, {})
    found = circular_runout(readings, section="rolled_elsewhere", v_angle=v_angle)
    assert found.eccentricity == pytest.approx(e, rel=1e-9)
    assert found.ovality == (pytest.approx(0.012, rel=1e-6) if v_angle == 90 else None)


@given(st.lists(st.decimals(-1, 1, places=4), min_size=2, max_size=40), st.decimals(-5, 5, places=4))
def test_runout_is_exact_and_knows_no_zero(readings: list[object], shift: object) -> None:
    found = circular_runout(readings)  # type: ignore[arg-type]
    fractions = [Fraction(str(reading)) for reading in readings]
    assert found.fim == max(fractions) - min(fractions)
    moved = circular_runout([f + Fraction(str(shift)) for f in fractions])
    assert moved == found
    turned = circular_runout(fractions[1:] + fractions[:1])
    assert turned.fim == found.fim
    if found.eccentricity is not None:
        assert turned.eccentricity == pytest.approx(found.eccentricity, abs=1e-12)


@pytest.mark.parametrize(
    ("angles", "eccentric", "oval"),
    [
        ([0, 180], False, False),
        ([0, 120, 240], True, False),
        ([0, 90, 180, 270], True, False),
        ([0, 72, 144, 216, 288], True, True),
        ([0, 10, 20, 30, 40, 50], False, False),
        ([0, 90, 180, 181, 182, 183], True, False),
        ([0, 45, 90, 135, 180, 225, 315], True, True),
        ([0, "0.000001", 180], False, False),
        ([350, 400, 450, 500, 550, 600, 650], True, True),
    ],
)
def test_places_decide_what_can_be_told(angles: list[object], eccentric: bool, oval: bool) -> None:
    readings = [place % 3 for place in range(len(angles))]
    found = circular_runout(readings, angles)  # type: ignore[arg-type]
    assert (found.eccentricity is not None, found.ovality is not None) == (eccentric, oval)
    if len(angles) <= 3:
        assert found.residual is None


def test_a_centred_section_has_no_high_side() -> None:
    found = circular_runout([1, 1, 1, 1, 1])
    assert (found.fim, found.eccentricity, found.high_angle, found.ovality) == (0, 0, None, 0)
    oval = circular_runout([1, 0, 1, 0, 1, 0, 1, 0], angles=range(0, 360, 45))
    assert oval.high_angle is None


@given(
    st.integers(2, 6).flatmap(
        lambda count: st.lists(
            st.lists(st.integers(-50, 50), min_size=count, max_size=count), min_size=2, max_size=6
        )
    )
)
def test_total_runout_holds_every_section(grid: list[list[int]]) -> None:
    found = total_runout(grid)
    assert found.sections == tuple(max(row) - min(row) for row in grid)
    assert found.fim == max(map(max, grid)) - min(map(min, grid)) >= max(found.sections)
    assert found.sections[found.worst_section] == max(found.sections)
    assert found.sections.index(max(found.sections)) == found.worst_section


def test_taper_is_total_runout_alone() -> None:
    found = total_runout([["0.001"] * 4, ["0.004"] * 4])
    assert found.sections == (0, 0)
    assert found.fim == Fraction(3, 1000)
