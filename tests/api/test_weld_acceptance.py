"""Looking at welds, testing and repairing them, over the API."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.models import Housing
from shopqc import ledger
from tests.api.caller import Caller, done, refused, unlike
from tests.api.test_fuzz import VALUES, changed, is_an_answer, often, paths
from tests.factories import Floor
from tests.housings.at_a_joint import use
from tests.inspections.judging import DUG, LEFT, OUTSIDE, PENETRANT, refuse_weld, rework


@pytest.fixture
def bench(floor: Floor) -> Housing:
    """A housing at the snouts, its left snout welded."""
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 3)
    return housing


def door(housing: Housing, step: str, joint: str = LEFT) -> str:
    return f"/housings/{housing.serial}/joints/{joint}/{step}"


FINAL: dict[str, Any] = {"stage": "final", "accepted": True}
TEST: dict[str, Any] = {"method": "PT", "accepted": True, "how": PENETRANT, **OUTSIDE}


def test_a_look_is_recorded_once(phone: Caller, bench: Housing) -> None:
    first = done(phone.post(door(bench, "look"), FINAL, name="look-1"), 201)
    again = done(phone.post(door(bench, "look"), FINAL, name="look-1"), 201)
    assert first == again and first["accepted"] is True
    changed = {**FINAL, "accepted": False, "note": "no"}
    refused(phone.post(door(bench, "look"), changed, name="look-1"), 422, "key_reused")


def test_numbers_stay_as_they_were_typed(phone: Caller, bench: Housing) -> None:
    body = {**FINAL, "findings": [{"number": "602", "size": 0.10, "unit": "mm", "where": "along 2 in"}]}
    (found,) = done(phone.post(door(bench, "look"), body), 201)["findings"]
    assert (found["size"], found["verdict"], found["name"]) == ("0.1", "seen", "spatter")


def test_what_may_not_stay_is_a_problem_with_its_field(
    phone: Caller, bench: Housing, nothing_changes: Any
) -> None:
    crack = {**FINAL, "findings": [{"number": "104"}]}
    with nothing_changes():
        problem = refused(phone.post(door(bench, "look"), crack), 409, "finding_never")
    assert problem["errors"][0]["pointer"] == "/findings/0/number"
    answer = done(phone.post(door(bench, "look"), {**crack, "accepted": False}), 201)
    assert answer["nonconformance"] == 1


def test_a_test_by_somebody_from_outside(phone: Caller, bench: Housing) -> None:
    answer = done(phone.post(door(bench, "test"), TEST), 201)
    assert answer["waited_hours"] == "0.00" and answer["accepted"] is True


def test_the_wait_is_a_conflict(floor: Floor, phone: Caller, bench: Housing, nothing_changes: Any) -> None:
    use(floor, "test_waited")
    with nothing_changes():
        problem = refused(phone.post(door(bench, "test"), TEST), 409, "test_waits")
    assert "48 h" in problem["detail"] and "Left snout" in problem["detail"]


def test_a_repair(floor: Floor, phone: Caller, bench: Housing) -> None:
    refuse_weld(floor, bench)
    body = {"nonconformance": 1, "how": DUG}
    refused(phone.post(door(bench, "repair"), body), 409, "repair_before_decision")
    rework(floor, bench, 1)
    answer = done(phone.post(door(bench, "repair"), body), 201)
    assert (answer["repair"], answer["procedure"]) == (1, "repair-snout-4140 1")
    done(phone.post(door(bench, "look"), {"stage": "cavity", "accepted": True}), 201)


def test_it_answers_whatever_is_sent(floor: Floor, phone: Caller, bench: Housing) -> None:
    refuse_weld(floor, bench)
    rework(floor, bench, 1)
    finding = {"number": "502", "size": "1.5", "width": "8", "length": "20", "throat": "4", "unit": "mm"}
    whole: dict[str, dict[str, Any]] = {
        "look": {**FINAL, "findings": [{**finding, "where": "w"}], "note": "n", "repair": 0, "hold": False},
        "test": {**TEST, "findings": [finding], "note": "n", "level": "C", "document": "a" * 64},
        "repair": {"nonconformance": 1, "how": DUG, "procedure": 1},
    }

    @often
    @given(st.data())
    def try_one(data: st.DataObject) -> None:
        step = data.draw(st.sampled_from(sorted(whole)))
        body: Any = whole[step]
        for _ in range(data.draw(st.integers(1, 2))):
            body = changed(body, data.draw(st.sampled_from(list(paths(body)))), data.draw(VALUES))
        assert is_an_answer(phone.post(door(bench, step), body))

    try_one()
    assert ledger.verify().faults == ()


def test_who_may(floor: Floor, bench: Housing, basin: Caller, nothing_changes: Any) -> None:
    owner = Caller(floor.api_key("floor", stamp="O1")[0])
    readings = Caller(floor.api_key("readings", stamp="W1")[0])
    with nothing_changes():
        for step, body in (
            ("look", FINAL),
            ("test", TEST),
            ("repair", {"nonconformance": 1, "how": DUG}),
        ):
            refused(owner.post(door(bench, step), body), 403, "not_allowed")
            refused(readings.post(door(bench, step), body), 403, "key_without_scope")
            refused(basin.post(door(bench, step), body), 403)
            refused(Caller(None).post(door(bench, step), body), 401, "not_signed_in")


def test_bad_bodies_are_refused_by_field(phone: Caller, bench: Housing, nothing_changes: Any) -> None:
    looks: list[tuple[dict[str, Any], str]] = [
        ({}, "/stage"),
        ({**FINAL, "stage": "glance"}, "/stage"),
        ({**FINAL, "accepted": "yes"}, "/accepted"),
        ({**FINAL, "findings": {}}, "/findings"),
        ({**FINAL, "findings": [{"number": 104}]}, "/findings/0/number"),
        ({**FINAL, "findings": [{"number": "9999"}]}, "/findings/0/number"),
        ({**FINAL, "findings": [{"number": "602", "size": "big"}]}, "/findings/0/size"),
        ({**FINAL, "findings": [{"number": "602", "size": "-2"}]}, "/findings/0/size"),
        ({**FINAL, "findings": [{"number": "602", "unit": "ft"}]}, "/findings/0/unit"),
        ({**FINAL, "findings": [{"number": "602", "where": "x" * 81}]}, "/findings/0/where"),
        ({**FINAL, "findings": [{"number": "602", "color": "red"}]}, "/findings/0/color"),
        ({**FINAL, "findings": [{"number": "602"}] * 21}, "/findings"),
        ({**FINAL, "done_at": "yesterday"}, "/done_at"),
        ({**FINAL, "done_at": "2026-05-04T12:00:00+00:00"}, "/done_at"),
        ({**FINAL, "repair": -1}, "/repair"),
        ({**FINAL, "hold": 1}, "/hold"),
        ({**FINAL, "color": "red"}, "/color"),
    ]
    tests: list[tuple[dict[str, Any], str]] = [
        ({}, "/method"),
        ({**TEST, "method": "UT"}, "/method"),
        ({**TEST, "tester": ""}, "/tester"),
        ({**TEST, "tester_level": 2}, "/tester_level"),
        ({**TEST, "how": "well"}, "/how"),
        ({**TEST, "how": {"dwell": {"a": 1}}}, "/how/dwell"),
        ({**TEST, "how": {"light": ["uv"]}}, "/how/light"),
        ({**TEST, "certified_until": "soon"}, "/certified_until"),
        ({**TEST, "document": "x"}, "/document"),
        ({**TEST, "level": "Z"}, "/level"),
    ]
    repairs: list[tuple[dict[str, Any], str]] = [
        ({}, "/nonconformance"),
        ({"nonconformance": 1}, "/how"),
        ({"nonconformance": "1", "how": DUG}, "/nonconformance"),
        ({"nonconformance": 1, "how": {**DUG, "depth": "deep"}}, "/how/depth"),
        ({"nonconformance": 1, "how": {**DUG, "hour": "0"}}, "/how/hour"),
        ({"nonconformance": 1, "how": {**DUG, "method": "biting"}}, "/how/method"),
        ({"nonconformance": 1, "how": DUG, "procedure": 10**12}, "/procedure"),
    ]
    with nothing_changes():
        for step, cases in (("look", looks), ("test", tests), ("repair", repairs)):
            sent = ((body, phone.post(door(bench, step), body), pointer) for body, pointer in cases)
            assert unlike(sent) == [], step
        refused(phone.post(door(bench, "look", "snout_middle"), FINAL), 404, "not_found")
        refused(phone.post(door(bench, "look", "x" * 300), FINAL), 404, "not_found")
