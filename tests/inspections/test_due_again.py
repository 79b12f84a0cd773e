"""What is due at a station is measured there: a pass elsewhere was judged by other limits."""

from __future__ import annotations

import pytest

from housings.operations.visits import leave_station
from inspections import states
from shopqc.refusals import Refused
from tests.factories import Floor


@pytest.fixture
def floor(db: None) -> Floor:
    return Floor()


def test_a_pass_at_an_earlier_station_is_due_again_where_the_plan_says_so(floor: Floor) -> None:
    housing = floor.housing(until="final_inspection")
    journal = floor.characteristic(housing, "journal_left")
    assert floor.measured(housing).standings[journal.pk].state == states.PASSED
    here = {s.characteristic.code: s for s in floor.measured(housing).due_at("final_inspection")}
    assert here["journal_left"].state == states.DUE_AGAIN
    others = [code for code in here if code != "journal_left"]
    floor.measure_due(housing, "final_inspection", only=others)
    with pytest.raises(Refused) as refused:
        floor.do(leave_station, by="W1", housing=housing.serial, station="final_inspection")
    assert [reason.code for reason in refused.value.reasons] == ["due_again"]
    floor.measure_due(housing, "final_inspection", only=["journal_left"])
    floor.do(leave_station, by="W1", housing=housing.serial, station="final_inspection")


def test_what_comes_in_for_a_visit_that_is_over_does_not_outrank_what_was_measured_since(
    floor: Floor,
) -> None:
    housing = floor.housing(until="final_inspection")
    floor.measure_due(housing, "final_inspection")
    face = floor.characteristic(housing, "face_distance")
    facing = next(v for v in floor.measured(housing).situation.visits if v.station == "face_and_drill")
    late = floor.reading(housing, face, "face_and_drill", visit=facing.number, measured="after")
    floor.record(housing, late)
    standing = floor.measured(housing).standings[face.pk]
    assert standing.reading is not None
    assert (standing.state, standing.reading.station) == (states.PASSED, "final_inspection")
