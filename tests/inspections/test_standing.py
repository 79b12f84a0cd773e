"""Which readings still stand: a place in the record decides, never a clock."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings import states as housing_states
from housings.models import Housing, Visit, WeldPass, WorkDone
from inspections import states
from inspections.models import Characteristic, Disposition, Nonconformance, Reading
from inspections.models.nonconformances import REWORK, USE_AS_IS
from inspections.standing import Standing, last_move, standing_of
from shopqc.refusals import Refused
from tests.factories import Floor
from tests.housings import at_a_joint as bench

MORNING = datetime.datetime(2026, 5, 4, 8, 0, tzinfo=datetime.UTC)

FACE = Characteristic(
    pk=1,
    code="face_flatness",
    name="Face flatness",
    due=[
        {"station": "face_and_drill", "lower": None, "upper": "0.004"},
        {"station": "final_inspection", "lower": None, "upper": "0.005"},
    ],
    movable_by=["truss", "face_and_drill", "armor"],
)
RIBS = Characteristic(
    pk=2,
    code="ribs",
    name="Internal ribs",
    due=[{"station": "truss", "lower": None, "upper": None}],
    movable_by=["truss"],
    hidden_by="armor",
)


def visit(pk: int, station: str, state: str = housing_states.LEFT) -> Visit:
    return Visit(pk=pk, number=pk, sequence=pk, station=station, state=state)


def work(position: int, at: Visit) -> WorkDone:
    return WorkDone(visit=at, station=at.station, record_position=position)


def reading(
    position: int,
    verdict: str = "pass",
    of: Characteristic = FACE,
    stands_from: int | None = None,
    replaces: Reading | None = None,
) -> Reading:
    return Reading(
        characteristic=of,
        verdict=verdict,
        record_position=position,
        stands_from=position if stands_from is None else stands_from,
        replaces_id=replaces.pk if replaces else None,
        done_at=MORNING,
    )


def stands(
    readings: Sequence[Reading],
    work_done: Sequence[WorkDone | WeldPass] = (),
    visits: Sequence[Visit] = (),
    found: Sequence[Nonconformance] = (),
    of: Characteristic = FACE,
) -> Standing:
    return standing_of(of, readings, work_done, visits, found)


FACING, ARMOR, FINAL, TRUSS = (
    visit(3, "face_and_drill"),
    visit(4, "armor"),
    visit(5, "final_inspection"),
    visit(1, "truss"),
)


def test_nothing_measured_is_not_measured() -> None:
    assert stands([]).state == states.NOT_MEASURED


def test_a_pass_after_the_cut_stands() -> None:
    assert stands([reading(6)], [work(5, FACING)]).state == states.PASSED


def test_a_pass_before_the_armor_does_not_stand_after_it() -> None:
    found = stands([reading(6)], [work(5, FACING), work(9, ARMOR)])
    assert (found.state, found.moved_by) == (states.MOVED_SINCE, "armor")
    assert not found.is_enough


def weld_pass(position: int, at: Visit) -> WeldPass:
    return WeldPass(visit=at, station=at.station, record_position=position)


def test_a_weld_pass_moves_what_the_work_of_its_station_moves() -> None:
    found = stands([reading(6)], [work(5, FACING), weld_pass(9, ARMOR)])
    assert (found.state, found.moved_by) == (states.MOVED_SINCE, "armor")
    assert stands([reading(6)], [work(5, FACING), weld_pass(9, FINAL)]).state == states.PASSED
    assert stands([reading(10)], [weld_pass(9, ARMOR)]).state == states.PASSED
    # Between the passes of a station it stands no longer than till the next one.
    assert not stands([reading(10)], [weld_pass(9, ARMOR), weld_pass(11, ARMOR)]).is_enough


def test_a_weld_pass_closes_what_its_station_hides() -> None:
    visits = [TRUSS, ARMOR]
    moved = [work(2, TRUSS), weld_pass(9, ARMOR), weld_pass(12, TRUSS)]
    assert stands([reading(3, of=RIBS)], moved, visits, of=RIBS).state == states.PASSED


def test_work_that_cannot_move_it_does_not_matter() -> None:
    assert stands([reading(6)], [work(5, FACING), work(9, FINAL)]).state == states.PASSED


def test_a_reading_made_before_and_sent_after_does_not_stand() -> None:
    late = reading(12, stands_from=7)
    assert stands([late], [work(9, ARMOR)]).state == states.MOVED_SINCE


def test_a_late_reading_from_before_does_not_hide_a_newer_one() -> None:
    newer, late = reading(10, "fail"), reading(12, stands_from=7)
    assert stands([newer, late], [work(9, ARMOR)]).reading is newer


def test_clocks_do_not_decide() -> None:
    early = reading(10)
    early.done_at = MORNING - datetime.timedelta(days=3)
    assert stands([early], [work(9, ARMOR)]).state == states.PASSED


def test_the_last_reading_counts_and_not_the_best() -> None:
    assert stands([reading(6, "pass"), reading(7, "fail")]).state == states.FAILED


def test_a_replaced_reading_does_not_count() -> None:
    wrong = reading(6, "fail")
    assert stands([wrong, reading(7, "pass", replaces=wrong)]).state == states.PASSED


@pytest.mark.parametrize(
    ("verdict", "decision", "state"),
    [
        ("fail", None, states.FAILED),
        ("fail", REWORK, states.FAILED),
        ("fail", USE_AS_IS, states.ACCEPTED),
        ("undecided", None, states.UNDECIDED),
        ("undecided", USE_AS_IS, states.ACCEPTED),
    ],
)
def test_only_use_as_is_accepts_what_does_not_pass(verdict: str, decision: str | None, state: str) -> None:
    wrong = reading(6, verdict)
    found = Nonconformance(number=1, reading=wrong)
    if decision:
        found.disposition = Disposition(kind=decision)
    assert stands([wrong], found=[found]).state == state


def test_an_acceptance_ends_when_something_moves_the_feature() -> None:
    wrong = reading(6, "fail")
    found = Nonconformance(number=1, reading=wrong)
    found.disposition = Disposition(kind=USE_AS_IS)
    assert stands([wrong], [work(9, ARMOR)], found=[found]).state == states.MOVED_SINCE


def test_what_is_hidden_stays_valid_once_closed() -> None:
    visits = [TRUSS, ARMOR]
    work_done = [work(2, TRUSS), work(9, ARMOR), work(12, visit(6, "truss", housing_states.AHEAD))]
    assert stands([reading(3, of=RIBS)], work_done[:2], visits, of=RIBS).state == states.PASSED


def test_rework_that_goes_back_before_the_closing_opens_it_again() -> None:
    again = visit(6, "truss", housing_states.HERE)
    visits = [TRUSS, ARMOR, again]
    work_done = [work(2, TRUSS), work(9, ARMOR), work(12, again)]
    found = stands([reading(3, of=RIBS)], work_done, visits, of=RIBS)
    assert (found.state, found.moved_by) == (states.MOVED_SINCE, "truss")


STATIONS = ["truss", "face_and_drill", "armor", "final_inspection", "leak_test"]


@given(
    st.lists(st.tuples(st.sampled_from(STATIONS), st.integers(1, 40)), max_size=8, unique_by=lambda w: w[1]),
    st.integers(1, 40),
)
def test_a_lone_pass_stands_exactly_if_no_mover_came_later(
    done: list[tuple[str, int]], position: int
) -> None:
    done = [(station, place) for station, place in done if place != position]
    work_done = [work(place, visit(place, station)) for station, place in done]
    later = [s for s, place in done if s in FACE.movable_by and place > position]
    assert stands([reading(position)], work_done).is_enough is (not later)


def test_movable_by_nothing_stands_for_ever() -> None:
    still = Characteristic(pk=3, due=[{"station": "jig", "lower": None, "upper": None}], movable_by=[])
    assert last_move(still, [work(9, ARMOR)], [ARMOR]) is None
    assert stands([reading(1, of=still)], [work(9, ARMOR)], of=still).state == states.PASSED


def test_what_fails_before_the_work_that_moves_it_waits_for_no_decision(floor: Floor) -> None:
    """A face as welded is out of flat by far more than the cut face may be: that is what the cut is for."""
    housing = floor.housing(until="face_and_drill")
    bore = floor.characteristic(housing, "pilot_bore")
    rough = floor.reading(housing, bore, "face_and_drill", raw={"value": "1"})
    assert floor.record(housing, rough)["readings"][0]["verdict"] == "fail"
    assert not floor.measured(housing).nonconformances
    floor.work(housing, "face_and_drill")
    rough = floor.reading(housing, bore, "face_and_drill", raw={"value": "1"})
    assert floor.record(housing, rough)["readings"][0]["nonconformance"] == 1


def test_a_face_that_was_measured_before_a_pass_at_the_armor_is_measured_again(floor: Floor) -> None:
    housing = floor.housing(until="armor")
    face = floor.characteristic(housing, "face_flatness")
    assert floor.measured(housing).standings[face.pk].is_enough
    bench.done(floor, housing, 1, joint="armor_back")
    found = floor.measured(housing).standings[face.pk]
    assert (found.state, found.moved_by) == (states.MOVED_SINCE, "armor")
    # A pass that never was has moved nothing.
    bench.take_back(floor, housing, 1, joint="armor_back")
    assert floor.measured(housing).standings[face.pk].is_enough
    bench.done(floor, housing, 1, joint="armor_back")
    floor.finish(housing, housing.visits.get(state="here"))
    floor.walk(housing, until="final_inspection")
    (standing,) = [s for s in floor.measured(housing).due_at("final_inspection") if s.characteristic == face]
    assert standing.state == states.MOVED_SINCE
    floor.measure_due(housing, "final_inspection")
    assert floor.measured(housing).standings[face.pk].state == states.PASSED


def test_somebody_whose_device_had_not_seen_the_pass_is_asked(floor: Floor) -> None:
    housing = floor.housing(until="armor")
    seen = Housing.objects.get(pk=housing.pk).record_position
    (due,) = [c for c in floor.measured(housing).characteristics if c.code == "armor_welds"]
    bench.done(floor, housing, 1, joint="armor_back")
    entry = floor.reading(housing, due, "armor", seen_position=seen)
    with pytest.raises(Refused) as refusal:
        floor.record(housing, entry)
    assert [reason.code for reason in refusal.value.reasons] == ["moved_meanwhile"]
