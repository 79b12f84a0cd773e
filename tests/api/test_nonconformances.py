"""What was found wrong, and deciding about it, over the API."""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Housing
from tests.api.caller import Caller, done, pointers, refused, unlike
from tests.factories import Floor

PDF = b"%PDF-1.7\n% an invented concession\n"


@pytest.fixture
def engineer(floor: Floor) -> Caller:
    """A program of the engineer, whose credential is on file."""
    return Caller(floor.api_key("floor", stamp="E1")[0])


@pytest.fixture
def cracked(floor: Floor, phone: Caller) -> Housing:
    """A housing in which somebody saw a crack: nonconformance 1."""
    housing = floor.housing(until="tack")
    body = {"what": "crack beside the tack at rib 2", "defect": "crack", "hold": True}
    done(phone.post(f"/housings/{housing.serial}/nonconformances", body), 201)
    return housing


def path_of(housing: Housing, number: int = 1) -> str:
    return f"/housings/{housing.serial}/nonconformances/{number}/disposition"


def test_what_somebody_saw_is_kept_and_holds(phone: Caller, cracked: Housing) -> None:
    (found,) = done(phone.get(f"/housings/{cracked.serial}/nonconformances"))["nonconformances"]
    assert (found["number"], found["defect"], found["severity"]) == (1, "crack", "major")
    assert (found["is_open"], found["disposition"], found["raised_by"]) == (True, None, "W1")
    shown = done(phone.get(f"/housings/{cracked.serial}"))
    assert shown["open_nonconformances"] == [1]
    assert {"held", "nonconformance_open"} <= {r["code"] for r in shown["in_the_way"]["leave"]}


def test_rework_puts_visits_in_between(floor: Floor, phone: Caller, desk: Caller) -> None:
    housing = floor.housing(until="tack")
    done(phone.post(f"/housings/{housing.serial}/nonconformances", {"what": "rib 2 sits askew"}), 201)
    body = {"decision": "rework", "reason": "cut free, set anew", "stations": ["jig", "tack"]}
    assert done(desk.post(path_of(housing), body))["inserted"][:2] == ["jig", "tack"]
    visits = done(phone.get(f"/housings/{housing.serial}"))["visits"]
    put_in = [visit for visit in visits if visit["kind"] == "rework"]
    assert [visit["station"] for visit in put_in] == ["jig", "tack"]
    assert "nonconformance 1" in put_in[0]["why"]
    assert sorted(visit["number"] for visit in visits) == list(range(1, len(visits) + 1))


def test_a_crack_is_never_used_as_is_on_the_word_of_the_qc_lead(
    desk: Caller, cracked: Housing, nothing_changes: Any
) -> None:
    with nothing_changes():
        refused(
            desk.post(path_of(cracked), {"decision": "use_as_is", "reason": "small"}),
            409,
            "needs_engineer",
            "needs_concession",
        )


def test_the_engineer_accepts_with_the_filed_concession(
    floor: Floor, engineer: Caller, cracked: Housing, nothing_changes: Any
) -> None:
    body = {"decision": "use_as_is", "reason": "ground out, dye test clean"}
    with nothing_changes():
        refused(engineer.post(path_of(cracked), body), 409, "needs_concession")
        made_up = {**body, "concession": "a" * 64}
        problem = refused(engineer.post(path_of(cracked), made_up), 422, "concession_not_filed")
        assert pointers(problem) == {"/concession"}
        refused(engineer.post(path_of(cracked), {**body, "concession": "../x"}), 422, "concession_not_filed")
    filed = done(engineer.post("/files", raw=PDF, content_type="application/pdf"), 201)["sha256"]
    done(engineer.post(path_of(cracked), {**body, "concession": filed}))
    (found,) = done(engineer.get(f"/housings/{cracked.serial}/nonconformances"))["nonconformances"]
    assert found["is_open"] is False
    assert found["disposition"]["concession"] == filed
    assert found["disposition"]["by"] == "E1"
    again = {"decision": "scrap", "reason": "after all"}
    refused(engineer.post(path_of(cracked), again), 409, "decided_already")


def test_an_entry_error_needs_the_reading_that_replaces(
    floor: Floor, phone: Caller, desk: Caller, nothing_changes: Any
) -> None:
    housing = floor.housing(until="face_and_drill")
    floor.work(housing, "face_and_drill")
    asked = floor.characteristic(housing, "pilot_bore")
    wrong = floor.reading(housing, asked, "face_and_drill", raw={"value": "1"})
    made = done(phone.post(f"/housings/{housing.serial}/readings", {"readings": [wrong]}), 201)["readings"][0]
    body = {"decision": "entry_error", "reason": "slipped a digit"}
    with nothing_changes():
        for replaced_by in (None, made["id"], "00000000-0000-4000-8000-000000000000"):
            problem = refused(
                desk.post(path_of(housing), {**body, "replaced_by": replaced_by}), 409, "not_replaced"
            )
            assert pointers(problem) == {"/replaced_by"}
    right = floor.reading(housing, asked, "face_and_drill", replaces=made["id"], reason="slipped a digit")
    new = done(phone.post(f"/housings/{housing.serial}/readings", {"readings": [right]}), 201)["readings"][0]
    done(desk.post(path_of(housing), {**body, "replaced_by": new["id"]}))


def test_it_names_what_is_wrong(floor: Floor, desk: Caller, cracked: Housing, nothing_changes: Any) -> None:
    raising: list[tuple[dict[str, Any], str]] = [
        ({}, "/what"),
        ({"what": "  "}, "/what"),
        ({"what": 5}, "/what"),
        ({"what": "w" * 2001}, "/what"),
        ({"what": "x", "defect": "bad luck"}, "/defect"),
        ({"what": "x", "hold": "yes"}, "/hold"),
        ({"what": "x", "characteristic": "nothing"}, "/characteristic"),
        ({"what": "x", "severity": "minor"}, "/severity"),
    ]
    deciding: list[tuple[dict[str, Any], str]] = [
        ({"reason": "x"}, "/decision"),
        ({"decision": "ignore", "reason": "x"}, "/decision"),
        ({"decision": "scrap", "reason": " "}, "/reason"),
        ({"decision": "rework", "reason": "x"}, "/stations"),
        ({"decision": "rework", "reason": "x", "stations": "jig"}, "/stations"),
        ({"decision": "rework", "reason": "x", "stations": ["jig", "paint"]}, "/stations/1"),
        ({"decision": "rework", "reason": "x", "stations": [1]}, "/stations/0"),
        ({"decision": "rework", "reason": "x", "stations": ["jig"] * 31}, "/stations"),
        ({"decision": "entry_error", "reason": "x", "replaced_by": "it"}, "/replaced_by"),
        ({"decision": "scrap", "reason": "x", "concession": "c" * 65}, "/concession"),
    ]
    with nothing_changes():
        raise_path = f"/housings/{cracked.serial}/nonconformances"
        assert unlike((body, desk.post(raise_path, body), pointer) for body, pointer in raising) == []
        sent = ((body, desk.post(path_of(cracked), body), pointer) for body, pointer in deciding)
        assert unlike(sent) == []
        body = {"decision": "scrap", "reason": "x"}
        refused(desk.post(path_of(cracked, 9), body), 404, "not_found")
        refused(desk.post(path_of(cracked, 10**30), body), 404, "not_found")
