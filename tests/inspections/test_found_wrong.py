"""A gauge found wrong: exactly the verdicts that its error changes, and what follows from each.

The oracle stands in the test: a gauge shows true × (1 + scale) + offset, so the true figure of a size is
(shown − offset) / (1 + scale), and it passes if it is within its limits, those included.
"""

from __future__ import annotations

import datetime
from fractions import Fraction

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from housings.models import Hold, Housing
from inspections import found_wrong, states
from inspections.models import (
    Calibration,
    Certificate,
    CertificateEvent,
    Gauge,
    GaugeDoubt,
    Nonconformance,
    Reading,
    ReadingDoubt,
)
from inspections.operations.certificates import revoke_certificate
from inspections.operations.doubts import answer_question
from inspections.operations.gauges import add_gauge, record_calibration, return_gauge
from inspections.queries import status_of
from inspections.recomputing import FoundError, recomputed
from shopqc import ledger
from shopqc.rules import the_shop
from tests.at_the_gate import asked, leave_visit, refused
from tests.factories import AT, Floor
from tests.good_readings import middle
from tests.inspections.wrong_caliper import (
    CODE,
    TODAY,
    a_size,
    at_jig,
    just_inside,
    limits,
    shown,
    shows,
    signed_with_caliper,
    text,
    wrong,
)

HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def caliper(floor: Floor) -> Gauge:
    floor.do(add_gauge, by="Q1", code=CODE, kind="caliper")
    return Gauge.objects.get(code=CODE)


def test_only_what_crosses_its_limit_is_doubted_and_its_housing_held(floor: Floor, caliper: Gauge) -> None:
    near, far = at_jig(floor), at_jig(floor)
    (close,) = shows(floor, near, just_inside(floor, near))
    size, station = a_size(floor, far)
    shows(floor, far, middle(*map(text, limits(size, station))))
    answer = wrong(floor)
    assert answer["examined"] == 2
    assert [change["reading"] for change in answer["changes"]] == [str(close.pk)]
    assert answer["held"] == [near.serial] and answer["questioned"] == []
    doubt = ReadingDoubt.objects.get()
    assert (doubt.reading_id, doubt.verdict) == (close.pk, "fail")
    assert Fraction(doubt.value) == Fraction(close.value) + Fraction("0.0002")
    assert 0 <= float(doubt.probability) < 0.5
    hold = Hold.objects.get()
    assert hold.housing == near and CODE in hold.why and size.name in hold.why
    assert GaugeDoubt.objects.get().examined == 2
    assert Gauge.objects.get(code=CODE).withdrawn_at is not None
    assert Nonconformance.objects.count() == 0
    assert ledger.verify().faults == ()


def test_what_is_doubted_does_not_stand_and_says_so(floor: Floor, caliper: Gauge) -> None:
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))
    size, station = a_size(floor, housing)
    assert floor.measured(housing).standings[size.pk].state == states.PASSED
    wrong(floor)
    assert floor.measured(housing).standings[size.pk].state == states.DOUBTED
    assert "doubted" in asked(housing, leave_visit(station))
    # Measured again with another gauge, it stands.
    floor.record(housing, floor.reading(housing, size, station))
    assert floor.measured(housing).standings[size.pk].state == states.PASSED
    assert "doubted" not in asked(housing, leave_visit(station))


def test_a_fail_that_the_gauge_made_stands_corrected_and_its_nonconformance_stays(
    floor: Floor, caliper: Gauge
) -> None:
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing, "-0.0001"))
    size, station = a_size(floor, housing)
    assert Nonconformance.objects.filter(housing=housing).count() == 1
    answer = wrong(floor, offset="0.0002")
    assert [change["verdict"] for change in answer["changes"]] == ["pass"]
    assert answer["held"] == []
    standing = floor.measured(housing).standings[size.pk]
    assert standing.state == states.PASSED and standing.counted is not None
    assert standing.counted.verdict == "pass" and standing.reading is not None
    assert standing.reading.verdict == "fail"
    assert "nonconformance_open" in asked(housing, leave_visit(station))


def test_what_was_read_before_the_last_good_check_is_left_alone(floor: Floor, caliper: Gauge) -> None:
    housing = at_jig(floor)
    value = just_inside(floor, housing)
    shows(floor, housing, value, done_at=(AT - 50 * HOUR).isoformat())
    day_of_check = (AT - 24 * HOUR).date().isoformat()
    floor.do(record_calibration, by="Q1", gauge=CODE, done_on=day_of_check)
    (after,) = shows(floor, housing, value, done_at=(AT - HOUR).isoformat())
    answer = wrong(floor)
    assert answer["examined"] == 1
    assert [change["reading"] for change in answer["changes"]] == [str(after.pk)]


def test_an_hour_parts_the_readings_of_the_day_of_a_good_check(floor: Floor, caliper: Gauge) -> None:
    housing = at_jig(floor)
    value = just_inside(floor, housing)
    shows(floor, housing, value, done_at=(AT - 3 * HOUR).isoformat())
    moment = AT - 2 * HOUR
    floor.do(
        record_calibration, by="Q1", gauge=CODE, done_on=moment.date().isoformat(), done_at=moment.isoformat()
    )
    shows(floor, housing, value, done_at=(AT - HOUR).isoformat())
    assert wrong(floor, done_at=AT.isoformat())["examined"] == 1


def test_a_wrong_check_entered_after_a_good_one_ends_there(floor: Floor, caliper: Gauge) -> None:
    housing = at_jig(floor)
    value = just_inside(floor, housing)
    shows(floor, housing, value, done_at=(AT - 100 * HOUR).isoformat())
    floor.do(record_calibration, by="Q1", gauge=CODE, done_on=(AT - 24 * HOUR).date().isoformat())
    shows(floor, housing, value)
    answer = wrong(floor, done_on=(AT - 48 * HOUR).date().isoformat())
    assert answer["examined"] == 1
    # It was found right since, so it stays in use.
    assert Gauge.objects.get(code=CODE).withdrawn_at is None


def test_a_gauge_found_wrong_comes_back_by_a_good_check_alone(floor: Floor, caliper: Gauge) -> None:
    wrong(floor)
    with refused("check_brings_back"):
        floor.do(return_gauge, by="Q1", gauge=CODE, why="Looks fine.")
    floor.do(record_calibration, by="Q1", gauge=CODE, done_on=TODAY)
    assert Gauge.objects.get(code=CODE).withdrawn_at is None
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))


def test_what_was_read_while_it_was_wrong_and_comes_in_late_is_refused(floor: Floor, caliper: Gauge) -> None:
    housing = at_jig(floor)
    value = just_inside(floor, housing)
    floor.do(record_calibration, by="Q1", gauge=CODE, done_on=(AT - 240 * HOUR).date().isoformat())
    wrong(floor, done_on=(AT - 72 * HOUR).date().isoformat())
    moment = AT - 48 * HOUR
    floor.do(
        record_calibration, by="Q1", gauge=CODE, done_on=moment.date().isoformat(), done_at=moment.isoformat()
    )
    with refused("gauge_was_wrong"):
        shows(floor, housing, value, done_at=(AT - 100 * HOUR).isoformat())
    shows(floor, housing, value, done_at=(AT - 300 * HOUR).isoformat())
    shows(floor, housing, value, done_at=(AT - 24 * HOUR).isoformat())
    shows(floor, housing, value)


def test_a_later_finding_of_the_true_error_lets_a_reading_stand_again(floor: Floor, caliper: Gauge) -> None:
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))
    size, _station = a_size(floor, housing)
    wrong(floor)
    assert floor.measured(housing).standings[size.pk].state == states.DOUBTED
    wrong(floor, offset="-0.00005")
    assert [doubt.verdict for doubt in ReadingDoubt.objects.order_by("pk")] == ["fail", "pass"]
    assert floor.measured(housing).standings[size.pk].state == states.PASSED


def test_a_reading_that_no_longer_counts_is_named_and_holds_nothing(floor: Floor, caliper: Gauge) -> None:
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))
    size, station = a_size(floor, housing)
    floor.record(housing, floor.reading(housing, size, station))
    answer = wrong(floor)
    assert [change["counts"] for change in answer["changes"]] == [False]
    assert answer["held"] == [] and not Hold.objects.exists()


def test_a_signed_housing_has_its_certificate_questioned_and_answered(floor: Floor, caliper: Gauge) -> None:
    housing = signed_with_caliper(floor)
    certificate = Certificate.objects.get(housing=housing)
    with refused("not_questioned"):
        floor.do(answer_question, by="Q1", certificate=certificate.number, why="Nobody asked.")
    answer = wrong(floor)
    assert answer["questioned"] == [certificate.number]
    event = CertificateEvent.objects.get(certificate=certificate, kind="questioned")
    assert CODE in event.why
    assert status_of(certificate) == states.QUESTIONED
    with refused("reason_needed"):
        floor.do(answer_question, by="Q1", certificate=certificate.number, why=" ")
    with refused("not_allowed"):
        floor.do(answer_question, by="W1", certificate=certificate.number, why="Fine.")
    floor.do(answer_question, by="Q1", certificate=certificate.number, why="Measured again: 0.001 inside.")
    assert status_of(certificate) in {states.WAITING, states.GENUINE}
    # A second finding puts it under question once more: the newest counts.
    floor.do(record_calibration, by="Q1", gauge=CODE, done_on=TODAY)
    assert ledger.verify().faults == ()


def test_a_revoked_certificate_stays_revoked(floor: Floor, caliper: Gauge) -> None:
    housing = signed_with_caliper(floor)
    certificate = Certificate.objects.get(housing=housing)
    floor.do(revoke_certificate, by="Q1", certificate=certificate.number, why="The wrong customer.")
    answer = wrong(floor)
    assert answer["questioned"] == [] and answer["held"] == [housing.serial]
    assert status_of(certificate) == states.REVOKED


def test_what_was_seen_beforehand_is_what_is_recorded(floor: Floor, caliper: Gauge) -> None:
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))
    error = FoundError(caliper, offset=Fraction("-0.0002"))
    seen = found_wrong.examine(error, found_wrong.Span(None, None), the_shop())
    assert ReadingDoubt.objects.count() == Calibration.objects.count() == 0
    shows(floor, housing, just_inside(floor, housing))
    with refused("changed_meanwhile"):
        wrong(floor, seen=seen.digest)
    again = found_wrong.examine(error, found_wrong.Span(None, None), the_shop())
    assert wrong(floor, seen=again.digest)["examined"] == 2


def test_nothing_is_half_done_when_a_check_is_refused(floor: Floor, caliper: Gauge) -> None:
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))
    with refused("check_in_future"):
        wrong(floor, done_on=(AT + 48 * HOUR).date().isoformat())
    with refused("check_long_ago"):
        wrong(floor, done_on="0001-01-01")
    assert Gauge.objects.get(code=CODE).withdrawn_at is None and not GaugeDoubt.objects.exists()


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    steps=st.lists(st.integers(-40, 40), min_size=1, max_size=12),
    offset=st.integers(-30, 30),
    scale=st.integers(-20, 20),
)
def test_exactly_those_verdicts_change_whose_true_figure_crosses(
    floor: Floor, steps: list[int], offset: int, scale: int
) -> None:
    """Readings around the upper limit in steps of a hundred thousandth, an error of a few of them."""
    housing = Housing.objects.order_by("pk").first() or at_jig(floor)
    code = f"C{Gauge.objects.count()}"
    floor.do(add_gauge, by="Q1", code=code, kind="caliper")
    size, station = a_size(floor, housing)
    lower, upper = limits(size, station)
    values = [text(upper + Fraction(step, 100_000)) for step in steps]
    entries = [floor.reading(housing, size, station, raw=shown(size, value), gauge=code) for value in values]
    answer = floor.record(housing, *entries)
    told = {"error_offset": f"{offset / 100_000:.5f}", "error_scale": f"{scale / 1_000_000:.6f}"}
    if not offset and not scale:
        return
    found = floor.do(record_calibration, by="Q1", gauge=code, done_on=TODAY, found_right=False, **told)
    expected = set()
    for value, reading in zip(values, answer["readings"], strict=True):
        read = Fraction(value)
        true = (read - Fraction(told["error_offset"])) / (1 + Fraction(told["error_scale"]))
        if (lower <= read <= upper) != (lower <= true <= upper):
            expected.add(reading["id"])
    assert {change["reading"] for change in found["changes"]} == expected
    assert found["examined"] == len(values)


def test_the_number_of_queries_does_not_grow_with_the_readings(floor: Floor, caliper: Gauge) -> None:
    housing = at_jig(floor)
    error = FoundError(caliper, offset=Fraction("-0.0002"))

    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            found_wrong.examine(error, found_wrong.Span(None, None), the_shop())
        return len(caught)

    value = just_inside(floor, housing)
    shows(floor, housing, value)
    few = queries()
    shows(floor, housing, *[value] * 30)
    other = at_jig(floor)
    shows(floor, other, *[value] * 30)
    assert queries() == few
    with CaptureQueriesContext(connection) as caught:
        assert not [found for found in recomputed(Reading.objects.order_by("pk")) if found.difference]
    assert len(caught) == 1
