"""Whatever is sent to the doors of a joint is answered or refused, and breaks at nothing."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from shopqc import ledger
from tests.api.caller import Caller, refused
from tests.api.test_fuzz import VALUES, changed, is_an_answer, often, paths
from tests.factories import Floor
from tests.housings.at_a_joint import GOOD_FIT_UP
from tests.inspections.judging import LEFT

READ = {
    "value": "450",
    "unit": "F",
    "crayon": "",
    "place": "stop",
    "thermometer": "T-1",
    "simulated": False,
    "done_at": "2026-05-04T09:29:00Z",
}
FIGURES = {"volts": "12", "amps": "180", "travel": "3.5", "travel_unit": "in/min", "position": "PH"}
PASS = {
    "number": 1,
    "passes": 1,
    "temperatures": [READ],
    "figures": FIGURES,
    "filler": "F-1",
    "gas": "G-1",
    "stop_at": "3",
    "repair": 0,
    "welder": "W1",
    "note": "n",
    "done_at": "2026-05-04T09:30:00Z",
    "seen_position": 1,
    "sure": True,
}
BODIES: dict[str, Any] = {
    "fit-up": {"figures": dict(GOOD_FIT_UP), "tacked_by": "W1", "note": "n", "done_at": READ["done_at"]},
    "settings": {"figures": FIGURES, "filler": "F-1", "gas": "G-1"},
    "temperatures": {"temperatures": [READ], "sure": True},
    "begin": {"number": 1, "temperatures": [READ], "repair": 0, "seen_position": 1},
    "passes": PASS,
    "take-back": {"number": 1, "why": "w"},
}


def test_it_answers_whatever_is_sent(floor: Floor, phone: Caller) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")

    @often
    @given(st.data())
    def try_one(data: st.DataObject) -> None:
        step = data.draw(st.sampled_from(sorted(BODIES)))
        body: Any = BODIES[step]
        for _ in range(data.draw(st.integers(1, 2))):
            body = changed(body, data.draw(st.sampled_from(list(paths(body)))), data.draw(VALUES))
        response = phone.post(f"/housings/{housing.serial}/joints/{LEFT}/{step}", body)
        assert is_an_answer(response)

    try_one()
    assert ledger.verify().faults == ()


def test_a_temperature_is_no_null(floor: Floor, phone: Caller) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    for step in ("passes", "begin", "temperatures"):
        body = {"temperatures": [None], **({} if step == "temperatures" else {"number": 1})}
        problem = refused(phone.post(f"/housings/{housing.serial}/joints/{LEFT}/{step}", body), 422)
        assert problem["errors"][0]["pointer"] == "/temperatures/0"
