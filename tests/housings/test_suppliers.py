"""Work at a supplier: sent, nothing recorded meanwhile, back with its certificate, measured again.

That heat treatment, coating and testing are sent out, and that the supplier's certificate of conformity comes
back with the parts: common practice, no source.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from housings.engineering.route_rules import long_route
from housings.models import Away, Housing, Visit, WorkDone
from housings.operations.routes import publish_route
from housings.operations.suppliers import (
    back_from_supplier,
    file_conformity,
    recall_from_supplier,
    send_to_supplier,
)
from housings.operations.visits import leave_station, record_work_done
from shopqc import files, ledger
from shopqc.models import LedgerEntry
from shopqc.operations.shop import switch_rule
from tests.at_the_gate import asked, leave_visit, refused
from tests.factories import Floor


@pytest.fixture
def furnace(floor: Floor) -> Housing:
    """A housing that has arrived at stress relief."""
    stations = [{"station": code} for code in long_route(False)]
    floor.do(publish_route, name="standard", stations=stations)
    return floor.housing(until="stress_relief")


def send(floor: Floor, housing: Housing, by: str = "W1", **inputs: Any) -> dict[str, Any]:
    given = {"station": "stress_relief", "supplier": "Kiln Street Heat Treating", "reference": "K-77"}
    return floor.do(send_to_supplier, by=by, housing=housing.serial, **{**given, **inputs})


def back(floor: Floor, housing: Housing, by: str = "W1", **inputs: Any) -> dict[str, Any]:
    given = {"condition": "Scaled, no dents."}
    return floor.do(back_from_supplier, by=by, housing=housing.serial, **{**given, **inputs})


def paper() -> str:
    """The digest of a filed certificate of conformity."""
    return files.store(b"%PDF-1.4\n% certificate of conformity, invented\n")


def test_nothing_is_recorded_for_it_while_it_is_away(floor: Floor, furnace: Housing) -> None:
    send(floor, furnace, expected_on="2026-05-11")
    with refused("away_at_supplier"):
        floor.work(furnace, "stress_relief")
    with refused("away_at_supplier"):
        send(floor, furnace)
    journal = floor.characteristic(furnace, "journal_left")
    jig = Visit.objects.get(housing=furnace, station="jig").number
    with refused("away_at_supplier"):
        floor.record(furnace, floor.reading(furnace, journal, "jig", visit=jig))
    assert "away_at_supplier" in asked(furnace, leave_visit("stress_relief"))


def test_the_record_says_under_which_reference_and_until_when(floor: Floor, furnace: Housing) -> None:
    """A stay is bookkeeping that is changed when it ends, so what was said of it stands in the line."""
    send(floor, furnace, expected_on="2026-05-11")
    line = LedgerEntry.objects.filter(chain=furnace.chain).order_by("position").last()
    assert line is not None
    data = json.loads(line.line)["data"]
    assert (data["reference"], data["expected_on"]) == ("K-77", "2026-05-11")


def test_it_leaves_once_it_is_back_and_its_conformity_is_filed(floor: Floor, furnace: Housing) -> None:
    send(floor, furnace)
    answer = back(floor, furnace)
    assert answer["work_done"]
    floor.measure_due(furnace, "stress_relief")
    with refused("conformity_missing"):
        floor.do(leave_station, by="W1", housing=furnace.serial, station="stress_relief")
    floor.do(file_conformity, by="W1", housing=furnace.serial, stay=1, conformity=paper())
    floor.do(leave_station, by="W1", housing=furnace.serial, station="stress_relief")
    stay = Away.objects.get()
    assert (stay.sent_by, stay.back_by, stay.condition) == ("W1", "W1", "Scaled, no dents.")
    assert ledger.verify().faults == ()


def test_what_the_suppliers_work_moves_is_measured_again(floor: Floor, furnace: Housing) -> None:
    """A furnace lets a welded part move (common practice, no source)."""
    tube = floor.characteristic(furnace, "tube_runout_left")
    assert "stress_relief" in tube.movable_by
    assert floor.measured(furnace).standings[tube.pk].is_enough
    send(floor, furnace)
    back(floor, furnace, conformity=paper())
    standing = floor.measured(furnace).standings[tube.pk]
    assert (standing.state, standing.moved_by) == ("moved_since", "stress_relief")


def test_work_that_was_not_done_there_moves_nothing(floor: Floor, furnace: Housing) -> None:
    send(floor, furnace)
    assert not back(floor, furnace, work_done=False, condition="The furnace was down.")["work_done"]
    assert not WorkDone.objects.filter(housing=furnace, station="stress_relief").exists()


def test_the_owner_can_do_without_conformity(floor: Floor, furnace: Housing) -> None:
    floor.do(switch_rule, rule="conformity_filed", in_use=False)
    send(floor, furnace)
    back(floor, furnace)
    floor.measure_due(furnace, "stress_relief")
    assert floor.do(leave_station, by="W1", housing=furnace.serial, station="stress_relief")["next"]


def test_it_is_sent_only_from_a_station_that_suppliers_have(floor: Floor) -> None:
    housing = floor.housing(until="truss")
    with refused("no_supplier_here"):
        send(floor, housing, station="truss")
    with refused("not_here"):
        send(floor, housing, station="coat")
    with refused("station_unknown"):
        send(floor, housing, station="polish")


def test_it_says_where_and_how_it_came_back(floor: Floor, furnace: Housing) -> None:
    with refused("field_missing"):
        send(floor, furnace, supplier="  ")
    with refused("not_away"):
        back(floor, furnace)
    send(floor, furnace)
    with refused("field_missing", "document_not_filed"):
        back(floor, furnace, condition=" ", conformity="0" * 64)
    with refused("detail_wrong"):
        back(floor, furnace, work_done=False, details={"held_temperature": "1150"})
    with refused("not_found"):
        floor.do(file_conformity, by="W1", housing=furnace.serial, stay=1, conformity=paper())


def test_a_wrong_sending_is_taken_back_and_asks_for_no_certificate(floor: Floor, furnace: Housing) -> None:
    send(floor, furnace, by="M1")
    with refused("not_who_did_it"):
        floor.do(recall_from_supplier, by="W1", housing=furnace.serial, why="Still on the rack.")
    with refused("reason_needed"):
        floor.do(recall_from_supplier, by="M1", housing=furnace.serial, why=" ")
    floor.do(recall_from_supplier, by="Q1", housing=furnace.serial, why="Still on the rack.")
    assert not WorkDone.objects.filter(housing=furnace, station="stress_relief").exists()
    floor.do(record_work_done, by="W1", housing=furnace.serial, station="stress_relief")
    floor.measure_due(furnace, "stress_relief")
    floor.do(leave_station, by="W1", housing=furnace.serial, station="stress_relief")
    # Sent again it has the next number.
    assert list(Away.objects.values_list("number", "recalled_why")) == [(1, "Still on the rack.")]
    assert ledger.verify().faults == ()


def test_the_same_request_again_gets_the_same_answer(floor: Floor, furnace: Housing) -> None:
    assert send(floor, furnace, key="sent twice") == send(floor, furnace, key="sent twice")
    assert back(floor, furnace, key="back twice") == back(floor, furnace, key="back twice")
    assert Away.objects.count() == WorkDone.objects.filter(station="stress_relief").count() == 1
