"""Whatever is sent as a reading is judged, or refused with a sentence; nothing else. Design, no source."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.models import plans
from inspections.verdicts import as_typed, judge
from tests.verdicts.asking import FACE, LEFT, RAWS, RIGHT, asked_of, judged

WRONG: list[tuple[str, Any, str]] = [
    (plans.SIZE, {}, "value is missing"),
    (plans.SIZE, {"value": "2,5"}, "decimal point"),
    (plans.SIZE, {"value": "1" * 41}, "characters"),
    (plans.SIZE, {"value": "1e12"}, "far too large"),
    (plans.SIZE, {"value": "2.5", "unit": "furlong"}, "cannot be turned into in"),
    (plans.SIZE, {"value": "2.5", "note": "x"}, "does not belong"),
    (plans.GO_NO_GO, {"result": "maybe"}, "go or no_go"),
    (plans.FACE_POINTS, {"points": FACE[:3]}, "3 entries"),
    (plans.FACE_POINTS, {"points": [["1", "2"]] * 8}, "coordinates x, y and z"),
    (plans.FACE_POINTS, {"points": FACE * 300}, "2000"),
    (plans.FACE_POINTS, {"points": [["0", "0", "0"]] * 8}, "point"),
    (plans.RUNOUT, {"readings": ["0", "1"]}, "2 entries"),
    (plans.RUNOUT, {"readings": ["0"] * 4, "angles": ["0", "90", "90", "180"]}, "ascending"),
    (plans.RUNOUT, {"readings": ["0"] * 4, "angles": ["0", "90", "180"]}, "same number of rows"),
    (plans.HOLE_CENTER, {"x": "1"}, "y is missing"),
    (plans.DIAMETERS, {}, "values is missing"),
    (plans.DIAMETERS, {"values": ["2.5"], "differences": ["0"]}, "does not belong"),
    (plans.DIAMETERS, {"differences": ["0"]}, "which master"),
    (plans.FACE_TO_AXIS, {"face": FACE, "left": LEFT}, "right is missing"),
    (plans.FACE_TO_AXIS, {"face": FACE, "left": LEFT, "right": LEFT}, "one place"),
    (plans.FACE_TO_AXIS, {"face": FACE, "left": LEFT, "right": RIGHT * 4}, "one center each"),
    (plans.PILOT_TO_AXIS, {"bore": FACE[:2], "left": LEFT, "right": RIGHT}, "2 points"),
    (plans.PILOT_TO_AXIS, {"bore": FACE[:1], "left": LEFT, "right": RIGHT}, "needs points of the face"),
    (plans.HOLE_PATTERN, {"holes": [["4", "0"]] * 3}, "3 holes were given; the pattern has 4"),
    (plans.END_ALIGNMENT, {"z": ["-30", "0", "30"], "x": ["0"] * 3, "y": ["0"] * 2}, "same number of rows"),
    (plans.END_ALIGNMENT, {"z": ["30", "-30"], "x": ["0"] * 2, "y": ["0"] * 2}, "ascend"),
    (plans.END_ALIGNMENT, {"z": ["10", "30"], "x": ["0"] * 2, "y": ["0"] * 2}, "left end"),
    (plans.END_ALIGNMENT, {**RAWS[plans.END_ALIGNMENT], "rolled_x": ["0"] * 4}, "one of the two is missing"),
    (plans.SHAFT_CLEARANCE, {**RAWS[plans.SHAFT_CLEARANCE], "bore": ["2", "0", "2"]}, "above zero"),
    (plans.THREAD_GAUGE, {"go": "perhaps", "no_go_turns": "1"}, "yes or no"),
    (plans.THREAD_GAUGE, {"go": "yes", "no_go_turns": "-1"}, "negative"),
    (plans.TAPER_TURNS, {"turns": "51"}, "more than"),
    (plans.PRESSURE_LOSS, {"minutes": ["0", "5"], "pressures": ["5"]}, "2 to 2000"),
    (plans.PRESSURE_LOSS, {"minutes": ["5", "0"], "pressures": ["5", "4"]}, "later"),
    (plans.PRESSURE_LOSS, {"minutes": ["0", "5"], "pressures": ["5", "4"], "unit": "bar"}, "psi or kPa"),
    (plans.PRESSURE_LOSS, {**RAWS[plans.PRESSURE_LOSS], "temperature_unit": "K"}, "°F or °C"),
    (plans.PRESSURE_LOSS, {**RAWS[plans.PRESSURE_LOSS], "temperatures": ["70"]}, "1 temperatures"),
]
JUNK: st.SearchStrategy[Any] = st.recursive(
    st.none()
    | st.booleans()
    | st.sampled_from(["", "0", "1", "-1", "1e5", "1e-300", "9" * 50, "nan", "in", "mm", "yes", "30", "-30"])
    | st.decimals(-100, 100, places=3).map(str),
    lambda inner: (
        st.lists(inner, max_size=5) | st.dictionaries(st.sampled_from(["x", "unit"]), inner, max_size=2)
    ),
    max_leaves=8,
)


@pytest.mark.parametrize(("kind", "raw", "words"), WRONG)
def test_what_is_wrong_is_said(kind: str, raw: Any, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        judged(kind, raw)


@pytest.mark.parametrize("raw", ["value", ["value"], None, 3])
def test_a_reading_is_an_object(raw: Any) -> None:
    with pytest.raises(ValueError):
        judge(asked_of(plans.SIZE), raw)


@pytest.mark.parametrize("engine", ["", "0", "3"])
def test_no_other_engine_is_known(engine: str) -> None:
    with pytest.raises(ValueError, match="engine"):
        judge(asked_of(plans.SIZE), {"value": "2.5"}, engine)


def test_the_first_engine_still_judges_its_five_kinds_and_no_other() -> None:
    first = {plans.SIZE, plans.GO_NO_GO, plans.FACE_POINTS, plans.RUNOUT, plans.HOLE_CENTER}
    for kind, raw in RAWS.items():
        if kind in first:
            assert judge(asked_of(kind), as_typed(raw), "1").verdict == "pass"
        else:
            with pytest.raises(ValueError, match="knows no characteristic"):
                judge(asked_of(kind), as_typed(raw), "1")


def test_the_first_engine_knows_nothing_of_temperature() -> None:
    asked = asked_of(plans.SIZE, basis={"part_c": "40", "air_c": "20", "offset": "1"})
    assert judge(asked, {"value": "2.4993"}, "1").value == "2.4993"


@st.composite
def broken(draw: st.DrawFn) -> tuple[str, Any]:
    """A good reading with something else in one place of it."""
    kind = draw(st.sampled_from(sorted(RAWS)))
    raw = json.loads(json.dumps(RAWS[kind]))
    at: Any = raw
    while True:
        keys = list(at) if isinstance(at, dict) else list(range(len(at)))
        key = draw(st.sampled_from(keys))
        if isinstance(at[key], dict | list) and at[key] and draw(st.booleans()):
            at = at[key]
            continue
        at[key] = draw(JUNK)
        break
    if draw(st.booleans()):
        extra = [
            "unit",
            "angles",
            "second",
            "rolled_x",
            "temperatures",
            "air_pressure",
            "differences",
            "face",
        ]
        raw[draw(st.sampled_from(extra))] = draw(JUNK)
    return kind, raw


@settings(deadline=None)
@given(broken(), st.sampled_from(["simple", "guarded", "guarded_95"]))
def test_anything_is_judged_or_refused(reading: tuple[str, Any], rule: str) -> None:
    kind, raw = reading
    basis = {
        "gauge_uncertainty": "0.001",
        "gauge_unit": "mm",
        "part_c": "25",
        "scale": "0.001",
        "offset": "0.01",
    }
    try:
        found = judge(asked_of(kind, basis=basis, rule=rule), as_typed(raw))
    except ValueError as error:
        assert str(error)
        return
    assert found.verdict in {"pass", "fail", "undecided"}
    json.dumps(found.detail, allow_nan=False)
    assert len(found.value) <= 60 and len(found.uncertainty) <= 30
