"""Threads, splines and weld limits: relations that hold whatever the size, beside the published tables."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from inspections.metrology import (
    gauged_thread,
    spline,
    taper_thread,
    taper_thread_by_turns,
    unified_thread,
    weld_limit,
)
from inspections.metrology.taper_threads import _SIZES
from inspections.metrology.weld_limit_table import ROWS, SAME_AS
from inspections.metrology.weld_limits import Level

LEVELS: tuple[Level, ...] = ("B", "C", "D")


@given(st.floats(0.25, 4), st.integers(4, 40))
def test_classes_of_one_thread_lie_inside_one_another(diameter: float, threads: int) -> None:
    assume(2 / threads < diameter * 0.9)
    nuts = [unified_thread(diameter, threads, grade) for grade in ("3B", "2B", "1B")]
    screws = [unified_thread(diameter, threads, grade) for grade in ("3A", "2A", "1A")]
    basic = diameter - 0.6495190528 / threads
    for nut in nuts:
        assert nut.go == nut.pitch_diameter[0] == pytest.approx(basic, abs=1e-9)
        assert nut.no_go == nut.pitch_diameter[1] > nut.go
        assert nut.major_diameter == (diameter, None) and nut.allowance == 0
        assert nut.minor_diameter[0] == pytest.approx(diameter - 1.0825317547 / threads, abs=1e-9)
    for screw in screws:
        assert screw.go == screw.pitch_diameter[1] and screw.no_go == screw.pitch_diameter[0]
        assert screw.go <= basic + 1e-12 and screw.minor_diameter == (None, None)
        assert screw.major_diameter[1] == pytest.approx(diameter - screw.allowance)
    assert [nut.no_go for nut in nuts] == sorted(nut.no_go for nut in nuts)
    assert [screw.no_go for screw in screws] == sorted((s.no_go for s in screws), reverse=True)
    free, close = screws[1].go - screws[1].no_go, screws[0].go - screws[0].no_go
    assert close == pytest.approx(0.75 * free)
    assert (
        screws[1].allowance == screws[2].allowance == pytest.approx(0.3 * free) and screws[0].allowance == 0
    )
    assert nuts[1].no_go - nuts[1].go == pytest.approx(1.3 * free)
    crests = [s.major_diameter[1] - s.major_diameter[0] for s in screws if s.major_diameter[1]]
    assert crests == pytest.approx([0.06 * threads ** (-2 / 3)] * 2 + [0.09 * threads ** (-2 / 3)])


def test_engagement_widens_the_tolerance() -> None:
    short, long = unified_thread("0.5", 13, engagement="0.5"), unified_thread("0.5", 13, engagement="2")
    assert unified_thread("0.5", 13) == short
    assert long.no_go - short.no_go == pytest.approx(1.3 * 0.0015 * (2**0.5 - 0.5**0.5))
    coarse = unified_thread(4, "3.5").minor_diameter
    assert coarse[0] is not None and coarse[1] is not None
    assert coarse[1] - coarse[0] == pytest.approx(0.15 / 3.5)
    # 3B: the formula between its bounds, 0.12 P from 12 per inch coarser, 0.23 P - 1.5 P² for finer ones.
    for diameter, threads, tolerance in (
        (4, 4, 0.12 / 4),
        ("0.5", 13, 0.05 * 13 ** (-2 / 3) + 0.03 / 13 / 0.5 - 0.002),
        (4, 20, 0.23 / 20 - 1.5 / 400),
    ):
        nut = unified_thread(diameter, threads, "3B").minor_diameter
        assert nut[0] is not None and nut[1] is not None
        assert nut[1] - nut[0] == pytest.approx(tolerance)


@pytest.mark.parametrize("size", _SIZES)
def test_one_turn_moves_the_gauge_plane_by_a_sixteenth_of_the_pitch(size: str) -> None:
    thread = taper_thread(size)
    assert thread.gauge_plane - thread.small_end == thread.hand_tight / 16
    assert thread.small_end < thread.gauge_plane < thread.outside_diameter
    assert thread.hand_tight < thread.effective
    for turns, verdict, too in (("1.0001", "fail", "large"), (-1, "pass", ""), ("-1.0001", "fail", "small")):
        found = taper_thread_by_turns(size, turns)
        assert (found.verdict, found.too) == (verdict, too)
        assert found.gauge_plane == thread.gauge_plane + Fraction(turns) * thread.pitch / 16


@pytest.mark.parametrize(
    ("enters", "turns", "verdict", "why"),
    [
        (True, 3, "pass", ""),
        (True, "3.01", "fail", "no-go enters too far"),
        (False, 0, "fail", "go does not enter"),
        (False, 4, "fail", "both"),
    ],
)
def test_gauges_say_which_one_fails(enters: bool, turns: str | int, verdict: str, why: str) -> None:
    found = gauged_thread(enters, turns)
    assert (found.verdict, found.why) == (verdict, why)


@given(st.integers(6, 100), st.sampled_from(["2.5", "12", "24", "48"]), st.sampled_from(["flat", "fillet"]))
def test_diameters_of_a_spline_are_in_order(teeth: int, pitch: str, root: str) -> None:
    found = spline(teeth, pitch, root)  # type: ignore[arg-type]
    assert found.internal_minor < found.pitch_diameter < found.external_major < found.internal_major
    assert found.external_form < found.internal_minor and found.internal_form > found.external_major
    assert Fraction("0.002") <= found.form_clearance <= Fraction("0.010")
    assert found.base_diameter == pytest.approx(float(found.pitch_diameter) * 3**0.5 / 2)
    assert found.circular_pitch * teeth == pytest.approx(3.141592653589793 * float(found.pitch_diameter))
    assert found.external_major - found.internal_minor == 2 / Fraction(pitch)


@given(
    st.sampled_from(sorted(ROWS)),
    st.decimals("0.5", 60, places=1),
    st.decimals("0.5", 40, places=1),
    st.decimals("0.5", 60, places=1),
)
def test_a_stricter_level_never_permits_more(number: str, t: object, throat: object, b: object) -> None:
    found = [weld_limit(number, level, t, a=throat, b=b) for level in LEVELS]  # type: ignore[arg-type]
    assert [limit.limit for limit in found] == sorted(limit.limit for limit in found)
    for limit in found:
        assert limit.permitted == (limit.limit > 0)
        assert (limit.number, limit.name) == (number, ROWS[number].name)
        assert not limit.short_only or limit.permitted


def test_thickness_of_three_millimetres_is_thin() -> None:
    assert weld_limit("5011", "C", 3).short_only and weld_limit("5011", "C", 3).limit == Fraction(3, 10)
    assert not weld_limit("5011", "C", "3.001").short_only
    assert not weld_limit("5011", "B", 3).permitted
    assert weld_limit("502", "B", "0.5", b=1).limit == Fraction("1.1")


def test_kinds_of_one_imperfection_share_its_limit() -> None:
    for number, row in SAME_AS.items():
        found = weld_limit(int(number), "D", 8)
        assert found.number == number and found.name == ROWS[row].name and not found.permitted
