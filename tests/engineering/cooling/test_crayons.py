"""What crayons reach against the recorded shell model: told, and held to their own bounds."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from housings.engineering import CoolingCurve, CrayonBound, TemperatureReading, window
from tests.said import say

from .forecasts import Bench, Reader, told
from .joints import CoolDown
from .record import read

JOINTS = read("test")[:40]


def fixed(*tries: tuple[float, float]) -> Reader:
    """Crayons at given minutes."""
    return lambda bench, one: [bench.tries(one, minutes, crayon) for minutes, crayon in tries]


def until_it_stops(crayon: float, every: float) -> Reader:
    """One crayon, tried again and again until it no longer melts."""

    def reader(bench: Bench, one: CoolDown) -> Sequence[CrayonBound]:
        tried = [bench.tries(one, every, crayon)]
        while tried[-1].melted:
            tried.append(bench.tries(one, tried[-1].minutes + every, crayon))
        return tried

    return reader


def released_by_crayons(bench: Bench, one: CoolDown) -> Sequence[CrayonBound]:
    return [bench.tries(one, one.check[0], 204), bench.tries(one, one.check[0], 121)]


WAYS = {
    "232 °C tried each half minute until it stops": (until_it_stops(232, 0.5), 0.88),
    "232 °C tried each minute until it stops": (until_it_stops(232, 1), 0.80),
    "232 °C at 1.5 and 3 min": (fixed((1.5, 232), (3, 232)), None),
    "232 and 260 °C at 2 min": (fixed((2, 232), (2, 260)), None),
    "260 and 288 °C at 1 min": (fixed((1, 260), (1, 288)), None),
}
"""Ways of using them, and the share within 25 % that each is held to, where it reaches one worth holding."""


@pytest.mark.parametrize("way", WAYS)
def test_what_crayons_reach(way: str) -> None:
    reader, share = WAYS[way]
    openings, closings = told(JOINTS, reader, checks=released_by_crayons)
    say(
        f"cooling by crayons, {way}, opening at 204 °C from pass 2 on: {openings.later}; "
        f"early {openings.later.announced_early:.1%}"
    )
    say(f"cooling by crayons, {way}, closing at 121 °C from pass 2 on: {closings.later}")
    assert share is None or openings.later.within(0.25) >= share
    assert openings.later.announced_early <= 0.03
    assert openings.later.covered >= 0.80 and closings.later.covered >= 0.80


def test_a_crayon_moves_the_forecast_to_its_side() -> None:
    expected = CoolingCurve.fit([], pass_number=5, ambient_c=20).temperature_c(2).median
    melted, not_melted = (
        CoolingCurve.fit([CrayonBound(2, expected, side)], pass_number=5, ambient_c=20)
        for side in (True, False)
    )
    assert melted.temperature_c(2).median > expected > not_melted.temperature_c(2).median
    assert melted.crossing(204).median > not_melted.crossing(204).median


def test_two_crayons_close_together_are_a_thermometer() -> None:
    crayons = [CrayonBound(2, 228, True), CrayonBound(2, 234, False)]
    both = CoolingCurve.fit(crayons, pass_number=5, ambient_c=20)
    read_off = CoolingCurve.fit([TemperatureReading(2, 231)], pass_number=5, ambient_c=20)
    assert both.temperature_c(2).median == pytest.approx(231, abs=1.5)
    assert both.crossing(204).median == pytest.approx(read_off.crossing(204).median, rel=0.05)


def test_crayons_that_contradict_are_left_out_and_said() -> None:
    crayons = [CrayonBound(2, 150, False), CrayonBound(2.1, 260, True)]
    curve = CoolingCurve.fit(crayons, pass_number=5, ambient_c=20)
    assert any("contradict" in one for one in curve.doubts)
    expected = CoolingCurve.fit([], pass_number=5, ambient_c=20)
    assert curve.crossing(204) == expected.crossing(204)


def test_a_crayon_at_the_stop_point_releases() -> None:
    def seen(*crayons: CrayonBound) -> float | None:
        return window(CoolingCurve.fit(crayons, pass_number=5, ambient_c=20), 121, 204).released

    assert seen(CrayonBound(3, 204, False)) == 3
    assert seen(CrayonBound(3, 204, True)) is None
    assert seen(CrayonBound(3, 232, False)) is None, "below 232 °C says nothing of 204"
    assert seen(CrayonBound(3, 204, False, "away")) is None, "the stop point is the hottest"
    assert seen(CrayonBound(3, 204, False), CrayonBound(4, 204, True)) is None, "taken back"
