"""The bench clock: what to do with each joint, in words, and a scan that starts a pass."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

import pytest
import time_machine

from housings.models import Arc, Housing, WeldPass
from housings.operations.arcs import begin_pass
from housings.operations.fit_ups import record_fit_up
from housings.operations.holds import hold_housing
from housings.operations.temperatures import record_joint_temperature
from shopqc.operations.shop import switch_rule
from tests.factories import AT, Floor
from tests.housings.conftest import SignedIn

MINUTE = datetime.timedelta(minutes=1)
LEFT, RIGHT = "snout_left", "snout_right"


@pytest.fixture
def floor(db: None) -> Iterator[Floor]:
    """A floor with a procedure for every joint."""
    with time_machine.travel(AT, tick=False):
        floor = Floor()
        floor.procedures()
        floor.procedure("snout-4140-250", preheat_least="250", interpass_greatest="400")
        yield floor


def at_the_bench(floor: Floor) -> Housing:
    return floor.housing(until="snouts")


def read(
    floor: Floor, housing: Housing, value: str, at: datetime.datetime, joint: str = LEFT, **more: str
) -> None:
    entry = {"value": value, "unit": "F", "place": "stop", **more}
    floor.do(
        record_joint_temperature, by="W1", at=at, housing=housing.serial, joint=joint, temperatures=[entry]
    )


def text_at(signed_in: SignedIn, at: datetime.datetime, stamp: str = "W1") -> str:
    """The words of the clock at a moment."""
    with time_machine.travel(at, tick=False):
        visitor = signed_in(stamp)
        assert visitor.get("/weld/").status_code == 200
        return visitor.page.text


def test_an_empty_bench_says_what_will_be_here(floor: Floor, signed_in: SignedIn) -> None:
    text = text_at(signed_in, floor.at)
    assert "Every joint of a housing at a welding station will stand here" in text


def test_a_joint_that_is_not_begun_is_to_be_preheated(floor: Floor, signed_in: SignedIn) -> None:
    at_the_bench(floor)
    text = text_at(signed_in, floor.at)
    assert "Preheat to 250 °F and start" in text and "Left snout to tube" in text
    assert "250 °F melted: Pass 1 done" in text
    assert "Rosettes of the left snout 4 to weld" in text


def test_after_a_pass_it_says_wait_then_weld_then_reheat(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    floor.weld(housing, LEFT, 2, every=20 * MINUTE)
    end = floor.at + 20 * MINUTE
    # Read at one and two minutes as the example of `CoolingCurve.fit` has it: 262 and 231 °C.
    read(floor, housing, "503", end + MINUTE)
    read(floor, housing, "448", end + 2 * MINUTE)
    waits = text_at(signed_in, end + 2 * MINUTE)
    assert "Wait until" in waits and "Read 448 °F at" in waits
    opened = text_at(signed_in, end + 5 * MINUTE)
    assert "Weld now, until" in opened and "a reading lets the arc start, the forecast does not" in opened
    assert "By now it may be below 250 °F." in text_at(signed_in, end + 12 * MINUTE)
    assert "Reheat: by now it is likely below 250 °F" in text_at(signed_in, end + 60 * MINUTE)


def test_a_joint_with_enough_passes_that_has_cooled_is_done(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    floor.weld(housing, LEFT, 3, every=20 * MINUTE)
    end = floor.at + 40 * MINUTE
    assert "It has the passes that the procedure asks for at least." in text_at(signed_in, end + 5 * MINUTE)
    assert "Left snout to tube Passes done" in text_at(signed_in, end + 60 * MINUTE)


def test_without_a_reading_it_says_when_to_read(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    floor.weld(housing, LEFT)
    assert "Wait until" in text_at(signed_in, floor.at)
    assert "Read it now" in text_at(signed_in, floor.at + 5 * MINUTE)


def test_what_is_read_outweighs_the_forecast(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    floor.weld(housing, LEFT)
    read(floor, housing, "590", floor.at + MINUTE)
    assert "Read 590 °F at" in text_at(signed_in, floor.at + MINUTE)
    read(floor, housing, "390", floor.at + 2 * MINUTE)
    assert "Weld now, until" in text_at(signed_in, floor.at + 2 * MINUTE)
    read(floor, housing, "240", floor.at + 9 * MINUTE)
    assert "Reheat: it is below 250 °F" in text_at(signed_in, floor.at + 9 * MINUTE)


def test_an_open_window_comes_before_what_is_reheated_anyway(floor: Floor, signed_in: SignedIn) -> None:
    cooled, open_now = at_the_bench(floor), at_the_bench(floor)
    floor.weld(cooled, LEFT)
    floor.at += 90 * MINUTE
    floor.weld(open_now, LEFT, 2, every=20 * MINUTE)
    # It has one pass left, and what has cooled has more.
    end = floor.at + 20 * MINUTE
    read(floor, open_now, "503", end + MINUTE)
    read(floor, open_now, "448", end + 2 * MINUTE)
    text = text_at(signed_in, end + 5 * MINUTE)
    assert "Reheat" in text
    assert "Next Weld now, until" in text


def test_the_arc_that_is_on_says_since_when_and_whose(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    floor.do(begin_pass, by="W1", housing=housing.serial, joint=LEFT, number=1)
    own = text_at(signed_in, floor.at + MINUTE)
    assert f"Arc on since {floor.at:%H:%M} (W1)" in own and "Pass 1 done" in own
    assert "Pass 1 done" not in text_at(signed_in, floor.at + MINUTE, "Q1").replace(
        "250 °F melted: Pass 1 done", ""
    )


def test_what_is_in_the_way_is_said_in_few_words_and_in_full(floor: Floor, signed_in: SignedIn) -> None:
    for rule in ("fit_up_accepted", "root_seen"):
        floor.do(switch_rule, by="O1", rule=rule, in_use=True)
    housing = at_the_bench(floor)
    assert "Fit-up first" in text_at(signed_in, floor.at)
    figures = {
        "gap": "0.09",
        "land": "0.06",
        "mismatch": "0.01",
        "bevel": "30",
        "clean": "yes",
        "purged": "yes",
    }
    floor.do(
        record_fit_up,
        by="W1",
        housing=housing.serial,
        joint=LEFT,
        figures={**figures, "preheated": "yes"},
        tacked_by="W1",
    )
    floor.weld(housing, LEFT)
    assert "Look at the root first" in text_at(signed_in, floor.at)
    floor.do(hold_housing, by="W1", housing=housing.serial, why="a crack in the jig")
    text = text_at(signed_in, floor.at)
    assert "Held" in text and "a crack in the jig" in text


def test_left_and_right_are_proposed_in_turn(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    floor.weld(housing, LEFT)
    later = floor.at + 90 * MINUTE
    floor.weld(housing, RIGHT, 2, every=10 * MINUTE)
    text = text_at(signed_in, later)
    assert text.index("Left snout to tube") < text.index("Right snout to tube")
    assert "The other side has more passes" in text


def test_a_scan_starts_the_pass_that_is_proposed(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    worker = signed_in("W1")
    worker.get("/weld/")
    answer = worker.press("do", "scan", serial=f"http://testserver/h/{housing.serial}/")
    assert answer.status_code == 302 and answer["Location"] == f"/h/{housing.serial}/weld/{LEFT}/"
    worker.follow()
    assert "Arc on: pass 1 of Left snout to tube." in worker.page.text
    assert Arc.objects.get().welder.stamp == "W1"


def test_a_scan_that_may_not_start_leads_to_the_reason(floor: Floor, signed_in: SignedIn) -> None:
    floor.do(switch_rule, by="O1", rule="arc_released", in_use=True)
    housing = at_the_bench(floor)
    worker = signed_in("W1")
    worker.get("/weld/")
    worker.press("do", "scan", serial=housing.serial.lower())
    worker.follow()
    assert "The arc was not started" in worker.page.text
    assert "Read the temperature of Left snout to tube" in worker.page.text
    assert not Arc.objects.exists()


def test_the_same_scan_sent_twice_is_one(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    worker = signed_in("W1")
    worker.get("/weld/")
    page = worker.page.form_with("do", "scan")
    assert page is not None
    for _time in range(2):
        worker.post("/weld/", {**page.values, "serial": housing.serial})
    assert Arc.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Scan or type a serial first."),
        ("AX000099ZZ", "is no serial of ours"),
        ("x" * 290, "is no serial of ours"),
        ("y" * 400, "at most 300 characters"),
    ],
)
def test_a_scan_of_something_else_is_kept_and_explained(
    floor: Floor, signed_in: SignedIn, typed: str, said: str
) -> None:
    worker = signed_in("W1")
    worker.get("/weld/")
    assert worker.press("do", "scan", serial=typed).status_code == 422
    assert said in worker.page.text


def test_who_only_looks_gets_no_button(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    owner = signed_in("O1")
    owner.get("/weld/")
    assert not owner.page.has_button("do", "pass_crayons")
    owner.press("do", "scan", serial=housing.serial)
    assert not Arc.objects.exists()


def test_one_tap_on_the_clock_records_the_pass_and_comes_back(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    worker = signed_in("W1")
    worker.get("/weld/")
    answer = worker.press("do", "pass_crayons")
    assert answer.status_code == 302 and answer["Location"] == "/weld/"
    worker.follow()
    assert "Pass 1 is recorded." in worker.page.text
    entry = WeldPass.objects.get(housing=housing)
    assert (entry.number, entry.welder.stamp, entry.outside) == (1, "W1", [])
    assert entry.released_by is not None and entry.released_by.crayon == "above"


def test_a_stranger_is_sent_to_sign_in(floor: Floor, signed_in: SignedIn) -> None:
    visitor = signed_in("W1")
    visitor.client.logout()
    assert visitor.get("/weld/")["Location"].startswith("/sign-in/")
    assert visitor.get("/weld/lines/").status_code == 302


def test_the_lines_are_sent_again_only_when_something_changed(floor: Floor, signed_in: SignedIn) -> None:
    housing = at_the_bench(floor)
    worker = signed_in("W1")
    first = worker.client.get("/weld/lines/")
    assert first.status_code == 200 and b"<html" not in first.content
    again = worker.client.get("/weld/lines/", headers={"if-none-match": first["ETag"]})
    assert again.status_code == 304 and again.content == b""
    floor.weld(housing, LEFT)
    after = worker.client.get("/weld/lines/", headers={"if-none-match": first["ETag"]})
    assert after.status_code == 200 and "Wait until" in after.content.decode()
    with time_machine.travel(floor.at + MINUTE, tick=False):
        later = worker.client.get("/weld/lines/", headers={"if-none-match": after["ETag"]})
    assert later.status_code == 200


def test_times_are_those_of_the_shop_also_when_its_clocks_change(
    floor: Floor, signed_in: SignedIn, settings: object
) -> None:
    """US summer time ended on 1 November 2026 at 2:00: 1:59 EDT was followed by 1:00 EST (rule of 2007)."""
    from django.utils import timezone

    from housings.weld_clock import Axis, clock

    before = datetime.datetime(2026, 11, 1, 5, 55, tzinfo=datetime.UTC)
    with timezone.override("America/New_York"):
        assert clock(before, before) == "01:55"
        assert clock(before + 10 * MINUTE, before) == "01:05 EST"
        ticks = [words for _x, words in Axis(before).ticks]
    assert ticks == ["01:50", "01:00 EST", "01:10 EST", "01:20 EST", "01:30 EST"]
