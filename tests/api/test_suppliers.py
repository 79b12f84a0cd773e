"""Suppliers, slips and the way of one housing over the API."""

from __future__ import annotations

from typing import Any

import pytest

from housings.engineering.route_rules import long_route
from housings.models import Housing
from housings.operations.routes import publish_route
from shopqc import ledger
from tests.api.caller import Caller, done, refused
from tests.factories import Floor

PAPER = b"%PDF-1.4\n% certificate of conformity, invented\n"


@pytest.fixture
def furnace(floor: Floor) -> Housing:
    floor.do(publish_route, name="standard", stations=[{"station": code} for code in long_route(False)])
    return floor.housing(until="stress_relief")


def test_a_stay_at_a_supplier_from_beginning_to_end(furnace: Housing, phone: Caller, north: Caller) -> None:
    path = f"/housings/{furnace.serial}"
    body = {"station": "stress_relief", "supplier": "Kiln Street", "expected_on": "2026-05-11"}
    assert done(phone.post(f"{path}/send-to-supplier", body), 201)["stay"] == 1
    (stay,) = done(phone.get(path))["suppliers"]
    assert (stay["supplier"], stay["expected_on"], stay["back_at"]) == ("Kiln Street", "2026-05-11", None)
    refused(phone.post(f"{path}/work-done", {"station": "stress_relief"}), 409, "away_at_supplier")
    paper = done(phone.post("/files", raw=PAPER, content_type="application/pdf"), 201)["sha256"]
    back = {
        "condition": "No dents.",
        "details": {"held_temperature": "1150", "held_hours": "1.5", "furnace": "No. 2"},
    }
    assert done(phone.post(f"{path}/back-from-supplier", back))["work_done"]
    done(phone.post(f"{path}/conformity", {"stay": 1, "conformity": paper}))
    whole = done(phone.get(path))
    assert whole["suppliers"][0]["conformity"] == paper
    work = whole["work_done"][-1]
    assert (work["station"], work["details"]["held_temperature_unit"]) == ("stress_relief", "F")
    # With whom the shop works is no customer's business.
    assert done(north.get(path))["suppliers"] == []
    assert ledger.verify().faults == ()


def test_a_wrong_sending_and_slips_are_taken_back(furnace: Housing, phone: Caller, desk: Caller) -> None:
    path = f"/housings/{furnace.serial}"
    done(phone.post(f"{path}/send-to-supplier", {"station": "stress_relief", "supplier": "Kiln"}), 201)
    done(phone.post(f"{path}/recall-from-supplier", {"why": "Still here."}))
    assert done(phone.get(path))["suppliers"][0]["taken_back_why"] == "Still here."
    refused(phone.post(f"{path}/undo-arrival", {"station": "stress_relief"}), 409, "visit_not_empty")


def test_arrival_and_leaving_are_taken_back(floor: Floor, phone: Caller) -> None:
    (housing,) = floor.order()
    path = f"/housings/{housing.serial}"
    done(phone.post(f"{path}/arrive", {"station": "jig"}))
    assert done(phone.post(f"{path}/undo-arrival", {"station": "jig"}))["station"] == "jig"
    assert done(phone.get(path))["state"] == "released"
    done(phone.post(f"{path}/arrive", {"station": "jig"}))
    floor.measure_due(housing, "jig")
    done(phone.post(f"{path}/leave", {"station": "jig"}))
    done(phone.post(f"{path}/undo-leaving", {"station": "jig"}))
    assert done(phone.get(path))["station"] == "jig"


def test_the_qc_lead_changes_the_way_and_a_worker_does_not(floor: Floor, desk: Caller, phone: Caller) -> None:
    housing = floor.housing(until="jig")
    path = f"/housings/{housing.serial}"
    body = {"station": "straighten", "why": "Bent.", "before": 4}
    refused(phone.post(f"{path}/add-visit", body), 403, "not_allowed")
    visits = done(desk.post(f"{path}/add-visit", body), 201)["visits"]
    assert [visit["station"] for visit in visits] == ["straighten"]
    done(desk.post(f"{path}/drop-visit", {"visit": visits[0]["visit"], "why": "Straight after all."}))
    kinds = {v["station"]: (v["kind"], v["state"]) for v in done(desk.get(path))["visits"]}
    assert kinds["straighten"] == ("extra", "dropped")


@pytest.mark.parametrize(
    ("end", "body", "status", "code"),
    [
        ("send-to-supplier", {"station": "stress_relief"}, 422, "field_missing"),
        (
            "send-to-supplier",
            {"station": "stress_relief", "supplier": "x", "expected_on": "soon"},
            422,
            "field_wrong",
        ),
        ("send-to-supplier", {"station": "jig", "supplier": "x"}, 409, "not_here"),
        ("back-from-supplier", {"condition": "x"}, 409, "not_away"),
        ("back-from-supplier", {"condition": "x", "color": "red"}, 422, "field_unknown"),
        ("conformity", {"stay": 1, "conformity": "x"}, 422, "document_not_filed"),
        ("recall-from-supplier", {"why": "x"}, 409, "not_away"),
        ("undo-leaving", {"station": "jig"}, 409, "not_left_last"),
        ("work-done", {"station": "stress_relief", "details": {"force": "1"}}, 422, "detail_wrong"),
        ("work-done", {"station": "stress_relief", "details": []}, 422, "field_wrong"),
        ("add-visit", {"station": "straighten", "why": ""}, 422, "reason_needed"),
        ("drop-visit", {"visit": 0, "why": "x"}, 422, "field_wrong"),
    ],
)
def test_it_says_what_is_wrong_and_does_nothing(
    furnace: Housing,
    desk: Caller,
    nothing_changes: Any,
    end: str,
    body: dict[str, Any],
    status: int,
    code: str,
) -> None:
    with nothing_changes():
        refused(desk.post(f"/housings/{furnace.serial}/{end}", body), status, code)
