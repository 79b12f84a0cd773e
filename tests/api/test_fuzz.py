"""Whatever is sent, the API answers with what it did or with what is wrong, and breaks at nothing."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

from django.http import HttpResponse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from housings.engineering.ready_procedures import READY_PROCEDURES
from inspections.models.plans import (
    END_ALIGNMENT,
    FACE_POINTS,
    FACE_TO_AXIS,
    GO_NO_GO,
    HOLE_PATTERN,
    PILOT_TO_AXIS,
    RUNOUT,
    SIZE,
    THREAD_GAUGE,
)
from shopqc import ledger
from tests.api.caller import PROBLEM, Caller, done
from tests.factories import PLAIN_SPEC, SECRET, Floor
from tests.housings.welding_people import TIG

often = settings(deadline=None, max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])

TEXTS = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        ["", " ", "jig", "Q1", "in", "mm", "go", "0", "-1", "1e5", "1E-400", "٣", "½", "0x1f", "1_0"]
    ),
    st.sampled_from(
        ["x" * 61, "n" * 5000, "\u202e", "\x07", "2026-05-04", "2026-05-04T09:30:00Z", "C-00001"]
    ),
)
NUMBERS = st.one_of(
    st.integers(-(2**70), 2**70),
    st.sampled_from([0, 1, -1, 2**31 - 1, 2**31, 2**63]),
    st.decimals(allow_nan=False, allow_infinity=False, places=4, min_value=-(10**9), max_value=10**9).map(
        float
    ),
)
VALUES = st.recursive(
    st.one_of(st.none(), st.booleans(), NUMBERS, TEXTS),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=8,
)
ORDER = {
    "customer": "north",
    "reference": "PO-1",
    "due_on": "2026-07-01",
    "note": "n",
    "lines": [{"quantity": 1, "spec": dict(PLAIN_SPEC), "route": "standard"}],
}
READING = {
    "characteristic": "pilot_bore",
    "raw": {"value": "1", "unit": "in"},
    "seen_position": 1,
    "id": "0b6b6c0e-6a6c-4a53-9a43-0a3c5f0d2a11",
    "visit": 1,
    "gauge": "G-1",
    "temperature": {"value": "68", "unit": "F"},
    "done_at": "2026-05-04T09:30:00Z",
    "measured": "after",
    "replaces": "0b6b6c0e-6a6c-4a53-9a43-0a3c5f0d2a12",
    "reason": "r",
}
PROCEDURE = dict(READY_PROCEDURES["snout-4140-250"].data)
BODIES: dict[str, dict[str, Any]] = {
    "/orders": ORDER,
    "/housings/{}/arrive": {"station": "jig"},
    "/housings/{}/work-done": {
        "station": "jig",
        "note": "n",
        "details": {"place": "1", "method": "press"},
        "done_at": "2026-05-04T09:30:00Z",
        "seen_position": 1,
    },
    "/housings/{}/undo-arrival": {"station": "jig"},
    "/housings/{}/undo-leaving": {"station": "jig"},
    "/housings/{}/send-to-supplier": {
        "station": "coat",
        "supplier": "s",
        "reference": "r",
        "expected_on": "2026-05-09",
    },
    "/housings/{}/back-from-supplier": {
        "condition": "c",
        "conformity": "0" * 64,
        "work_done": True,
        "details": {"held_hours": "1"},
    },
    "/housings/{}/conformity": {"stay": 1, "conformity": "0" * 64},
    "/housings/{}/recall-from-supplier": {"why": "w"},
    "/housings/{}/add-visit": {"station": "coat", "why": "w", "before": 1},
    "/housings/{}/drop-visit": {"visit": 1, "why": "w"},
    "/housings/{}/leave": {"station": "jig"},
    "/housings/{}/hold": {"why": "w"},
    "/housings/{}/release": {"hold": 1, "why": "w"},
    "/housings/{}/cancel": {"why": ""},
    "/housings/{}/readings": {"readings": [READING]},
    "/housings/{}/nonconformances": {
        "what": "w",
        "defect": "crack",
        "characteristic": "pilot_bore",
        "hold": False,
    },
    "/housings/{}/nonconformances/1/disposition": {
        "decision": "rework",
        "reason": "r",
        "stations": ["jig"],
        "replaced_by": READING["id"],
        "concession": "a" * 64,
    },
    "/housings/{}/sign-off": {"secret": SECRET},
    "/certificates/C-00001/revoke": {"why": "w"},
    "/housings/{}/materials": {
        "materials": [{"part": "tube_left", "heat": "T-1", "piece": "P-1", "replaces": "x", "why": "w"}]
    },
    "/heats": {
        "number": "T-2",
        "kind": "steel",
        "grade": "4130",
        "condition": "normalised",
        "form": "tube",
        "size": "s",
        "supplier": "s",
        "quantity": "q",
        "composition": {"C": "0.30", "Mn": 0.5},
        "certificate": "a" * 64,
        "certificate_type": "3.1",
        "note": "n",
    },
    "/procedures": {"name": "n", "data": PROCEDURE, "note": "n", "document": "a" * 64},
    "/housings/{}/joints/snout_left/procedure": {"procedure": 1, "why": "w"},
    "/people/W1/qualifications": {
        "kind": "welding",
        "reference": "r",
        "ranges": dict(TIG),
        "tested_on": "2026-04-04",
        "valid_until": "2028-04-04",
        "examiner": "e",
        "document": "a" * 64,
    },
    "/people/W1/uses": {"process": "141", "used_on": "2026-04-04", "what": "w"},
    "/people/W1/doubts": {"why": "w", "process": "141"},
    "/doubts/1/answer": {"answer": "a"},
    "/qualifications/1/withdraw": {"why": "w"},
    "/heats/T-1/change": {"changes": {"composition": {"C": "0.3"}, "form": "bar"}, "seen_position": 1},
    "/heats/T-1/pieces": {"code": "P-2", "what": "w", "number_copied": True, "cut_from": "P-1", "size": "s"},
    "/heats/T-1/recall": {"why": "w", "hold": True},
    "/heats/T-1/clear": {"why": "w"},
    "/gauges": {
        "code": "B-1",
        "kind": "bar",
        "name": "n",
        "unit": "in",
        "uncertainty": "0.001",
        "lowest": "0",
        "highest": "6",
        "constants": {"diameter": "1.5", "supports": ["-27", "27"]},
        "place": "p",
        "calibration_due": "2027-05-04",
    },
    "/gauges/G-1/change": {"changes": {"place": "p", "constants": {"size": "1"}}, "seen_position": 1},
    "/gauges/G-1/checks": {
        "done_on": "2026-05-04",
        "done_at": "2026-05-04T09:30:00Z",
        "due_on": "2027-05-04",
        "uncertainty": "0.001",
        "document": "a" * 64,
        "found_right": False,
        "error_offset": "0.001",
        "error_scale": "0.001",
        "constants": {"size": "1"},
    },
    "/gauges/G-1/withdraw": {"why": "w"},
    "/gauges/G-1/return": {"why": "w"},
}


def paths(value: Any) -> Iterator[tuple[Any, ...]]:
    """Every place inside a document, the whole of it first."""
    yield ()
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, item in inner:
        for path in paths(item):
            yield (name, *path)


def changed(document: Any, path: tuple[Any, ...], value: Any) -> Any:
    if not path:
        return value
    document = copy.deepcopy(document)
    place = document
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    return document


@st.composite
def requests(draw: st.DrawFn) -> tuple[str, Any]:
    """An end point, and a right body of it with one or two places made into anything."""
    path = draw(st.sampled_from(sorted(BODIES)))
    body: Any = BODIES[path]
    for _ in range(draw(st.integers(1, 2))):
        body = changed(body, draw(st.sampled_from(list(paths(body)))), draw(VALUES))
    return path, body


def is_an_answer(response: HttpResponse) -> bool:
    """Whether a response is an answer or a refusal that says why."""
    body = json.loads(response.content)
    if response.status_code < 300:
        return response["Content-Type"] == "application/json"
    said = all(error["detail"] and error["code"] for error in body["errors"])
    return 400 <= response.status_code < 500 and response["Content-Type"] == PROBLEM and said


def test_it_answers_whatever_is_sent(floor: Floor, desk: Caller) -> None:
    housing = floor.housing(until="jig")
    done(desk.post("/heats", {"number": "T-1", "kind": "steel", "grade": "4130"}), 201)

    @often
    @given(requests())
    def try_one(request: tuple[str, Any]) -> None:
        path, body = request
        assert is_an_answer(desk.post(path.format(housing.serial), body))

    try_one()
    assert ledger.verify().faults == ()


FIGURES = st.one_of(
    st.sampled_from(["0", "1", "-1", "0.001", "0.002", "1e-9", "1e29", "1e31", "-0", "+.5", "0,5", "nan"]),
    st.decimals(-100, 100, allow_nan=False, places=4).map(str),
    NUMBERS,
    TEXTS,
)
FEW = st.sampled_from(["0", "1", "2", "0.001"])


def points_of(coordinates: st.SearchStrategy[Any]) -> st.SearchStrategy[list[list[Any]]]:
    """Points of three coordinates: with ``FEW``, many that lie on a line or on each other."""
    return st.lists(st.lists(coordinates, min_size=3, max_size=3), min_size=4, max_size=24)


COLUMNS = st.one_of(st.lists(FEW | FIGURES, max_size=8), VALUES)
CLOUDS = st.one_of(points_of(FEW), points_of(FIGURES), VALUES)
RAWS: dict[str, st.SearchStrategy[dict[str, Any]]] = {
    SIZE: st.fixed_dictionaries({"value": FIGURES}, optional={"unit": TEXTS}),
    GO_NO_GO: st.fixed_dictionaries({"result": st.one_of(st.sampled_from(["go", "no_go"]), VALUES)}),
    FACE_POINTS: st.fixed_dictionaries(
        {"points": st.one_of(points_of(FEW), points_of(FIGURES), VALUES)}, optional={"unit": TEXTS}
    ),
    RUNOUT: st.fixed_dictionaries(
        {"readings": st.one_of(st.lists(FEW, max_size=24), st.lists(FIGURES, max_size=24), VALUES)},
        optional={"unit": TEXTS},
    ),
    FACE_TO_AXIS: st.fixed_dictionaries({"face": CLOUDS, "left": CLOUDS, "right": CLOUDS}),
    PILOT_TO_AXIS: st.fixed_dictionaries(
        {"bore": CLOUDS, "left": CLOUDS, "right": CLOUDS}, optional={"face": CLOUDS}
    ),
    HOLE_PATTERN: st.fixed_dictionaries(
        {"holes": st.one_of(st.lists(st.lists(FEW | FIGURES, min_size=2, max_size=2), max_size=13), VALUES)}
    ),
    END_ALIGNMENT: st.fixed_dictionaries(
        {"z": COLUMNS, "x": COLUMNS, "y": COLUMNS}, optional={"rolled_x": COLUMNS, "rolled_y": COLUMNS}
    ),
    THREAD_GAUGE: st.fixed_dictionaries(
        {"go": st.sampled_from(["yes", "no"]) | VALUES, "no_go_turns": FIGURES}
    ),
}
ANY_RAW = st.one_of(
    st.dictionaries(st.sampled_from(["value", "unit", "result", "points", "readings", "x", "y"]), VALUES),
    VALUES,
)


def test_it_judges_or_refuses_whatever_was_read(floor: Floor, phone: Caller) -> None:
    """Raw readings of every kind: points on each other, huge and tiny figures, things that are no figures."""
    housing = floor.housing(until="face_and_drill")
    floor.work(housing, "face_and_drill")
    due = [standing.characteristic for standing in floor.measured(housing).due_at("face_and_drill")]
    one_of_each = {asked.kind: asked for asked in due}
    assert set(one_of_each) == set(RAWS)

    @often
    @given(st.sampled_from(sorted(RAWS)).flatmap(lambda k: st.tuples(st.just(k), RAWS[k] | ANY_RAW)))
    def try_one(read: tuple[str, Any]) -> None:
        kind, raw = read
        reading = floor.reading(housing, one_of_each[kind], "face_and_drill", raw=raw)
        response = phone.post(f"/housings/{housing.serial}/readings", {"readings": [reading]})
        assert is_an_answer(response)

    try_one()
    assert ledger.verify().faults == ()


ADDRESSES = (
    "/orders/{}",
    "/orders?after={}",
    "/housings/{}",
    "/housings?state={}",
    "/housings?order={}",
    "/housings?after={}&limit={}",
    "/housings/{}/readings",
    "/housings/{}/traveler.pdf",
    "/travelers.pdf?serial={}",
    "/certificates/{}",
    "/certificates/{}/file",
    "/certificates?after={}",
)


def test_it_answers_at_whatever_address(floor: Floor, desk: Caller) -> None:
    @often
    @given(st.sampled_from(ADDRESSES), st.one_of(TEXTS, st.text(st.characters(codec="utf-8"), max_size=30)))
    def try_one(address: str, name: str) -> None:
        said = quote(name.encode("utf-8", "replace"), safe="")
        response = desk.get(address.format(said, said), Accept="*/*")
        assert response.status_code < 500
        assert response["Content-Type"] in {"application/json", PROBLEM}

    floor.order()
    try_one()


def test_it_refuses_bytes_of_any_kind(floor: Floor, office: Caller) -> None:
    right = json.dumps(ORDER).encode()

    @often
    @given(st.binary(max_size=40), st.integers(0, len(right)), st.integers(0, 40))
    def try_one(piece: bytes, at: int, taken: int) -> None:
        response = office.post("/orders", raw=right[:at] + piece + right[at + taken :])
        assert is_an_answer(response)

    try_one()
