"""Slips of an arrival or a leaving are taken back, and the record book keeps both."""

from __future__ import annotations

from typing import Any

from housings.models import Housing, Visit
from housings.operations.holds import hold_housing
from housings.operations.taking_back import undo_arrival, undo_leaving
from shopqc import ledger
from shopqc.models import LedgerEntry
from tests.at_the_gate import come, go, refused
from tests.factories import Floor


def not_arrived(floor: Floor, housing: Housing, station: str, by: str = "W1", **more: Any) -> dict[str, Any]:
    return floor.do(undo_arrival, by=by, housing=housing.serial, station=station, **more)


def not_left(floor: Floor, housing: Housing, station: str, by: str = "W1", **more: Any) -> dict[str, Any]:
    return floor.do(undo_leaving, by=by, housing=housing.serial, station=station, **more)


def lines(housing: Housing) -> list[str]:
    rows = LedgerEntry.objects.filter(chain=housing.chain).order_by("position")
    return [row.line.split('"operation":"')[1].split('"')[0] for row in rows]


def test_a_first_arrival_taken_back_leaves_the_housing_not_begun(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    not_arrived(floor, housing, "jig")
    housing.refresh_from_db()
    assert housing.state == "released"
    visit = Visit.objects.get(housing=housing, station="jig")
    assert (visit.state, visit.arrived_at, visit.arrived_by) == ("ahead", None, "")
    assert lines(housing)[-2:] == ["arrive", "undo_arrival"]
    come(floor, housing, "jig")
    assert ledger.verify().faults == ()


def test_a_later_arrival_taken_back_leaves_it_in_work(floor: Floor) -> None:
    housing = floor.housing(until="tack")
    not_arrived(floor, housing, "tack")
    housing.refresh_from_db()
    assert housing.state == "in_work"
    come(floor, housing, "tack")


def test_an_arrival_stays_once_something_was_recorded_there(floor: Floor) -> None:
    housing = floor.housing(until="tack")
    floor.measure_due(housing, "tack", only=["gap_left"])
    with refused("measured_here"):
        not_arrived(floor, housing, "tack")
    floor.work(housing, "tack")
    with refused("visit_not_empty", "measured_here"):
        not_arrived(floor, housing, "tack")


def test_only_who_did_it_or_the_qc_lead_takes_it_back(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    with refused("not_who_did_it"):
        not_arrived(floor, housing, "jig", by="M1")
    with refused("not_allowed"):
        not_arrived(floor, housing, "jig", by="E1")
    with refused("not_here"):
        not_arrived(floor, housing, "tack")
    assert not_arrived(floor, housing, "jig", by="Q1")["station"] == "jig"


def test_a_leaving_taken_back_puts_the_housing_where_it_was(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    floor.measure_due(housing, "jig")
    go(floor, housing, "jig")
    with refused("not_who_did_it"):
        not_left(floor, housing, "jig", by="M1")
    not_left(floor, housing, "jig")
    visit = Visit.objects.get(housing=housing, station="jig")
    assert (visit.state, visit.left_at, visit.left_by, visit.left_position) == ("here", None, "", None)
    assert lines(housing)[-2:] == ["leave_station", "undo_leaving"]
    go(floor, housing, "jig")
    come(floor, housing, "tack")
    assert ledger.verify().faults == ()


def test_a_leaving_stays_once_anything_came_after_it(floor: Floor) -> None:
    housing = floor.housing(until="tack")
    with refused("recorded_since"):
        not_left(floor, housing, "jig")
    with refused("not_left_last"):
        not_left(floor, housing, "truss")
    other = floor.housing(until="jig")
    floor.measure_due(other, "jig")
    go(floor, other, "jig")
    floor.do(hold_housing, by="Q1", housing=other.serial, why="Look at the seat.")
    with refused("recorded_since"):
        not_left(floor, other, "jig")


def test_the_same_request_again_gets_the_same_answer(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    first = not_arrived(floor, housing, "jig", key="slip")
    assert not_arrived(floor, housing, "jig", key="slip") == first
