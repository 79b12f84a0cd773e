"""Joints over the API: how they stand, and every step at one of them."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.models import Housing, WeldPass
from shopqc import ledger
from tests.api.caller import Caller, done, pointers, refused
from tests.api.test_fuzz import VALUES, changed, is_an_answer, often, paths
from tests.factories import Floor

FIT_UP = {
    "gap": "0.09",
    "land": "0.06",
    "mismatch": 0.01,
    "bevel": 30,
    "clean": "yes",
    "purged": "yes",
    "preheated": "yes",
}
WARM = {"value": 450, "unit": "F"}


@pytest.fixture
def bench(floor: Floor) -> Housing:
    floor.procedures()
    return floor.housing(until="snouts")


def at(housing: Housing, end: str = "", joint: str = "snout_left") -> str:
    return f"/housings/{housing.serial}/joints" + (f"/{joint}/{end}" if end else "")


def joint(caller: Caller, housing: Housing, code: str = "snout_left") -> dict[str, Any]:
    joints = done(caller.get(at(housing)))["joints"]
    found: dict[str, Any] = next(one for one in joints if one["code"] == code)
    return found


def test_a_joint_from_fit_up_to_its_second_pass(bench: Housing, phone: Caller, desk: Caller) -> None:
    before = joint(phone, bench)
    assert (before["procedure"], before["next_pass"]) == ({"name": "snout-4140-250", "revision": 1}, 1)
    assert (before["passes"], before["arc"], before["temperature_says"]) == ([], None, "not_read")
    assert done(phone.post(at(bench, "fit-up"), {"figures": FIT_UP, "tacked_by": "W1"}), 201)["accepted"]
    set_to = {"volts": 12, "amps": "180", "travel": "3.50", "position": "PH"}
    assert done(phone.post(at(bench, "settings"), {"figures": set_to}), 201)["outside"] == []
    done(phone.post(at(bench, "begin"), {"number": 1, "temperatures": [WARM]}))
    assert joint(phone, bench)["arc"]["welder"] == "W1"
    answer = done(phone.post(at(bench, "passes"), {"number": 1, "stop_at": "3"}), 201)
    assert (answer["passes"], answer["nonconformance"]) == ([1], None)
    crayons = [
        {"value": "400", "unit": "F", "crayon": "above"},
        {"value": "600", "unit": "F", "crayon": "below"},
    ]
    assert done(phone.post(at(bench, "temperatures"), {"temperatures": crayons}), 201)["read"] == 2
    assert joint(phone, bench)["temperature_says"] == "released"
    hot = {"number": 2, "temperatures": [{"value": "640", "unit": "F"}], "note": "Too soon."}
    assert [one["code"] for one in done(phone.post(at(bench, "passes"), hot), 201)["outside"]] == [
        "interpass"
    ]
    after = joint(phone, bench)
    assert [one["number"] for one in after["passes"]] == [1, 2]
    # 60 * 12 * 180 / 3.5 / 1000 kJ/in, over 25.4.
    assert {one["heat_input"] for one in after["passes"]} == {"1.4578"}
    assert (after["passes_done"], after["passes_least"], after["temperatures"]) == (2, 3, [])
    done(desk.post(at(bench, "take-back"), {"number": 2, "why": "The wrong joint."}))
    assert joint(desk, bench)["next_pass"] == 2
    assert ledger.verify().faults == ()


def test_counted_welds_come_in_one_request(bench: Housing, phone: Caller) -> None:
    path = at(bench, "passes", joint="rosettes_left")
    assert done(phone.post(path, {"number": 1, "passes": 4}), 201)["passes"] == [1, 2, 3, 4]
    refused(phone.post(path, {"number": 5}), 409, "weld_complete")


def test_an_arc_begun_by_mistake_is_taken_back(bench: Housing, phone: Caller) -> None:
    done(phone.post(at(bench, "begin"), {"number": 1}))
    done(phone.post(at(bench, "drop-arc"), {}))
    refused(phone.post(at(bench, "drop-arc"), {}), 409, "no_arc")


def test_the_same_request_again_is_the_same_pass(bench: Housing, phone: Caller) -> None:
    first = phone.post(at(bench, "passes"), {"number": 1}, name="tap-1")
    again = phone.post(at(bench, "passes"), {"number": 1}, name="tap-1")
    assert first.content == again.content
    assert WeldPass.objects.count() == 1
    refused(phone.post(at(bench, "passes"), {"number": 1}, name="tap-2"), 409, "pass_known")


def test_a_customer_sees_its_joints_and_not_how_the_machine_was_set(
    bench: Housing, phone: Caller, north: Caller, basin: Caller, office: Caller
) -> None:
    done(phone.post(at(bench, "settings"), {"figures": {"amps": "180"}}), 201)
    assert joint(phone, bench)["settings"]["figures"] == {"amps": "180"}
    assert joint(north, bench)["settings"] is None
    refused(basin.get(at(bench)), 404, "not_found")
    refused(basin.post(at(bench, "passes"), {"number": 1}), 403, "not_allowed")
    refused(office.post(at(bench, "passes"), {"number": 1}), 403, "key_without_scope")
    assert joint(office, bench)["code"] == "snout_left"


def test_a_key_for_no_person_does_not_weld(floor: Floor, bench: Housing) -> None:
    alone = Caller(floor.api_key("floor")[0])
    refused(alone.post(at(bench, "passes"), {"number": 1, "welder": "W1"}), 403, "not_allowed")


@pytest.mark.parametrize(
    ("end", "body", "status", "code"),
    [
        ("passes", {}, 422, "field_missing"),
        ("passes", {"number": 0}, 422, "field_wrong"),
        ("passes", {"number": "1"}, 422, "field_wrong"),
        ("passes", {"number": 2}, 409, "pass_skipped"),
        ("passes", {"number": 1, "passes": 2}, 422, "one_by_one"),
        ("passes", {"number": 1, "stop_at": "13"}, 422, "choice_unknown"),
        ("passes", {"number": 1, "figures": {"amps": 0}}, 422, "weld_figure_wrong"),
        ("passes", {"number": 1, "figures": {"travel": "0"}}, 422, "weld_figure_wrong"),
        ("passes", {"number": 1, "figures": []}, 422, "field_wrong"),
        ("passes", {"number": 1, "filler": "F-NOBODY"}, 404, "not_found"),
        ("passes", {"number": 1, "welder": "ZZ"}, 404, "not_found"),
        ("passes", {"number": 1, "done_at": "2026-05-04T09:31:00Z"}, 422, "weld_in_future"),
        ("passes", {"number": 1, "done_at": "soon"}, 422, "field_wrong"),
        ("passes", {"number": 1, "temperatures": [{"value": "450"}]}, 422, "field_missing"),
        ("passes", {"number": 1, "temperatures": [{"value": "450", "unit": "C"}]}, 409, "unit_asked"),
        ("passes", {"number": 1, "color": "red"}, 422, "field_unknown"),
        ("begin", {"number": 1, "temperatures": [{"value": "x", "unit": "F"}]}, 422, "field_wrong"),
        ("temperatures", {"temperatures": []}, 422, "temperatures_number"),
        ("temperatures", {"temperatures": [{"value": 9000, "unit": "F"}]}, 422, "weld_figure_wrong"),
        ("fit-up", {"figures": {"gap": True}}, 422, "weld_figure_wrong"),
        ("fit-up", {"figures": FIT_UP, "tacked_by": "ZZ"}, 404, "not_found"),
        ("settings", {"figures": {}}, 422, "field_missing"),
        ("settings", {"figures": {"shine": "1"}}, 422, "weld_figure_wrong"),
        ("take-back", {"number": 1, "why": "x"}, 409, "no_pass"),
        ("drop-arc", {"why": "x"}, 422, "field_unknown"),
    ],
)
def test_it_says_what_is_wrong_and_does_nothing(
    bench: Housing,
    phone: Caller,
    nothing_changes: Any,
    end: str,
    body: dict[str, Any],
    status: int,
    code: str,
) -> None:
    with nothing_changes():
        refused(phone.post(at(bench, end), body), status, code)


def test_a_reason_names_its_field(bench: Housing, phone: Caller) -> None:
    body = {"number": 1, "temperatures": [WARM, {"value": "400", "unit": "C"}]}
    problem = refused(phone.post(at(bench, "passes"), body), 409, "unit_asked")
    assert pointers(problem) == {"/temperatures/1/unit"}
    assert done(phone.post(at(bench, "passes"), {**body, "sure": True}), 201)["passes"] == [1]


@pytest.mark.parametrize("code", ["snout_top", "Snout", "..", "snout_left'"])
def test_there_is_no_such_joint(bench: Housing, phone: Caller, code: str) -> None:
    response = phone.post(f"/housings/{bench.serial}/joints/{code}/passes", {"number": 1})
    assert response.status_code == 404


MOMENT = "2026-05-04T09:30:00Z"
READ = {
    "value": "450",
    "unit": "F",
    "crayon": "above",
    "place": "stop",
    "thermometer": "T-1",
    "simulated": True,
    "done_at": MOMENT,
}
BODIES: dict[str, dict[str, Any]] = {
    "fit-up": {"figures": FIT_UP, "tacked_by": "W1", "note": "n", "done_at": MOMENT},
    "settings": {
        "figures": {"volts": "12", "amps": 180, "travel": "3.5", "travel_unit": "in/min", "position": "PH"},
        "filler": "F-1",
        "gas": "G-1",
    },
    "temperatures": {"temperatures": [READ], "sure": True},
    "begin": {"number": 1, "temperatures": [READ], "repair": 0, "welder": "W1", "seen_position": 99},
    "drop-arc": {},
    "passes": {
        "number": 1,
        "passes": 1,
        "temperatures": [READ],
        "figures": {"volts": "12", "amps": "180", "travel": "3.5"},
        "stop_at": "3",
        "repair": 0,
        "welder": "W1",
        "note": "n",
        "done_at": MOMENT,
        "seen_position": 99,
        "sure": False,
    },
    "take-back": {"number": 1, "why": "w"},
}


@st.composite
def requests(draw: st.DrawFn) -> tuple[str, Any]:
    """A step, and a right body of it with one or two places made into anything."""
    end = draw(st.sampled_from(sorted(BODIES)))
    body: Any = BODIES[end]
    for _ in range(draw(st.integers(1, 2))):
        body = changed(body, draw(st.sampled_from(list(paths(body)))), draw(VALUES))
    return end, body


def test_it_answers_whatever_is_sent(bench: Housing, desk: Caller) -> None:
    @often
    @given(requests())
    def try_one(request: tuple[str, Any]) -> None:
        end, body = request
        assert is_an_answer(desk.post(at(bench, end), body))

    try_one()
    assert ledger.verify().faults == ()


def test_the_fire_watch_ends_after_its_time(bench: Housing, phone: Caller, nothing_changes: Any) -> None:
    refused(phone.post("/fire-watch", {}), 409, "no_arc_yet")
    done(phone.post(at(bench, "passes"), {"number": 1, "done_at": "2026-05-04T08:31:00Z"}), 201)
    with nothing_changes():
        refused(phone.post("/fire-watch", {"found": 3}), 422, "field_wrong")
        # An hour, as a new shop has it; it is 9:30 now.
        refused(phone.post("/fire-watch", {}), 409, "watch_not_over")
    done(phone.post(at(bench, "take-back"), {"number": 1, "why": "An hour early."}))
    done(phone.post(at(bench, "passes"), {"number": 1, "done_at": "2026-05-04T08:30:00Z"}), 201)
    answer = done(phone.post("/fire-watch", {"found": "A rag was warm; taken out."}), 201)
    assert answer["last_arc_at"] == "2026-05-04T08:30:00.000000Z"
    refused(phone.post("/fire-watch", {}), 409, "watched_already")
