"""The wait before a test: it runs from the cold joint, and a weld near by starts it again.

That cold cracks come late, so that tests wait 16 to 48 hours: common practice, no source. The example
procedure of a snout of 4140 asks for 48 hours below 100 °F.
"""

from __future__ import annotations

import datetime
import zoneinfo

import pytest
from django.utils import timezone

from housings import gate
from housings.models import Housing
from housings.operations.visits import arrive, leave_station
from inspections.models import WeldTest
from inspections.planning.near_welds import NEAR, are_near
from inspections.waiting_clock import COLD_AFTER, COLD_AFTER_SLOW, Waiting, hours_between, waiting_of
from inspections.weld_queries import WeldRecord
from inspections.weld_rules import TESTING_STATION
from tests.at_the_gate import asked, leave_visit, refused
from tests.at_the_gate import sign_off as signed
from tests.factories import Floor
from tests.housings.at_a_joint import later, text, use
from tests.inspections.judging import (
    LEFT,
    RIGHT,
    ROSETTES,
    cold,
    refuse_weld,
    rework,
    test,
    to_testing,
    weld_at,
)

HOUR = 60


@pytest.fixture
def bench(floor: Floor) -> Housing:
    """A housing at the snouts, its left snout just welded."""
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 3)
    return housing


def clock(floor: Floor, housing: Housing, joint: str = LEFT) -> Waiting:
    found = waiting_or_none(floor, housing, joint)
    assert found is not None
    return found


def waiting_or_none(floor: Floor, housing: Housing, joint: str) -> Waiting | None:
    record = WeldRecord(gate.Situation(Housing.objects.select_related("spec").get(pk=housing.pk)))
    state = record.state_of(joint)
    assert state is not None
    return waiting_of(record, state)


def test_without_a_reading_it_is_cold_after_the_longest_it_takes(floor: Floor, bench: Housing) -> None:
    found = clock(floor, bench)
    # The example procedure keeps it under a blanket.
    assert (found.cold_at, found.is_read) == (floor.at + COLD_AFTER_SLOW, False)
    assert found.until == floor.at + COLD_AFTER_SLOW + datetime.timedelta(hours=48)
    assert found.heated_by == "Left snout to tube"


def test_in_still_air_it_is_cold_sooner(floor: Floor) -> None:
    floor.procedure("snout-4140-250", slow_cooling="")
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 3)
    assert clock(floor, housing).cold_at == floor.at + COLD_AFTER


def test_a_reading_below_says_since_when_it_is_cold(floor: Floor, bench: Housing) -> None:
    cold(floor, bench, later(floor, 70), "101")
    cold(floor, bench, later(floor, 80), "99")
    cold(floor, bench, later(floor, 90), "80")
    found = clock(floor, bench)
    assert (found.cold_at, found.is_read) == (later(floor, 80), True)
    assert found.until == later(floor, 80 + 48 * HOUR)


@pytest.mark.parametrize(
    ("value", "unit", "crayon", "is_cold"),
    [
        ("100", "F", "", False),  # below which it is cold, not at which
        ("37.7", "C", "", True),  # 99.86 °F
        ("37.8", "C", "", False),  # 100.04 °F
        ("100", "F", "below", True),  # it did not melt
        ("125", "F", "below", False),
        ("100", "F", "above", False),
    ],
)
def test_readings_and_crayons_in_either_unit(
    floor: Floor, bench: Housing, value: str, unit: str, crayon: str, is_cold: bool
) -> None:
    cold(floor, bench, later(floor, 80), value, unit=unit, crayon=crayon)
    assert clock(floor, bench).is_read is is_cold


def test_a_reading_away_from_the_weld_says_nothing(floor: Floor, bench: Housing) -> None:
    cold(floor, bench, later(floor, 80), "80", place="away")
    assert not clock(floor, bench).is_read


def test_warm_again_is_not_cold(floor: Floor, bench: Housing) -> None:
    cold(floor, bench, later(floor, 80), "90")
    cold(floor, bench, later(floor, 300), "120")
    assert clock(floor, bench).cold_at == later(floor, 300) + COLD_AFTER_SLOW
    cold(floor, bench, later(floor, 400), "70")
    assert clock(floor, bench).cold_at == later(floor, 400)


def test_a_weld_near_by_starts_the_hours_again(floor: Floor, bench: Housing) -> None:
    cold(floor, bench, later(floor, 80))
    weld_at(floor, bench, "rosettes_right", later(floor, 100))
    assert clock(floor, bench).cold_at == later(floor, 80)  # the other side is far away
    weld_at(floor, bench, ROSETTES, later(floor, 200))
    found = clock(floor, bench)
    assert (found.heated_at, found.heated_by) == (later(floor, 200), "Rosettes of the left snout")
    assert (found.cold_at, found.is_read) == (later(floor, 200) + COLD_AFTER_SLOW, False)


def test_no_hours_no_clock(floor: Floor) -> None:
    floor.procedures()
    housing = floor.housing(until="truss")
    floor.weld(housing, "truss", 1)
    assert waiting_or_none(floor, housing, "truss") is None  # its procedure names none
    assert waiting_or_none(floor, housing, LEFT) is None  # not welded yet


def test_without_passes_the_work_of_the_station_counts(floor: Floor) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.work(housing, "snouts")
    assert clock(floor, housing).heated_at == floor.at


def test_near_is_mutual_and_on_the_same_side(floor: Floor, bench: Housing) -> None:
    states = WeldRecord(gate.Situation(bench)).states
    joints = {state.joint.code: state.joint for state in states}
    assert are_near(joints[LEFT], joints[LEFT])
    assert are_near(joints[LEFT], joints[ROSETTES]) and are_near(joints[ROSETTES], joints[LEFT])
    assert not are_near(joints[LEFT], joints[RIGHT])
    assert not are_near(joints[LEFT], joints["armor_back"])
    assert are_near(joints["armor_back"], joints["armor_bottom"])
    for kind, others in NEAR.items():
        assert all(kind in NEAR[other] for other in others)


def test_hours_are_of_the_sun_not_of_the_clock_on_the_wall() -> None:
    """Clocks in Denver went forward from 2 to 3 in the morning of 8 March 2026 (rule of the zone)."""
    denver = zoneinfo.ZoneInfo("America/Denver")
    start = datetime.datetime(2026, 3, 7, 18, 0, tzinfo=denver)
    end = datetime.datetime(2026, 3, 8, 10, 0, tzinfo=denver)
    assert hours_between(start, end) == "15.00"
    assert hours_between(end, start) == "0.00"
    utc = start.astimezone(datetime.UTC)
    assert hours_between(start, utc + datetime.timedelta(hours=16, seconds=35)) == "16.00"


def at_the_test(floor: Floor, housing: Housing) -> None:
    """Finish the snouts and bring the housing to where welds are tested."""
    floor.weld(housing, RIGHT, 3)
    floor.work(housing, "snouts")
    floor.measure_due(housing, "snouts")
    floor.do(leave_station, by="W1", housing=housing.serial, station="snouts")
    to_testing(floor, housing)


def test_a_test_waits_until_the_hours_have_passed(floor: Floor, bench: Housing) -> None:
    use(floor, "test_waited")
    at_the_test(floor, bench)
    end = clock(floor, bench).until
    too_soon, in_time = end - datetime.timedelta(seconds=1), end
    with refused("test_waits"):
        test(floor, bench, at=too_soon)
    with refused("test_waits"):
        test(floor, bench, at=end + datetime.timedelta(hours=1), done_at=text(too_soon))
    answer = test(floor, bench, at=in_time)
    assert answer["waited_hours"] == "48.00"
    one = WeldTest.objects.get()
    assert one.cold_at == floor.at + COLD_AFTER_SLOW and one.done_at == in_time


def test_without_the_rule_what_it_waited_is_kept(floor: Floor, bench: Housing) -> None:
    at_the_test(floor, bench)
    answer = test(floor, bench, at=floor.at + COLD_AFTER_SLOW + datetime.timedelta(minutes=90))
    assert answer["waited_hours"] == "1.50"


def test_the_testing_station_is_left_once_snouts_are_tested(floor: Floor, bench: Housing) -> None:
    at_the_test(floor, bench)
    floor.measure_due(bench, TESTING_STATION)
    left = leave_visit(TESTING_STATION)
    assert asked(bench, left) == []
    test(floor, bench)
    use(floor, "test_waited")
    assert asked(bench, left) == ["tested_too_early", "weld_not_tested"]
    end = clock(floor, bench).until
    test(floor, bench, at=end)
    test(floor, bench, at=end, joint=RIGHT)
    assert asked(bench, left) == []
    cold_again = clock(floor, bench)
    assert cold_again.is_over(end) and timezone.is_aware(cold_again.until)


def test_a_weld_after_the_test_makes_it_void(floor: Floor, bench: Housing) -> None:
    use(floor, "test_waited")
    at_the_test(floor, bench)
    end = clock(floor, bench).until
    for joint in (LEFT, RIGHT):
        test(floor, bench, at=end, joint=joint)
    floor.measure_due(bench, TESTING_STATION)
    rework(floor, bench, refuse_weld(floor, bench, at=end), at=end)
    floor.do(leave_station, by="W1", at=end, housing=bench.serial, station=TESTING_STATION)
    assert "tested_too_early" not in asked(bench, signed)
    floor.do(arrive, by="W1", at=end, housing=bench.serial, station="snouts")
    weld_at(floor, bench, LEFT, end + datetime.timedelta(hours=1))
    assert "tested_too_early" in asked(bench, signed)
