"""Procedures and qualifications over the API."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any

import pytest

from housings.engineering.ready_procedures import READY_PROCEDURES
from shopqc import files, ledger
from shopqc.record_book import lines_of, read
from tests.api.caller import Caller, done, pointers, refused
from tests.factories import Floor
from tests.housings.welding_people import TIG, days_ago, newest, publish

NAME = "snout-4140-250"
BODY: dict[str, Any] = {"name": NAME, "data": dict(READY_PROCEDURES[NAME].data), "note": "Our first."}
QUALIFICATION: dict[str, Any] = {
    "kind": "welding",
    "reference": "W1-T",
    "ranges": dict(TIG),
    "tested_on": days_ago(30),
}
Unchanged = Callable[[], AbstractContextManager[None]]


def test_a_procedure_is_published_once_and_read_back(desk: Caller) -> None:
    paper = files.store(b"%PDF-1.4\n% procedure, invented\n")
    response = desk.post("/procedures", {**BODY, "document": paper}, name="one")
    answer = done(response, 201)
    assert (answer["procedure"], answer["number"]) == (NAME, 1)
    assert desk.post("/procedures", {**BODY, "document": paper}, name="one").content == response.content
    shown = done(desk.get(response["Location"]))
    assert shown["data"] == BODY["data"] and shown["document"] == paper
    refused(desk.post("/procedures", BODY), 409, "procedure_unchanged")
    assert read(lines_of("shop:shop")[0]).sentence == (
        "Published procedure snout-4140-250 1: Snout of 4140 to tube, wall 0.250 in. Its record is filed."
    )
    changed = {**BODY, "data": {**BODY["data"], "preheat_least": 450}}
    assert done(desk.post("/procedures", changed), 201)["number"] == 2
    listed = done(desk.get("/procedures"))["procedures"]
    assert [(one["number"], one["data"]["preheat_least"]) for one in listed] == [(2, "450"), (1, "400")]
    assert ledger.verify().faults == ()


def test_the_list_comes_in_pages_and_by_name(floor: Floor, desk: Caller) -> None:
    publish(floor)
    first = done(desk.get("/procedures?limit=10"))
    second = done(desk.get(first["next"]))
    assert len(first["procedures"]) + len(second["procedures"]) == len(READY_PROCEDURES)
    assert [one["name"] for one in done(desk.get("/procedures?name=armor"))["procedures"]] == ["armor"]
    refused(desk.get("/procedures?colour=red"), 422, "parameter_unknown")
    refused(desk.get("/procedures/999"), 404, "not_found")


@pytest.mark.parametrize(
    ("changes", "code", "pointer"),
    [
        ({"name": ""}, "field_missing", "/name"),
        ({"name": "x" * 41}, "field_wrong", "/name"),
        ({"data": {}}, "procedure_wrong", "/data/title"),
        ({"data": "x"}, "field_wrong", "/data"),
        (
            {"data": {**BODY["data"], "volts": {"least": 13, "most": 12}}},
            "procedure_wrong",
            "/data/volts/least",
        ),
        ({"data": {**BODY["data"], "color": "red"}}, "procedure_wrong", "/data/color"),
        ({"document": "a" * 64}, "document_not_filed", "/document"),
        ({"owner": "me"}, "field_unknown", "/owner"),
    ],
)
def test_what_is_wrong_with_a_procedure_is_said_of_its_field(
    desk: Caller, nothing_changes: Unchanged, changes: dict[str, Any], code: str, pointer: str
) -> None:
    with nothing_changes():
        problem = refused(desk.post("/procedures", {**BODY, **changes}), 422, code)
    assert pointer in pointers(problem)


def test_a_joint_is_given_a_procedure_that_reaches_it(floor: Floor, desk: Caller) -> None:
    publish(floor)
    housing = floor.housing()
    path = f"/housings/{housing.serial}/joints/snout_left/procedure"
    wrong = {"procedure": newest("armor").pk, "why": "w"}
    refused(desk.post(path, wrong), 409, "procedure_does_not_reach")
    present = {"procedure": newest(NAME).pk, "why": "w"}
    refused(desk.post(path, present), 409, "procedure_assigned")
    assert done(desk.post(path, {"procedure": None, "why": "Being written."}))["procedure"] is None
    assert done(desk.post(path, present))["procedure"] == f"{NAME} 1"
    repair = {"procedure": newest("repair-snout-4140").pk, "why": "A pore."}
    assert done(desk.post(path, repair))["procedure"] == "repair-snout-4140 1"
    refused(desk.post(path, present), 409, "procedure_assigned")
    refused(desk.post(path, {"procedure": 999, "why": "w"}), 404, "not_found")
    said = [read(line).sentence for line in lines_of(housing.chain)[:3]]
    assert said[0] == ("Left snout to tube is welded by procedure repair-snout-4140 1 from here on: A pore.")
    assert said[2] == "Left snout to tube is welded by no procedure from here on: Being written."
    refused(desk.post(path, {**present, "why": " "}), 422, "reason_needed")
    nowhere = f"/housings/{housing.serial}/joints/none/procedure"
    refused(desk.post(nowhere, present), 404, "not_found")


def test_an_old_revision_is_not_assigned(floor: Floor, desk: Caller) -> None:
    publish(floor)
    housing = floor.housing()
    old = newest(NAME)
    publish(floor, [NAME], preheat_least="450")
    path = f"/housings/{housing.serial}/joints/snout_right/procedure"
    refused(desk.post(path, {"procedure": old.pk, "why": "w"}), 409, "procedure_old")
    assert done(desk.post(path, {"procedure": newest(NAME).pk, "why": "w"}))["procedure"] == f"{NAME} 2"


def test_a_welder_is_qualified_doubted_and_cleared(desk: Caller) -> None:
    held = done(desk.post("/people/W1/qualifications", QUALIFICATION), 201)["qualification"]
    shown = done(desk.get("/people/W1/qualifications"))
    assert shown["now"] == [{"what": "TIG (141)", "state": "pass", "until": "2026-10-04", "said": ""}]
    assert shown["qualifications"][0]["ranges"] == QUALIFICATION["ranges"]
    use = {"process": "141", "used_on": days_ago(2), "what": "A cage."}
    done(desk.post("/people/W1/uses", use), 201)
    doubt = done(desk.post("/people/W1/doubts", {"why": "Porous."}), 201)["doubt"]
    shown = done(desk.get("/people/W1/qualifications"))
    assert (shown["now"][0]["state"], shown["doubts"][0]["id"]) == ("held", doubt)
    done(desk.post(f"/doubts/{doubt}/answer", {"answer": "Sound."}))
    refused(desk.post(f"/doubts/{doubt}/answer", {"answer": "Sound."}), 409, "doubt_answered")
    assert done(desk.get("/people/W1/qualifications"))["now"][0]["until"] == "2026-11-02"
    done(desk.post(f"/qualifications/{held}/withdraw", {"why": "Wrong person."}))
    shown = done(desk.get("/people/W1/qualifications"))
    assert shown["now"] == [] and shown["qualifications"][0]["withdrawn"] == "Wrong person."
    assert ledger.verify().faults == ()


def test_from_a_welder_to_the_housings_they_welded(floor: Floor, desk: Caller, basin: Caller) -> None:
    publish(floor)
    housing = floor.housing(until="snouts")
    assert done(desk.get("/people/M1/housings"))["housings"] == []
    path = f"/housings/{housing.serial}/joints/snout_left/passes"
    done(desk.post(path, {"number": 1, "welder": "M1"}), 201)
    assert [one["serial"] for one in done(desk.get("/people/M1/housings"))["housings"]] == [housing.serial]
    refused(desk.get("/people/X9/housings"), 404, "not_found")
    refused(basin.get("/people/M1/housings"), 404, "not_found")


@pytest.mark.parametrize(
    ("path", "body", "status", "code"),
    [
        ("/people/X9/qualifications", QUALIFICATION, 404, "not_found"),
        ("/people/W1/qualifications", {**QUALIFICATION, "kind": "sewing"}, 422, "choice_unknown"),
        ("/people/W1/qualifications", {**QUALIFICATION, "tested_on": "soon"}, 422, "day_wrong"),
        ("/people/W1/qualifications", {**QUALIFICATION, "ranges": {}}, 422, "qualification_wrong"),
        ("/people/W1/qualifications", {**QUALIFICATION, "ranges": []}, 422, "field_wrong"),
        ("/people/W1/qualifications", {}, 422, "field_missing"),
        ("/people/W1/uses", {"process": "141", "used_on": "2026-02-30", "what": "w"}, 422, "field_wrong"),
        ("/people/W1/doubts", {"why": " "}, 422, "reason_needed"),
        ("/people/W1/doubts", {"why": "w", "process": "TIG"}, 422, "process_unknown"),
        ("/doubts/99/answer", {"answer": "w"}, 404, "not_found"),
        ("/qualifications/99/withdraw", {"why": "w"}, 404, "not_found"),
    ],
)
def test_bad_input_changes_nothing(
    desk: Caller, nothing_changes: Unchanged, path: str, body: Any, status: int, code: str
) -> None:
    with nothing_changes():
        refused(desk.post(path, body), status, code)


def test_it_is_for_the_qc_lead_and_for_no_customer(floor: Floor, phone: Caller, basin: Caller) -> None:
    refused(phone.post("/procedures", BODY), 403, "not_allowed")
    refused(phone.post("/people/W1/doubts", {"why": "w"}), 403, "not_allowed")
    assert done(phone.get("/procedures"))["procedures"] == []
    publish(floor, [NAME])
    assert len(done(phone.get("/procedures"))["procedures"]) == 1
    assert done(basin.get("/procedures"))["procedures"] == []
    refused(basin.get(f"/procedures/{newest(NAME).pk}"), 404, "not_found")
    refused(basin.get("/people/W1/qualifications"), 404, "not_found")
    office = Caller(floor.api_key("orders")[0])
    refused(office.get("/procedures"), 403, "key_without_scope")
    refused(office.get("/people/W1/qualifications"), 403, "key_without_scope")
