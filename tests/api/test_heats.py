"""Steel, filler and gas over the API: received, cut, put into parts, recalled, traced."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any

import pytest

from housings.models import Heat, Housing, MaterialUse
from inspections.models import Certificate
from shopqc import ledger
from tests.api.caller import Caller, done, pointers, refused
from tests.factories import Floor
from tests.housings.steel import COMPOSITION, made_with_steel, usual_heats

Unchanged = Callable[[], AbstractContextManager[None]]
TUBE = {"number": "T-9", "kind": "steel", "grade": "4130", "condition": "normalised", "form": "tube"}
WHY = {"why": "The mill sent another grade."}


def test_a_heat_is_received_once(phone: Caller) -> None:
    body = {**TUBE, "composition": {**COMPOSITION, "Mn": 0.52}, "certificate_type": "3.1"}
    response = phone.post("/heats", body, name="one")
    assert done(response, 201) == {"heat": "T-9"}
    assert phone.post("/heats", body, name="one").content == response.content
    shown = done(phone.get(response["Location"]))
    assert shown["composition"] == COMPOSITION and shown["recalled"] is None
    # By hand from the formulas: 0.31 + 0.52/6 + (0.96 + 0.19)/5; 0.31 + (0.52 + 0.19)/10 + 0.96/20.
    assert shown["carbon_equivalents"] == {"IIW": "0.63", "CET": "0.43", "Pcm": "0.40"}
    refused(phone.post("/heats", body), 422, "heat_exists")
    assert done(phone.get("/heats/t-9"))["number"] == "T-9"


def test_the_list_comes_in_pages_by_kind_and_by_recall(floor: Floor, phone: Caller, desk: Caller) -> None:
    for number in range(4):
        done(phone.post("/heats", {**TUBE, "number": f"T-{number}"}), 201)
    done(phone.post("/heats", {"number": "G-1", "kind": "gas", "grade": "I1"}), 201)
    first = done(phone.get("/heats?limit=3&kind=steel"))
    assert [one["number"] for one in first["heats"]] == ["T-3", "T-2", "T-1"]
    second = done(phone.get(first["next"]))
    assert [one["number"] for one in second["heats"]] == ["T-0"] and second["next"] is None
    done(desk.post("/heats/T-1/recall", WHY))
    assert [one["number"] for one in done(phone.get("/heats?recalled=true"))["heats"]] == ["T-1"]
    refused(phone.get("/heats?kind=wood"), 422, "parameter_wrong")
    refused(phone.get("/heats?recalled=1"), 422, "parameter_wrong")
    refused(phone.get("/heats?colour=red"), 422, "parameter_unknown")


@pytest.fixture
def housing(floor: Floor) -> Housing:
    usual_heats(floor)
    return floor.housing(until="jig")


def test_the_steel_of_parts_is_recorded_and_corrected(phone: Caller, housing: Housing) -> None:
    path = f"/housings/{housing.serial}/materials"
    piece = {"code": "T-4130-1", "what": "Left tube", "number_copied": True}
    assert done(phone.post("/heats/T-4130/pieces", piece), 201)["piece"] == "T-4130-1"
    lines = [{"part": "tube_left", "piece": "t-4130-1"}, {"part": "tube_right", "heat": "t-4130"}]
    recorded = done(phone.post(path, {"materials": lines}), 201)["materials"]
    assert [(one["part"], one["heat"], one["piece"]) for one in recorded] == [
        ("tube_left", "T-4130", "T-4130-1"),
        ("tube_right", "T-4130", None),
    ]
    again = {"part": "tube_left", "heat": "T-4130"}
    refused(phone.post(path, {"materials": [again]}), 409, "material_known")
    corrected = {**again, "replaces": recorded[0]["id"], "why": "Another length."}
    done(phone.post(path, {"materials": [corrected]}), 201)
    parts = {one["part"]: one for one in done(phone.get(path))["parts"]}
    assert parts["tube_left"]["asked"] == {"grade": "4130", "condition": "normalised", "form": "tube"}
    assert parts["tube_left"]["recorded"]["piece"] is None
    assert parts["tube_left"]["recorded"]["heat"]["number"] == "T-4130"
    assert parts["ribs"]["recorded"] is None
    assert [one["code"] for one in done(phone.get("/heats/T-4130/pieces"))["pieces"]] == ["T-4130-1"]
    assert ledger.verify().faults == ()


@pytest.mark.parametrize(
    ("path", "body", "status", "code", "pointer"),
    [
        ("/heats", {"kind": "steel", "grade": "4130"}, 422, "field_missing", "/number"),
        ("/heats", {**TUBE, "number": "a/b"}, 422, "heat_number_wrong", "/number"),
        ("/heats", {**TUBE, "kind": "wood"}, 422, "field_wrong", "/kind"),
        ("/heats", {**TUBE, "form": "coil"}, 422, "field_wrong", "/form"),
        ("/heats", {**TUBE, "composition": {"C": 101}}, 422, "composition_wrong", "/composition"),
        ("/heats", {**TUBE, "composition": {"C": -1}}, 422, "composition_wrong", "/composition"),
        ("/heats", {**TUBE, "composition": {"C": True}}, 422, "composition_wrong", "/composition"),
        ("/heats", {**TUBE, "composition": {"C": {"x": 1}}}, 422, "composition_wrong", "/composition"),
        (
            "/heats",
            {**TUBE, "composition": {"C": "60", "Fe": "60"}},
            422,
            "composition_wrong",
            "/composition",
        ),
        ("/heats", {**TUBE, "composition": {"Carbon": "0.3"}}, 422, "composition_wrong", "/composition"),
        ("/heats", {**TUBE, "composition": [1]}, 422, "field_wrong", "/composition"),
        ("/heats", {**TUBE, "certificate": "abc"}, 422, "document_not_filed", "/certificate"),
        ("/heats", {**TUBE, "certificate_type": "3.0"}, 422, "field_wrong", "/certificate_type"),
        ("/heats", {**TUBE, "owner": "me"}, 422, "field_unknown", "/owner"),
        ("/heats/T-4130/pieces", {"code": "P", "what": "x"}, 422, "field_missing", "/number_copied"),
        (
            "/heats/T-4130/pieces",
            {"code": "P", "what": "x", "number_copied": False},
            422,
            "number_not_copied",
            "/number_copied",
        ),
        ("/heats/T-4130/recall", {"why": " "}, 422, "reason_needed", "/why"),
        ("/heats/T-4130/recall", {"why": "x", "hold": "yes"}, 422, "field_wrong", "/hold"),
        ("/heats/T-4130/change", {"changes": {"number": "X"}}, 422, "field_unknown", "/changes/number"),
        ("{}/materials", {"materials": []}, 422, "materials_number", "/materials"),
        ("{}/materials", {"materials": [{}]}, 422, "field_missing", "/materials/0/part"),
        (
            "{}/materials",
            {"materials": [{"part": "wing", "heat": "T-4130"}]},
            422,
            "part_unknown",
            "/materials/0/part",
        ),
        ("{}/materials", {"materials": [{"part": "tube_left"}]}, 422, "heat_or_piece", "/materials/0/heat"),
        (
            "{}/materials",
            {"materials": [{"part": "tube_left", "heat": "NO"}]},
            404,
            "not_found",
            "/materials/0/heat",
        ),
        (
            "{}/materials",
            {"materials": [{"part": "tube_left", "heat": "P-4130"}]},
            409,
            "heat_other_form",
            "/materials/0/heat",
        ),
    ],
)
def test_what_is_wrong_is_said_beside_its_field(
    desk: Caller,
    housing: Housing,
    nothing_changes: Unchanged,
    path: str,
    body: dict[str, Any],
    status: int,
    code: str,
    pointer: str,
) -> None:
    with nothing_changes():
        problem = refused(desk.post(path.format(f"/housings/{housing.serial}"), body), status, code)
    assert pointer in pointers(problem)


def test_a_recall_answers_what_it_found(floor: Floor, desk: Caller, phone: Caller) -> None:
    usual_heats(floor)
    here = made_with_steel(floor, "jig")
    signed = made_with_steel(floor, "signed", customer="basin")
    number = Certificate.objects.get(housing=signed).number
    refused(phone.post("/heats/T-4130/recall", WHY), 403, "not_allowed")
    answer = done(desk.post("/heats/t-4130/recall", WHY, name="recall"))
    assert answer["housings"] == sorted([here.serial, signed.serial])
    assert (answer["held"], answer["questioned"]) == ([here.serial], [number])
    assert done(desk.post("/heats/t-4130/recall", WHY, name="recall")) == answer
    refused(desk.post("/heats/T-4130/recall", WHY), 409, "recalled_already")
    traced = done(desk.get("/heats/T-4130/housings"))
    assert traced["recalled"] is True
    rows = {one["serial"]: one for one in traced["housings"]}
    assert rows[here.serial]["held"] and rows[here.serial]["station"] == "jig"
    assert [place["code"] for place in rows[here.serial]["places"]] == ["tube_left", "tube_right"]
    assert rows[signed.serial]["certificates"] == [{"number": number, "status": "questioned"}]
    assert done(desk.post("/heats/T-4130/clear", WHY))["still_held"] == [here.serial]
    refused(desk.post("/heats/T-4130/clear", WHY), 409, "not_recalled")


def test_a_customer_sees_the_steel_of_its_own_housings_and_no_heat(
    floor: Floor, north: Caller, basin: Caller
) -> None:
    usual_heats(floor)
    mine = made_with_steel(floor, "jig", customer="north")
    other = made_with_steel(floor, "jig", customer="basin")
    shown = done(north.get(f"/housings/{mine.serial}/materials"))
    assert shown["parts"][0]["recorded"]["heat"] == {
        "number": "T-4130",
        "kind": "steel",
        "grade": "4130",
        "condition": "normalised",
        "certificate_type": None,
        "recalled": False,
    }
    refused(north.get(f"/housings/{other.serial}/materials"), 404, "not_found")
    assert [one["serial"] for one in done(north.get("/heats/T-4130/housings"))["housings"]] == [mine.serial]
    refused(north.get("/heats/B-4140/housings"), 404, "not_found")
    refused(north.get("/heats/NONE/housings"), 404, "not_found")
    refused(north.get("/heats"), 403, "key_without_scope")
    assert done(basin.get("/heats"))["heats"] == []
    refused(basin.get("/heats/T-4130"), 404, "not_found")
    refused(basin.post("/heats", TUBE), 403, "not_allowed")


def test_a_heat_that_is_none_is_not_found(floor: Floor, desk: Caller) -> None:
    for path in ("/heats/NONE", "/heats/NONE/pieces", "/heats/NONE/housings", f"/heats/{'x' * 300}"):
        refused(desk.get(path), 404, "not_found")
    piece = {"code": "P", "what": "x", "number_copied": True}
    bodies = {"recall": WHY, "clear": WHY, "pieces": piece, "change": {"changes": {"size": "1 in"}}}
    for name, body in bodies.items():
        refused(desk.post(f"/heats/NONE/{name}", body), 404, "not_found")
    assert not Heat.objects.exists() and not MaterialUse.objects.exists()


def test_a_change_needs_the_qc_lead(phone: Caller, desk: Caller, housing: Housing) -> None:
    change = {"changes": {"supplier": "Lowland Tube", "form": ""}, "seen_position": 1}
    refused(phone.post("/heats/T-4130/change", change), 403, "not_allowed")
    assert done(desk.post("/heats/T-4130/change", change))["changed"] == ["form", "supplier"]
    refused(desk.post("/heats/T-4130/change", change), 409, "changed_meanwhile")
