"""A gauge is withdrawn or found wrong while somebody else uses it: on real transactions, made to overlap."""

from __future__ import annotations

import threading
from collections.abc import Callable

import pytest

from housings.models import Hold
from inspections import states
from inspections.models import Calibration, Gauge, Reading, ReadingDoubt
from inspections.operations.gauges import add_gauge, withdraw_gauge
from shopqc import ledger
from shopqc.models import LedgerEntry
from shopqc.refusals import Refused
from tests.factories import AT, GAUGE, Floor
from tests.harness.overlap import Meeting, Pause
from tests.harness.threads import Outcome, at_once, start
from tests.inspections.wrong_caliper import CODE, a_size, at_jig, just_inside, shows, wrong

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    floor = Floor(AT)
    floor.do(add_gauge, by="Q1", code=CODE, kind="caliper")
    return floor


def codes(outcomes: list[Outcome]) -> list[str]:
    """What each call was refused for, one code each; an answer is ''."""
    found = []
    for outcome in outcomes:
        if outcome.ok:
            found.append("")
        else:
            assert isinstance(outcome.error, Refused), repr(outcome.error)
            found.append(outcome.error.reasons[0].code)
    return found


def agreed() -> None:
    assert ledger.verify().faults == ()


def test_of_two_who_withdraw_at_once_one_does(floor: Floor) -> None:
    def withdraw(stamp: str) -> Callable[[], object]:
        return lambda: floor.do(withdraw_gauge, by=stamp, gauge=GAUGE, why=f"{stamp} saw it fall.")

    meeting = Meeting('UPDATE "inspections_gauge"', patience=0.7)
    outcomes = at_once(withdraw("W1"), withdraw("M1"), wrapped=[meeting])
    assert sorted(codes(outcomes)) == ["", "withdrawn_already"]
    lines = LedgerEntry.objects.filter(chain=f"gauge:{GAUGE}", line__contains='"operation":"withdraw_gauge"')
    assert lines.count() == 1
    agreed()


def test_a_reading_recorded_while_its_gauge_is_found_wrong_is_refused_or_doubted(floor: Floor) -> None:
    housing = at_jig(floor)
    value = just_inside(floor, housing)
    shows(floor, housing, value)
    meeting = Meeting('UPDATE "inspections_gauge"', patience=0.7)
    outcomes = at_once(lambda: shows(floor, housing, value), lambda: wrong(floor), wrapped=[meeting])
    read, found = codes(outcomes)
    size, _station = a_size(floor, housing)
    count = Reading.objects.filter(gauge__code=CODE).count()
    if found == "":
        # Recorded first, it was judged again with the others; recorded after, its gauge is refused.
        assert (read, count) in {("", 2), ("gauge_withdrawn", 1)}
        assert ReadingDoubt.objects.count() == count
        assert floor.measured(housing).standings[size.pk].state == states.DOUBTED
    else:
        assert (read, found) == ("", "changed_meanwhile")
        assert not ReadingDoubt.objects.exists() and not Calibration.objects.exists()
    agreed()


def test_a_housing_that_comes_in_between_looking_and_locking_is_not_missed(floor: Floor) -> None:
    """The finding stands before its locks when another housing is measured with the gauge."""
    first, second = at_jig(floor), at_jig(floor)
    value = just_inside(floor, first)
    shows(floor, first, value)
    pause = Pause('FROM "housings_housing"')
    running = start(lambda: wrong(floor), wrapped=[pause])
    pause.wait_until_reached()
    recorded = threading.Event()
    measured = start(lambda: (shows(floor, second, value), recorded.set()))
    # SQLite lets nobody write meanwhile: there the reading waits, and finds the gauge withdrawn.
    recorded.wait(1.0)
    pause.go()
    (found,), (read,) = codes(running.outcomes()), codes(measured.outcomes())
    if found == "changed_meanwhile":
        assert read == "" and not ReadingDoubt.objects.exists()
        assert Gauge.objects.get(code=CODE).withdrawn_at is None
        assert wrong(floor)["examined"] == 2
    else:
        assert (found, read) == ("", "gauge_withdrawn")
    doubted = set(ReadingDoubt.objects.values_list("reading__housing__serial", flat=True))
    held = set(Hold.objects.values_list("housing__serial", flat=True))
    assert (
        doubted
        == held
        == set(Reading.objects.filter(gauge__code=CODE).values_list("housing__serial", flat=True))
    )
    agreed()


def test_two_who_find_it_wrong_at_once_are_recorded_one_after_the_other(floor: Floor) -> None:
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))
    meeting = Meeting('INSERT INTO "inspections_calibration"', patience=0.7)
    outcomes = at_once(lambda: wrong(floor), lambda: wrong(floor), wrapped=[meeting])
    assert codes(outcomes) == ["", ""]
    # The second finding changes nothing more.
    assert Calibration.objects.count() == 2 and ReadingDoubt.objects.count() == 1
    agreed()
