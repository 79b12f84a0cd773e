"""Two at once, on real transactions: one of them wins, nothing is done twice, nothing is half done.

Each race is made to overlap for certain: both threads wait before the
statement that writes until the other stands there too. With the lock nobody
else arrives and the first goes on alone; without it both would have read
before either wrote.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from housings.models import Hold, Housing, Visit
from housings.operations.holds import hold_housing
from housings.operations.visits import arrive, leave_station, record_work_done
from inspections.models import Certificate, Disposition, IssueJob, Nonconformance, Reading
from inspections.operations.nonconformances import dispose
from shopqc import ledger
from shopqc.models import Counter, Customer, LedgerEntry
from shopqc.operations.shop import add_customer
from shopqc.refusals import Refused
from tests.factories import Floor
from tests.harness.overlap import Meeting
from tests.harness.threads import Outcome, at_once

pytestmark = pytest.mark.django_db(transaction=True)


def codes(outcomes: list[Outcome]) -> list[str]:
    """What each call was refused for, one code each; an answer is ''."""
    found = []
    for outcome in outcomes:
        if outcome.ok:
            found.append("")
        else:
            assert isinstance(outcome.error, Refused), repr(outcome.error)
            found.append(outcome.error.reasons[0].code)
    return sorted(found)


def agreed() -> None:
    assert ledger.verify().faults == ()


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    return Floor()


def meeting(table: str) -> Meeting:
    return Meeting(f'UPDATE "{table}"', patience=0.7)


def at_the_same_time(*runs: Callable[[], object], before: Meeting) -> list[Outcome]:
    return at_once(*runs, wrapped=[before])


def test_of_two_who_leave_at_once_one_leaves(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    floor.measure_due(housing, "jig")

    def leave(stamp: str) -> Callable[[], object]:
        return lambda: floor.do(leave_station, by=stamp, housing=housing.serial, station="jig")

    outcomes = at_the_same_time(leave("W1"), leave("M1"), before=meeting("housings_visit"))
    assert codes(outcomes) == ["", "not_here"]
    assert Visit.objects.filter(housing=housing, state="left").count() == 1
    lines = LedgerEntry.objects.filter(chain=housing.chain, line__contains='"operation":"leave_station"')
    assert lines.count() == 1
    agreed()


def test_of_two_who_arrive_at_once_one_arrives(floor: Floor) -> None:
    (housing,) = floor.order()

    def come(stamp: str) -> Callable[[], object]:
        return lambda: floor.do(arrive, by=stamp, housing=housing.serial, station="jig")

    outcomes = at_the_same_time(come("W1"), come("M1"), before=meeting("housings_visit"))
    assert codes(outcomes) == ["", "is_here_already"]
    assert Visit.objects.filter(housing=housing, state="here").count() == 1
    agreed()


def test_of_two_signers_one_signs(floor: Floor) -> None:
    housing = floor.housing(until="measured")
    outcomes = at_the_same_time(
        lambda: floor.sign(housing, by="Q1"),
        lambda: floor.sign(housing, by="1"),
        before=Meeting('INSERT INTO "inspections_signoff"', patience=0.7),
    )
    assert codes(outcomes) == ["", "housing_signed_off"]
    assert Certificate.objects.count() == IssueJob.objects.count() == 1
    agreed()


def test_two_housings_signed_at_once_get_numbers_without_gap_or_double(floor: Floor) -> None:
    first, second = (floor.housing(until="measured") for _ in range(2))
    outcomes = at_the_same_time(
        lambda: floor.sign(first),
        lambda: floor.sign(second, by="1"),
        before=meeting("shopqc_counter"),
    )
    assert codes(outcomes) == ["", ""]
    assert sorted(Certificate.objects.values_list("number", flat=True)) == ["C-00001", "C-00002"]
    agreed()


def test_a_double_click_writes_once_and_gets_one_answer(floor: Floor) -> None:
    actor = floor.actor("O1")

    def click() -> object:
        return floor.do(add_customer, by=actor, key="one click", code="mesa", name="Mesa Works")

    outcomes = at_once(click, click, wrapped=[Meeting("INSERT INTO shopqc_answered", patience=0.7)])
    assert codes(outcomes) == ["", ""]
    assert outcomes[0].value == outcomes[1].value
    assert Customer.objects.filter(code="mesa").count() == 1
    agreed()


def test_orders_placed_at_once_get_serials_without_gap_or_double(floor: Floor) -> None:
    start = Counter.objects.filter(series="serial").values_list("value", flat=True).first() or 0
    outcomes = at_once(
        *(lambda: floor.order(quantity=3) for _ in range(4)), wrapped=[meeting("shopqc_counter")]
    )
    assert codes(outcomes) == [""] * 4
    assert Housing.objects.count() == 12
    assert Counter.objects.get(series="serial").value == start + 12
    agreed()


def test_one_reference_is_one_order_however_often_it_is_sent(floor: Floor) -> None:
    outcomes = at_once(
        *(lambda: floor.order(reference="PO-77") for _ in range(3)),
        wrapped=[Meeting('INSERT INTO "housings_order"', parties=3, patience=0.7)],
    )
    assert codes(outcomes) == ["", "order_known", "order_known"]
    agreed()


def test_a_nonconformance_is_decided_once(floor: Floor) -> None:
    housing = floor.housing(until="truss")
    floor.work(housing, "truss")
    tube = floor.characteristic(housing, "tube_runout_left")
    floor.record(
        housing, floor.reading(housing, tube, "truss", raw={"readings": ["0", "0.2", "0.1", "0.05"]})
    )

    def decide(decision: str, **inputs: object) -> Callable[[], object]:
        return lambda: floor.do(
            dispose,
            by="Q1",
            housing=housing.serial,
            nonconformance=1,
            decision=decision,
            reason="Two desks, one housing.",
            **inputs,
        )

    outcomes = at_the_same_time(
        decide("use_as_is"),
        decide("rework", stations=["straighten"]),
        before=Meeting('INSERT INTO "inspections_disposition"', patience=0.7),
    )
    assert codes(outcomes) == ["", "decided_already"]
    assert Disposition.objects.count() == 1
    agreed()


def test_two_readings_at_once_keep_their_places_in_the_record(floor: Floor) -> None:
    housing = floor.housing(until="truss")
    floor.work(housing, "truss")
    left, right = (floor.characteristic(housing, f"tube_runout_{side}") for side in ("left", "right"))
    entries = [floor.reading(housing, one, "truss") for one in (left, right)]
    outcomes = at_the_same_time(
        *(lambda entry=entry: floor.record(housing, entry) for entry in entries),
        before=meeting("housings_housing"),
    )
    assert codes(outcomes) == ["", ""]
    places = Reading.objects.filter(visit__station="truss").values_list("record_position", flat=True)
    assert len(set(places)) == 2
    agreed()


def test_two_failing_readings_at_once_open_two_numbered_nonconformances(floor: Floor) -> None:
    housing = floor.housing(until="truss")
    floor.work(housing, "truss")
    bad = {"readings": ["0", "0.2", "0.1", "0.05"]}
    entries = [
        floor.reading(housing, floor.characteristic(housing, f"tube_runout_{side}"), "truss", raw=bad)
        for side in ("left", "right")
    ]
    outcomes = at_the_same_time(
        *(lambda entry=entry: floor.record(housing, entry) for entry in entries),
        before=Meeting('INSERT INTO "inspections_nonconformance"', patience=0.7),
    )
    assert codes(outcomes) == ["", ""]
    assert sorted(Nonconformance.objects.values_list("number", flat=True)) == [1, 2]
    agreed()


def test_a_hold_and_a_leaving_do_not_pass_each_other(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    floor.measure_due(housing, "jig")
    outcomes = at_the_same_time(
        lambda: floor.do(leave_station, by="W1", housing=housing.serial, station="jig"),
        lambda: floor.do(hold_housing, by="Q1", housing=housing.serial, why="Look at the left seat."),
        before=meeting("housings_housing"),
    )
    # Either it left before it was held, or it was held and stayed; never held first and left after.
    left = Visit.objects.filter(housing=housing, state="left").exists()
    assert Hold.objects.filter(housing=housing, released_at=None).count() == 1
    assert codes(outcomes) == (["", ""] if left else ["", "held"])
    operations = [
        entry.line.split('"operation":"')[1].split('"')[0]
        for entry in LedgerEntry.objects.filter(chain=housing.chain).order_by("position")
    ]
    assert operations[-1] == "hold_housing"
    agreed()


def test_work_and_reading_at_once_never_leave_a_reading_that_stands_wrongly(floor: Floor) -> None:
    housing = floor.housing(until="truss")
    floor.work(housing, "truss")
    tube = floor.characteristic(housing, "tube_runout_left")
    entry = floor.reading(housing, tube, "truss")
    outcomes = at_the_same_time(
        lambda: floor.record(housing, entry),
        lambda: floor.do(record_work_done, by="W1", housing=housing.serial, station="truss"),
        before=meeting("housings_housing"),
    )
    standing = floor.measured(housing).standings[tube.pk]
    # Measured first: the work moved it. Worked first: the person is asked, nothing is kept.
    assert codes(outcomes) in (["", ""], ["", "moved_meanwhile"])
    assert not standing.is_enough
    agreed()


def test_of_many_workers_one_takes_a_job(floor: Floor) -> None:
    floor.housing(until="signed")
    job = IssueJob.objects.get()
    outcomes = at_once(
        *(lambda: IssueJob.take(job.pk, floor.at) for _ in range(4)),
        wrapped=[Meeting('UPDATE "inspections_issuejob"', parties=4)],
    )
    assert sorted(outcome.value or 0 for outcome in outcomes) == [0, 0, 0, 1]


def test_every_race_really_meets_when_no_lock_keeps_the_threads_apart(floor: Floor) -> None:
    """The proof that `Meeting` makes threads overlap: two reads of one row, no lock, one update lost."""
    (housing,) = floor.order()
    together = meeting("housings_housing")

    def careless() -> None:
        position = Housing.objects.get(pk=housing.pk).record_position
        Housing.objects.filter(pk=housing.pk).update(record_position=position + 1)

    before = Housing.objects.get(pk=housing.pk).record_position
    outcomes = at_once(careless, careless, wrapped=[together])
    assert codes(outcomes) == ["", ""]
    assert together.met
    assert Housing.objects.get(pk=housing.pk).record_position == before + 1
