"""The work of a station with what it was: where it was pressed, how hot it was."""

from __future__ import annotations

from typing import Any

import pytest

from housings.engineering.route_rules import long_route
from housings.models import Housing, WorkDone
from housings.operations.routes import publish_route
from housings.operations.visits import record_work_done
from shopqc import files, ledger
from shopqc.operations.shop import switch_rule
from tests.at_the_gate import come, go, refused
from tests.factories import Floor
from tests.housings.conftest import SignedIn

FLAMED = {
    "method": "flame",
    "side": "left",
    "place": "14.5",
    "direction": "12",
    "peak_temperature": "1100",
    "how_far": "0.045",
}


@pytest.fixture
def press(floor: Floor) -> Housing:
    """A housing that has arrived at straightening."""
    floor.do(publish_route, name="standard", stations=[{"station": code} for code in long_route(False)])
    return floor.housing(until="straighten")


def work(floor: Floor, housing: Housing, station: str = "straighten", **inputs: Any) -> dict[str, Any]:
    return floor.do(record_work_done, by="W1", housing=housing.serial, station=station, **inputs)


def test_it_keeps_where_and_how_hot(floor: Floor, press: Housing) -> None:
    work(floor, press, details=FLAMED)
    kept = WorkDone.objects.get(housing=press, station="straighten").details
    assert kept["peak_temperature"] == "1100" and kept["peak_temperature_unit"] == "F"
    assert kept["how_far_unit"] == "in"
    assert ledger.verify().faults == ()


def test_readings_before_it_are_kept_and_do_not_stand(floor: Floor, press: Housing) -> None:
    """Before and after are both on record: what was read before the press is no proof of after it."""
    tube = floor.characteristic(press, "tube_runout_left")
    bent = {"readings": ["0", "0.02", "0.028", "0.01"]}
    floor.record(press, floor.reading(press, tube, "straighten", raw=bent))
    work(floor, press, details=FLAMED)
    assert floor.measured(press).standings[tube.pk].state == "moved_since"
    floor.record(press, floor.reading(press, tube, "straighten"))
    assert floor.measured(press).standings[tube.pk].is_enough
    assert tube.readings.filter(station="straighten").count() == 2


def test_the_page_shows_what_it_did(floor: Floor, press: Housing, signed_in: SignedIn) -> None:
    """Straightening is recorded with the reading before it and after it (common practice, no source)."""
    tube = floor.characteristic(press, "tube_runout_left")
    bent = {"readings": ["0", "0.02", "0.028", "0.01"]}
    floor.record(press, floor.reading(press, tube, "straighten", raw=bent))
    work(floor, press, details=FLAMED)
    worker = signed_in("W1")
    worker.get(f"/h/{press.serial}/")
    assert "Before and after" not in worker.page.text
    straight = {"readings": ["0", "0.004", "0.006", "0.002"]}
    floor.record(press, floor.reading(press, tube, "straighten", raw=straight))
    worker.get(f"/h/{press.serial}/")
    shown = worker.page.text.partition("Before and after")[2]
    assert "Runout of the left tube 0.028 in 0.006 in" in shown
    assert "right tube 0." not in shown


def test_it_says_what_is_wrong_and_records_nothing(floor: Floor, press: Housing) -> None:
    with refused("detail_wrong", "detail_wrong"):
        work(floor, press, details={**FLAMED, "side": "upper", "place": "far"})
    assert not WorkDone.objects.filter(housing=press, station="straighten").exists()


def test_the_owner_can_ask_for_a_description(floor: Floor, press: Housing) -> None:
    floor.do(switch_rule, rule="work_described", in_use=True)
    with refused("work_not_described"):
        work(floor, press)
    work(floor, press, details=FLAMED)


def test_a_furnace_chart_has_to_be_filed(floor: Floor, press: Housing) -> None:
    work(floor, press)
    floor.measure_due(press, "straighten")
    go(floor, press, "straighten")
    come(floor, press, "stress_relief")
    run = {"held_temperature": "1150", "held_hours": "1.5", "chart": "0" * 64}
    with refused("document_not_filed"):
        work(floor, press, "stress_relief", details=run)
    chart = files.store(b"minutes;F\n0;70\n150;1150\n")
    work(floor, press, "stress_relief", details={**run, "chart": chart})
    assert WorkDone.objects.get(station="stress_relief").details["chart"] == chart
