"""Recording readings over the API."""

from __future__ import annotations

import uuid
from typing import Any

import pytest

from housings.models import Housing
from inspections.models import Nonconformance, Reading
from tests.api.caller import Caller, done, pointers, refused, unlike
from tests.factories import GAUGE, OVERDUE, Floor


@pytest.fixture
def at_facing(floor: Floor) -> Housing:
    """A housing at facing, its work done."""
    housing = floor.housing(until="face_and_drill")
    floor.work(housing, "face_and_drill")
    housing.refresh_from_db()
    return housing


def a_size(floor: Floor, housing: Housing, **changes: Any) -> dict[str, Any]:
    """A passing reading of the pilot bore."""
    return floor.reading(housing, floor.characteristic(housing, "pilot_bore"), "face_and_drill", **changes)


def path_of(housing: Housing) -> str:
    return f"/housings/{housing.serial}/readings"


def test_it_records_what_is_due_and_says_the_verdicts(
    floor: Floor, phone: Caller, at_facing: Housing
) -> None:
    due = [standing.characteristic for standing in floor.measured(at_facing).due_at("face_and_drill")]
    readings = [floor.reading(at_facing, asked, "face_and_drill") for asked in due]
    answer = done(phone.post(path_of(at_facing), {"readings": readings}), 201)
    assert [entry["characteristic"] for entry in answer["readings"]] == [asked.code for asked in due]
    assert {entry["verdict"] for entry in answer["readings"]} == {"pass"}
    shown = done(phone.get(f"/housings/{at_facing.serial}"))
    assert {entry["stands"] for entry in shown["due"]} == {"pass"}
    assert shown["in_the_way"]["leave"] == []


def test_a_failing_reading_opens_a_nonconformance(floor: Floor, phone: Caller, at_facing: Housing) -> None:
    reading = a_size(floor, at_facing, raw={"value": "1"})
    answer = done(phone.post(path_of(at_facing), {"readings": [reading]}), 201)
    assert (answer["readings"][0]["verdict"], answer["readings"][0]["nonconformance"]) == ("fail", 1)
    (found,) = done(phone.get(f"/housings/{at_facing.serial}/nonconformances"))["nonconformances"]
    assert (found["number"], found["characteristic"], found["is_open"]) == (1, "pilot_bore", True)
    assert found["reading"] == answer["readings"][0]["id"]
    said = done(phone.get(f"/housings/{at_facing.serial}"))["in_the_way"]["leave"]
    assert "fails" in {reason["code"] for reason in said}


def test_it_keeps_what_was_typed(floor: Floor, phone: Caller, at_facing: Housing) -> None:
    asked = floor.characteristic(at_facing, "pilot_bore")
    due = asked.due_at("face_and_drill")
    assert due is not None and due.lower is not None
    typed = f"{due.lower}00"
    # Written by hand: the number has to arrive as its digits, not as another program's idea of them.
    body = (
        f'{{"readings": [{{"characteristic": "pilot_bore", "raw": {{"value": {typed}}}, "gauge": "{GAUGE}",'
        f' "seen_position": {at_facing.record_position}, "temperature": {{"value": 68, "unit": "F"}}}}]}}'
    )
    done(phone.post(path_of(at_facing), raw=body.encode()), 201)
    shown = done(phone.get(path_of(at_facing)))["readings"][0]
    assert shown["raw"] == {"value": typed}
    assert shown["temperature"] == {"value": "68", "unit": "F"}
    assert (shown["gauge"], shown["lower"], shown["upper"]) == (GAUGE, due.lower, due.upper)
    assert "pk" not in shown and isinstance(shown["id"], str)


def test_a_request_sent_twice_is_one_reading(floor: Floor, phone: Caller, at_facing: Housing) -> None:
    body = {"readings": [a_size(floor, at_facing)]}
    first = phone.post(path_of(at_facing), body, name="send-1")
    again = phone.post(path_of(at_facing), body, name="send-1")
    assert (first.status_code, first.content) == (again.status_code, again.content)
    assert Reading.objects.filter(visit__station="face_and_drill").count() == 1


def test_a_reading_sent_again_under_another_key_is_refused(
    floor: Floor, phone: Caller, at_facing: Housing, nothing_changes: Any
) -> None:
    reading = a_size(floor, at_facing, id=str(uuid.uuid4()))
    done(phone.post(path_of(at_facing), {"readings": [reading]}), 201)
    with nothing_changes():
        refused(phone.post(path_of(at_facing), {"readings": [reading]}), 422, "reading_known")
        fresh = a_size(floor, at_facing, id=str(uuid.uuid4()))
        twice = {"readings": [fresh, fresh]}
        refused(phone.post(path_of(at_facing), twice), 422, "reading_known")


def test_it_records_all_or_none(
    floor: Floor, phone: Caller, at_facing: Housing, nothing_changes: Any
) -> None:
    good = a_size(floor, at_facing)
    readings = [good, {**good, "characteristic": "nothing"}, {**good, "gauge": OVERDUE}]
    with nothing_changes():
        problem = refused(
            phone.post(path_of(at_facing), {"readings": readings}), 404, "not_found", "gauge_overdue"
        )
    assert pointers(problem) == {"/readings/1/characteristic", "/readings/2/gauge"}


def test_it_asks_when_the_work_was_done_after_the_device_looked(
    floor: Floor, phone: Caller, nothing_changes: Any
) -> None:
    """A reading made before the work and sent after it."""
    housing = floor.housing(until="face_and_drill")
    reading = a_size(floor, housing)
    floor.work(housing, "face_and_drill")
    with nothing_changes():
        problem = refused(phone.post(path_of(housing), {"readings": [reading]}), 409, "moved_meanwhile")
    assert pointers(problem) == {"/readings/0/measured"}
    before = {"readings": [{**reading, "measured": "before"}]}
    done(phone.post(path_of(housing), before), 201)
    shown = done(phone.get(f"/housings/{housing.serial}"))["due"]
    assert {"pilot_bore": "moved_since"}.items() <= {e["code"]: e["stands"] for e in shown}.items()
    done(phone.post(path_of(housing), {"readings": [{**reading, "measured": "after"}]}), 201)
    shown = done(phone.get(f"/housings/{housing.serial}"))["due"]
    assert {"pilot_bore": "pass"}.items() <= {e["code"]: e["stands"] for e in shown}.items()


def test_a_correction_replaces_and_says_why(floor: Floor, phone: Caller, at_facing: Housing) -> None:
    answer = done(
        phone.post(path_of(at_facing), {"readings": [a_size(floor, at_facing, raw={"value": "1"})]}), 201
    )
    wrong = answer["readings"][0]["id"]
    without_reason = a_size(floor, at_facing, replaces=wrong)
    problem = refused(
        phone.post(path_of(at_facing), {"readings": [without_reason]}), 422, "reason_for_correction"
    )
    assert pointers(problem) == {"/readings/0/reason"}
    right = a_size(floor, at_facing, replaces=wrong, reason="slipped a digit")
    made = done(phone.post(path_of(at_facing), {"readings": [right]}), 201)["readings"][0]
    again = a_size(floor, at_facing, replaces=wrong, reason="once more")
    refused(phone.post(path_of(at_facing), {"readings": [again]}), 409, "replaced_already")
    shown = done(phone.get(path_of(at_facing)))["readings"][0]
    assert (shown["id"], shown["replaces"], shown["reason"]) == (made["id"], wrong, "slipped a digit")
    assert Nonconformance.objects.get().is_open, "a correction alone closes nothing"


WRONG: list[tuple[dict[str, Any], str]] = [
    ({"raw": None}, "raw"),
    ({"raw": []}, "raw"),
    ({"raw": {}}, "raw"),
    ({"raw": {"value": "0,1"}}, "raw"),
    ({"raw": {"value": "nan"}}, "raw"),
    ({"raw": {"value": "1e400"}}, "raw"),
    ({"raw": {"value": True}}, "raw"),
    ({"raw": {"value": None}}, "raw"),
    ({"raw": {"value": {"a": 1}}}, "raw"),
    ({"raw": {"value": "9" * 5000}}, "raw"),
    ({"raw": {"value": "1", "unit": "furlong"}}, "raw"),
    ({"raw": {"value": "1", "unit": []}}, "raw"),
    ({"raw": {"value": "1", "unit": ""}}, "raw"),
    ({"raw": {"value": "1", "note": "x"}}, "raw"),
    ({"raw": {"n" * 100: "1"}}, "raw"),
    ({"seen_position": None}, "seen_position"),
    ({"seen_position": "3"}, "seen_position"),
    ({"seen_position": -1}, "seen_position"),
    ({"seen_position": 10**12}, "seen_position"),
    ({"seen_position": 2**31 - 1}, "seen_position"),
    ({"id": "not-a-uuid"}, "id"),
    ({"id": "0" * 32}, "id"),
    ({"id": 5}, "id"),
    ({"replaces": str(uuid.UUID(int=1)), "reason": "y"}, "replaces"),
    ({"replaces": "all"}, "replaces"),
    ({"visit": 0}, "visit"),
    ({"visit": 99}, "visit"),
    ({"visit": "1"}, "visit"),
    ({"gauge": "G-none"}, "gauge"),
    ({"gauge": "g" * 300}, "gauge"),
    ({"gauge": None}, "gauge"),
    ({"gauge": OVERDUE}, "gauge"),
    ({"temperature": "68"}, "temperature"),
    ({"temperature": {"value": "68"}}, "temperature/unit"),
    ({"temperature": {"value": "68", "unit": "K"}}, "temperature/unit"),
    ({"temperature": {"value": "9000", "unit": "F"}}, "temperature"),
    ({"temperature": {"value": "warm", "unit": "F"}}, "temperature/value"),
    ({"temperature": {"value": "٦٨", "unit": "F"}}, "temperature/value"),
    ({"done_at": "2026-05-04 11:00"}, "done_at"),
    ({"measured": "later"}, "measured"),
    ({"characteristic": "c" * 300}, "characteristic"),
    ({"characteristic": 3}, "characteristic"),
    ({"verdict": "pass"}, "verdict"),
]


def test_it_names_what_is_wrong_in_a_reading(
    floor: Floor, phone: Caller, at_facing: Housing, nothing_changes: Any
) -> None:
    right = a_size(floor, at_facing)
    with nothing_changes():
        sent = (
            (
                changes,
                phone.post(path_of(at_facing), {"readings": [{**right, **changes}]}),
                f"/readings/0/{pointer}",
            )
            for changes, pointer in WRONG
        )
        assert unlike(sent) == []


def test_it_refuses_what_is_no_list_of_readings(
    floor: Floor, phone: Caller, at_facing: Housing, nothing_changes: Any
) -> None:
    with nothing_changes():
        for readings in ([], None, {}, "all", [1], [[]], [None], [{}] * 201):
            refused(phone.post(path_of(at_facing), {"readings": readings}), 422)


def test_nothing_is_measured_where_a_housing_is_not(
    floor: Floor, phone: Caller, nothing_changes: Any
) -> None:
    (housing,) = floor.order()
    reading = a_size(floor, housing)
    with nothing_changes():
        refused(phone.post(path_of(housing), {"readings": [reading]}), 409, "nowhere")
    floor.walk(housing, "jig")
    with nothing_changes():
        reading = a_size(floor, housing)
        problem = refused(phone.post(path_of(housing), {"readings": [reading]}), 422, "not_due_here")
    assert pointers(problem) == {"/readings/0/characteristic"}
