"""Gauges over the API: on file, changed, checked, found wrong, withdrawn and back."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any

import pytest

from inspections.models import Calibration, Gauge
from shopqc import ledger
from tests.api.caller import Caller, done, pointers, refused
from tests.factories import AT, GAUGE, OVERDUE, Floor

TODAY = AT.date().isoformat()
Unchanged = Callable[[], AbstractContextManager[None]]


@pytest.fixture
def lab(floor: Floor) -> Caller:
    """A program that keeps the gauges for the QC lead."""
    return Caller(floor.api_key("gauges", "readings", stamp="Q1")[0])


def test_kind_and_code_put_a_gauge_on_file(lab: Caller) -> None:
    response = lab.post("/gauges", {"code": "CAL 7", "kind": "caliper"}, name="one")
    assert done(response, 201) == {"gauge": "CAL 7"}
    assert lab.post("/gauges", {"code": "CAL 7", "kind": "caliper"}, name="one").content == response.content
    shown = done(lab.get(response["Location"]))
    assert (shown["name"], shown["unit"], shown["uncertainty"]) == ("Caliper", "in", "0.002")
    assert shown["calibration_due"] == "2027-05-04" and shown["withdrawn"] is None
    refused(lab.post("/gauges", {"code": "CAL 7", "kind": "caliper"}), 422, "gauge_exists")


def test_a_bar_comes_with_its_figures(lab: Caller) -> None:
    constants = {"diameter": 1.5, "supports": [-27, 27], "ends": ["-36", "36"]}
    done(lab.post("/gauges", {"code": "BAR-1", "kind": "bar", "constants": constants}), 201)
    shown = done(lab.get("/gauges/BAR-1"))
    assert shown["constants"] == {"diameter": "1.5", "supports": ["-27", "27"], "ends": ["-36", "36"]}


def test_the_list_comes_in_pages_and_by_kind(lab: Caller) -> None:
    for number in range(5):
        done(lab.post("/gauges", {"code": f"CAL-{number}", "kind": "caliper"}), 201)
    first = done(lab.get("/gauges?limit=3&kind=caliper"))
    assert [one["code"] for one in first["gauges"]] == ["CAL-4", "CAL-3", "CAL-2"]
    second = done(lab.get(first["next"]))
    assert [one["code"] for one in second["gauges"]] == ["CAL-1", "CAL-0"] and second["next"] is None
    every = done(lab.get("/gauges"))["gauges"]
    assert {one["code"] for one in every} >= {GAUGE, OVERDUE, "CAL-0"}
    refused(lab.get("/gauges?colour=red"), 422, "parameter_unknown")


def test_a_check_that_finds_it_wrong_answers_what_that_changed(floor: Floor, lab: Caller) -> None:
    done(lab.post("/gauges", {"code": "CAL-1", "kind": "caliper"}), 201)
    good = done(lab.post("/gauges/CAL-1/checks", {"done_on": "2026-05-01", "uncertainty": "0.001"}), 201)
    assert good == {"gauge": "CAL-1", "due": "2027-05-01"}
    body = {"done_on": TODAY, "found_right": False, "error_offset": "-0.002", "note": "The jaws are worn."}
    wrong = done(lab.post("/gauges/CAL-1/checks", body), 201)
    assert (wrong["examined"], wrong["changes"], wrong["found_right"]) == (0, [], False)
    checks = done(lab.get("/gauges/CAL-1/checks"))["checks"]
    assert [(one["found_right"], one["examined"]) for one in checks] == [(False, 0), (True, None)]
    assert done(lab.get("/gauges/CAL-1"))["withdrawn"]["why"] == f"Found wrong on {TODAY}. The jaws are worn."
    refused(lab.post("/gauges/CAL-1/return", {"why": "Fine."}), 409, "check_brings_back")
    assert ledger.verify().faults == ()


def test_a_phone_withdraws_what_was_dropped_and_the_qc_lead_takes_it_back(floor: Floor, lab: Caller) -> None:
    phone = Caller(floor.api_key("gauges", stamp="W1")[0])
    done(phone.post(f"/gauges/{GAUGE}/withdraw", {"why": "Dropped."}))
    refused(phone.post(f"/gauges/{GAUGE}/withdraw", {"why": "Dropped."}), 409, "withdrawn_already")
    refused(phone.post(f"/gauges/{GAUGE}/return", {"why": "Fine."}), 403, "not_allowed")
    done(lab.post(f"/gauges/{GAUGE}/return", {"why": "Compared: unchanged."}))
    assert done(lab.get(f"/gauges/{GAUGE}"))["withdrawn"] is None


def test_a_change_is_refused_if_somebody_was_faster(lab: Caller) -> None:
    done(lab.post("/gauges", {"code": "CAL-1", "kind": "caliper"}), 201)
    seen = done(lab.get("/gauges/CAL-1"))["record_position"]
    body = {"changes": {"place": "Bench 2", "highest": "6"}, "seen_position": seen}
    assert done(lab.post("/gauges/CAL-1/change", body))["changed"] == ["highest", "place"]
    again = {"changes": {"place": "Bench 3"}, "seen_position": seen}
    refused(lab.post("/gauges/CAL-1/change", again), 409, "changed_meanwhile")


@pytest.mark.parametrize(
    ("path", "body", "code", "pointer"),
    [
        ("/gauges", {"kind": "caliper"}, "field_missing", "/code"),
        ("/gauges", {"code": "X", "kind": "laser"}, "field_wrong", "/kind"),
        ("/gauges", {"code": "X/Y", "kind": "caliper"}, "gauge_code_wrong", "/code"),
        ("/gauges", {"code": "X", "uncertainty": "-1"}, "uncertainty_wrong", "/uncertainty"),
        ("/gauges", {"code": "X", "uncertainty": "1e5"}, "field_wrong", "/uncertainty"),
        ("/gauges", {"code": "X", "lowest": "2", "highest": "1"}, "range_wrong", "/highest"),
        ("/gauges", {"code": "X", "constants": {"size": "1E+99999999"}}, "constant_wrong", "/constants/size"),
        ("/gauges", {"code": "X", "constants": {"size": {"a": 1}}}, "constant_wrong", "/constants/size"),
        ("/gauges", {"code": "X", "constants": {"size": True}}, "constant_wrong", "/constants/size"),
        ("/gauges", {"code": "X", "owner": "me"}, "field_unknown", "/owner"),
        (f"/gauges/{GAUGE}/checks", {}, "field_missing", "/done_on"),
        (f"/gauges/{GAUGE}/checks", {"done_on": "2026-02-30"}, "field_wrong", "/done_on"),
        (f"/gauges/{GAUGE}/checks", {"done_on": TODAY, "due_on": "2026-05-01"}, "check_dates", "/due_on"),
        (
            f"/gauges/{GAUGE}/checks",
            {"done_on": TODAY, "found_right": False},
            "error_needed",
            "/error_offset",
        ),
        (
            f"/gauges/{GAUGE}/checks",
            {"done_on": TODAY, "found_right": False, "error_scale": "7"},
            "error_scale_wrong",
            "/error_scale",
        ),
        (f"/gauges/{GAUGE}/withdraw", {"why": " "}, "reason_needed", "/why"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field(
    lab: Caller, nothing_changes: Unchanged, path: str, body: dict[str, Any], code: str, pointer: str
) -> None:
    with nothing_changes():
        problem = refused(lab.post(path, body), 422, code)
    assert pointers(problem) == {pointer}


def test_a_gauge_that_is_none_is_not_found(lab: Caller) -> None:
    refused(lab.get("/gauges/NONE"), 404, "not_found")
    refused(lab.get("/gauges/NONE/checks"), 404, "not_found")
    refused(lab.post("/gauges/NONE/checks", {"done_on": TODAY}), 404, "not_found")
    wrong = {"done_on": TODAY, "found_right": False, "error_offset": "1"}
    refused(lab.post("/gauges/NONE/checks", wrong), 404, "not_found")
    refused(lab.post("/gauges/NONE/withdraw", {"why": "Gone."}), 404, "not_found")


def test_gauges_are_for_keys_that_keep_them_and_for_no_customer(floor: Floor, phone: Caller) -> None:
    refused(phone.get("/gauges"), 403, "key_without_scope")
    refused(phone.post("/gauges", {"code": "X"}), 403, "key_without_scope")
    north = Caller(floor.api_key("gauges", customer="north")[0])
    assert done(north.get("/gauges"))["gauges"] == []
    refused(north.get(f"/gauges/{GAUGE}"), 404, "not_found")
    refused(north.post(f"/gauges/{GAUGE}/withdraw", {"why": "Mine."}), 403, "not_allowed")
    assert Gauge.objects.get(code=GAUGE).withdrawn_at is None and not Calibration.objects.exists()
