"""Equipment on file: what each kind brings along, changing, checking, withdrawing, taking into use again."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from inspections.metrology.equipment import KINDS, UNITS, Measures, months_later
from inspections.models import Calibration, Gauge
from inspections.operations.gauges import (
    add_gauge,
    change_gauge,
    record_calibration,
    return_gauge,
    withdraw_gauge,
)
from shopqc import ledger
from shopqc.refusals import Refused
from tests.at_the_gate import refused
from tests.factories import AT, GAUGE, Floor

TODAY = AT.date()


def gauge(code: str = "C-1") -> Gauge:
    return Gauge.objects.get(code=code)


def day(days: int) -> str:
    return (TODAY + datetime.timedelta(days=days)).isoformat()


def test_a_kind_and_a_code_put_a_caliper_on_file(floor: Floor) -> None:
    floor.do(add_gauge, by="Q1", code="C-1", kind="caliper")
    found = gauge()
    assert (found.name, found.unit, found.uncertainty) == ("Caliper", "in", "0.002")
    assert found.calibration_due == months_later(TODAY, 12)
    assert ledger.verify().faults == ()


@pytest.mark.parametrize("code", KINDS)
def test_every_kind_can_be_put_on_file_with_a_code_alone(floor: Floor, code: str) -> None:
    floor.do(add_gauge, by="Q1", code=f"X {code}"[:20].strip(), kind=code)
    found = Gauge.objects.get(kind=code, code__startswith="X")
    assert found.uncertainty == KINDS[code].uncertainty
    assert (found.calibration_due is None) == (KINDS[code].months is None)


def test_a_kind_says_in_which_unit_it_reads() -> None:
    for kind in KINDS.values():
        if kind.measures not in {Measures.NOTHING, Measures.ANYTHING}:
            assert UNITS[kind.unit] is kind.measures, kind.code


@pytest.mark.parametrize(
    ("given", "code", "field"),
    [
        ({"code": " "}, "field_missing", "/code"),
        ({"code": "a/b"}, "gauge_code_wrong", "/code"),
        ({"code": "x" * 21}, "gauge_code_wrong", "/code"),
        ({"code": GAUGE}, "gauge_exists", "/code"),
        ({"kind": "laser"}, "kind_unknown", "/kind"),
        ({"name": "n" * 81}, "too_long", "/name"),
        ({"unit": "u" * 11}, "too_long", "/unit"),
        ({"uncertainty": "-0.001"}, "uncertainty_wrong", "/uncertainty"),
        ({"uncertainty": "much"}, "uncertainty_wrong", "/uncertainty"),
        ({"uncertainty": "NaN"}, "uncertainty_wrong", "/uncertainty"),
        ({"uncertainty": "0." + "0" * 30}, "uncertainty_wrong", "/uncertainty"),
        ({"lowest": "6", "highest": "0"}, "range_wrong", "/highest"),
        ({"lowest": "1", "highest": "1"}, "range_wrong", "/highest"),
        ({"lowest": "low"}, "figure_wrong", "/lowest"),
        ({"constants": {"size": "-1"}}, "constant_wrong", "/constants/size"),
        ({"constants": {"size": "big"}}, "constant_wrong", "/constants/size"),
        ({"constants": {"weight": "1"}}, "constant_unknown", "/constants"),
        ({"constants": {"supports": ["27", "-27"]}}, "constant_wrong", "/constants/supports"),
        ({"constants": {"supports": ["27"]}}, "constant_wrong", "/constants/supports"),
        ({"constants": {"v_angle": "181"}}, "constant_wrong", "/constants/v_angle"),
        ({"constants": {"unit": "ft"}}, "constant_wrong", "/constants/unit"),
    ],
)
def test_what_cannot_be_on_file_is_refused_beside_its_field(
    floor: Floor, given: dict[str, Any], code: str, field: str
) -> None:
    with pytest.raises(Refused) as error:
        floor.do(add_gauge, by="Q1", **{"code": "C-1", "kind": "caliper", **given})
    assert [(reason.code, reason.field) for reason in error.value.reasons] == [(code, field)]
    assert not Gauge.objects.filter(code="C-1").exists()


def test_what_was_assumed_is_changed_later(floor: Floor) -> None:
    floor.do(add_gauge, by="Q1", code="C-1", kind="caliper")
    seen = gauge().record_position
    changes = {"uncertainty": "0.001", "highest": "6", "place": "Bench 2", "calibration_due": None}
    assert floor.do(change_gauge, by="Q1", gauge="C-1", changes=changes, seen_position=seen)["changed"] == [
        "calibration_due",
        "highest",
        "place",
        "uncertainty",
    ]
    found = gauge()
    assert (found.uncertainty, found.highest, found.place, found.calibration_due) == (
        "0.001",
        "6",
        "Bench 2",
        None,
    )
    with refused("changed_meanwhile"):
        floor.do(change_gauge, by="Q1", gauge="C-1", changes={"place": "Bench 3"}, seen_position=seen)
    with refused("field_unknown"):
        floor.do(change_gauge, by="Q1", gauge="C-1", changes={"withdrawn_at": None})
    with refused("range_wrong"):
        floor.do(change_gauge, by="Q1", gauge="C-1", changes={"lowest": "7"})
    assert ledger.verify().faults == ()


def test_whoever_drops_a_gauge_withdraws_it_and_the_qc_lead_takes_it_back(floor: Floor) -> None:
    with refused("reason_needed"):
        floor.do(withdraw_gauge, by="W1", gauge=GAUGE, why="  ")
    floor.do(withdraw_gauge, by="W1", gauge=GAUGE, why="Fell on the floor.")
    assert gauge(GAUGE).withdrawn_why == "Fell on the floor."
    with refused("withdrawn_already"):
        floor.do(withdraw_gauge, by="M1", gauge=GAUGE, why="Me too.")
    with refused("not_allowed"):
        floor.do(return_gauge, by="W1", gauge=GAUGE, why="Looks fine.")
    floor.do(return_gauge, by="Q1", gauge=GAUGE, why="Compared with the master: unchanged.")
    assert gauge(GAUGE).withdrawn_at is None
    with refused("not_withdrawn"):
        floor.do(return_gauge, by="Q1", gauge=GAUGE, why="Once more.")


def test_a_good_check_brings_a_gauge_back_and_moves_its_next_one(floor: Floor) -> None:
    floor.do(add_gauge, by="Q1", code="C-1", kind="caliper")
    floor.do(withdraw_gauge, by="W1", gauge="C-1", why="Dropped.")
    floor.do(record_calibration, by="Q1", gauge="C-1", done_on=day(0), uncertainty="0.0015")
    found = gauge()
    assert (found.withdrawn_at, found.uncertainty) == (None, "0.0015")
    assert found.calibration_due == months_later(TODAY, 12)
    assert ledger.verify().faults == ()


def test_an_older_check_that_is_entered_late_changes_no_date(floor: Floor) -> None:
    floor.do(add_gauge, by="Q1", code="C-1", kind="caliper")
    floor.do(record_calibration, by="Q1", gauge="C-1", done_on=day(-10), due_on=day(300))
    floor.do(record_calibration, by="Q1", gauge="C-1", done_on=day(-400), due_on=day(-35), uncertainty="0.01")
    assert gauge().calibration_due == TODAY + datetime.timedelta(days=300)
    assert (gauge().uncertainty, Calibration.objects.count()) == ("0.002", 2)


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ({"due_on": day(-1)}, "check_dates"),
        ({"due_on": day(0)}, "check_dates"),
        ({"done_on": day(1), "due_on": day(9)}, "check_in_future"),
        ({"done_at": (AT + datetime.timedelta(hours=1)).isoformat()}, "check_in_future"),
        ({"done_at": (AT - datetime.timedelta(days=3)).isoformat()}, "check_moment"),
        ({"uncertainty": "-1"}, "uncertainty_wrong"),
        ({"document": "0" * 64}, "check_not_filed"),
        ({"document": "../x"}, "check_not_filed"),
        ({"reference": "r" * 81}, "too_long"),
        ({"error_offset": "0.001"}, "error_not_found"),
        ({"found_right": False}, "error_needed"),
        ({"found_right": False, "error_offset": "a bit"}, "error_wrong"),
        ({"found_right": False, "error_offset": "9" * 21}, "error_wrong"),
        ({"found_right": False, "error_offset": "Infinity"}, "error_wrong"),
        ({"found_right": False, "error_scale": "-1"}, "error_scale_wrong"),
        ({"found_right": False, "constants": {"size": "0"}}, "constant_wrong"),
    ],
)
def test_a_check_that_cannot_be_is_refused(floor: Floor, given: dict[str, Any], code: str) -> None:
    floor.do(add_gauge, by="Q1", code="C-1", kind="caliper")
    with refused(code):
        floor.do(record_calibration, by="Q1", gauge="C-1", **{"done_on": day(0), **given})
    assert not Calibration.objects.exists() and gauge().withdrawn_at is None
