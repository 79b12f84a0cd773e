"""The form of each kind of measuring: what it takes, what it refuses and where it says so."""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Visit
from inspections.forms.readings import ReadingForm, form_for
from inspections.forms.readings.dial import places
from inspections.measuring import Measuring
from inspections.models import Characteristic, Gauge
from inspections.models.plans import (
    DIAMETERS,
    END_ALIGNMENT,
    FACE_POINTS,
    FACE_TO_AXIS,
    HOLE_PATTERN,
    PILOT_TO_AXIS,
    PRESSURE_LOSS,
    RUNOUT,
    SHAFT_CLEARANCE,
    SIZE,
    TAPER_TURNS,
    THREAD_GAUGE,
)
from inspections.rules import GAUGE_NAMED, TEMPERATURE_RECORDED

STATION = "face_and_drill"
GAUGE = Gauge(code="G-1", name="Universal gauge", kind="gauge")
BAR = Gauge(code="B-1", name="Alignment bar", kind="bar", constants={"diameter": "1.5"})
MASTER = Gauge(code="M-1", name="Master", kind="master", constants={"size": "2.5"})
WARM = Gauge(code="T-1", name="Thermometer", kind="thermometer", unit="°F")
EQUIPMENT = [GAUGE, BAR, MASTER, WARM]


def characteristic(
    kind: str, unit: str = "in", lower: str | None = None, **parameters: Any
) -> Characteristic:
    code = parameters.pop("code", kind)
    upper = parameters.pop("upper", "0.005")
    return Characteristic(
        pk=abs(hash(code)) % 10**6,
        code=code,
        name=f"The {kind}",
        kind=kind,
        unit=unit,
        parameters=parameters,
        due=[{"station": STATION, "lower": lower, "upper": upper}],
    )


def form(*measured: Characteristic, **typed: Any) -> ReadingForm:
    """The form of one measuring with what was typed; ``way``, ``points`` and ``in_use`` are the form's."""
    way, points = typed.pop("way", ""), typed.pop("points", 0)
    measuring = Measuring(Visit(station=STATION, number=5), measured)
    in_use = frozenset(typed.pop("in_use", {GAUGE_NAMED}))
    data = {"seen_position": 7, "visit": 5, "gauge": "G-1", "temperature_unit": "F", "unit": "in", **typed}
    return form_for(measuring, EQUIPMENT, in_use=in_use, way=way, points=points, data=data)


def raw_of(filled: ReadingForm) -> dict[str, Any]:
    assert filled.is_valid(), filled.errors
    (entry,) = filled.entries()
    raw: dict[str, Any] = entry["raw"]
    return raw


def test_one_figure() -> None:
    size = characteristic(SIZE, lower="2.495", upper="2.505")
    assert raw_of(form(size, value="2,5012")) == {"value": "2.5012", "unit": "in"}
    assert raw_of(form(size, value="63.5", unit="mm")) == {"value": "63.5", "unit": "mm"}
    assert "value" in form(size, value="two").errors
    assert "unit" in form(size, value="2.5", unit="furlong").errors
    assert "gauge" in form(size, value="2.5", gauge="").errors


JOURNAL = characteristic(DIAMETERS, lower="2.4990", upper="2.4995", points_at_least=2)


def test_diameters_at_named_places() -> None:
    filled = form(JOURNAL, across_1="2.4992", across_2="2,4993", across_4="2.4991")
    assert raw_of(filled) == {"values": ["2.4992", "2.4993", "2.4991"], "unit": "in"}
    assert str(filled.fields["across_1"].label) == "Outer, 12 o'clock"
    assert "1 places were read; at least 2 are needed." in str(form(JOURNAL, across_1="2.4992").errors)


def test_diameters_compared_with_a_master_name_the_master() -> None:
    typed = {"across_1": "-0.0008", "across_2": "-0.0007"}
    filled = form(JOURNAL, way="compared", master="M-1", **typed)
    assert raw_of(filled) == {"differences": ["-0.0008", "-0.0007"], "unit": "in"}
    assert filled.entries()[0]["setup"] == {"master": "M-1"}
    assert "Say with which one" in str(form(JOURNAL, way="compared", **typed).errors["master"])
    assert "master" in form(JOURNAL, way="compared", master="B-1", **typed).errors
    assert "master" not in form(JOURNAL, across_1="2.4992", across_2="2.4993").fields


TURN = characteristic(RUNOUT, points_at_least=4)


def test_a_turn_place_by_place_or_as_a_column() -> None:
    typed = {"turn_0": "0", "turn_1": "0.0015", "turn_2": "0,003", "turn_3": "-0.0005"}
    readings = ["0", "0.0015", "0.003", "-0.0005"]
    assert raw_of(form(TURN, **typed)) == {"readings": readings, "unit": "in"}
    assert raw_of(form(TURN, list="indicator\n0\n0.0015\n0,003\n-0.0005\n"))["readings"] == readings
    assert raw_of(form(TURN, list="0; 0.0015; 0.003; -0.0005"))["readings"] == readings
    assert "Nothing stands at: 3:00." in str(form(TURN, **{**typed, "turn_1": ""}).errors)
    assert "keep one of the two" in str(form(TURN, **typed, list="0 1 2 3").errors)
    assert "is no number" in str(form(TURN, list="0 a 2 3").errors["list"])
    assert not form(TURN, list=";\n;;\n").is_valid()


def test_the_dial_goes_clockwise_from_twelve() -> None:
    # A clock is read clockwise from 12 at the top; y runs down in SVG 1.1, 7.3 (both common knowledge).
    assert [(place.x, place.y, place.hour) for place in places(4)] == [
        (0.0, -40.0, "12"),
        (40.0, 0.0, "3"),
        (0.0, 40.0, "6"),
        (-40.0, 0.0, "9"),
    ]
    assert [place.hour for place in places(8)] == ["12", "", "3", "", "6", "", "9", ""]


def test_how_a_part_is_held_goes_with_its_reading() -> None:
    typed = {f"turn_{number}": "0.001" for number in range(4)}
    held = {"support": "v_blocks", "v_angle": "90", "section": "turning", "air": "70", "temperature": "71"}
    (entry,) = _entries(form(TURN, **typed, **held, thermometer="T-1"))
    assert entry["setup"] == {
        "support": "v_blocks",
        "v_angle": "90",
        "section": "turning",
        "thermometer": "T-1",
        "air": {"value": "70", "unit": "F"},
    }
    assert entry["temperature"] == {"value": "71", "unit": "F"}
    # Between centers there is no angle of a V, whatever was chosen before.
    (entry,) = _entries(form(TURN, **typed, support="centers", v_angle="90"))
    assert entry["setup"] == {"support": "centers"}
    # A doubled angle (both sides of the V added up) is not among those a V-block has.
    assert "v_angle" in form(TURN, **typed, support="v_blocks", v_angle="180").errors
    assert "support" in form(TURN, **typed, support="table").errors


def _entries(filled: ReadingForm) -> list[dict[str, Any]]:
    assert filled.is_valid(), filled.errors
    return filled.entries()


def test_a_missing_temperature_is_asked_for_unless_the_part_has_settled() -> None:
    size = characteristic(SIZE, lower="2.495", upper="2.505")
    rules = {GAUGE_NAMED, TEMPERATURE_RECORDED}
    refused = form(size, value="2.5", in_use=rules)
    assert "Say how warm the part was" in str(refused.errors["temperature"])
    (entry,) = _entries(form(size, value="2.5", settled="on", in_use=rules))
    assert entry["setup"] == {"settled": True} and "temperature" not in entry
    assert _entries(form(size, value="2.5", temperature="71", in_use=rules))
    assert "°F or °C" in str(form(size, value="2.5", temperature="71", temperature_unit="").errors)


FACE = [
    characteristic(FACE_POINTS, code="face_flatness", points_at_least=4, taken_with="face"),
    characteristic(FACE_TO_AXIS, code="face_distance", points_at_least=4, taken_with="face"),
    characteristic(PILOT_TO_AXIS, code="pilot_center", points_at_least=3, taken_with="face"),
    characteristic(HOLE_PATTERN, code="holes", taken_with="face", centers=[["1", "0"]]),
]
POINTS = "x\ty\tz\n1\t0\t0\n0\t1\t0\n-1\t0\t0\n0\t-1\t0"
ROWS = [["1", "0", "0"], ["0", "1", "0"], ["-1", "0", "0"], ["0", "-1", "0"]]
LEFT, RIGHT = [["-30", "0", "2.5"]], [["30", "0", "2.5"]]


def test_one_probing_of_a_face_gives_every_figure_it_can() -> None:
    filled = form(
        *FACE, list=POINTS, left_list="-30; 0; 2,5", right_list="30 0 2.5", bore_list=POINTS, holes_list="1 0"
    )
    raws = {entry["characteristic"]: entry["raw"] for entry in _entries(filled)}
    assert raws == {
        "face_flatness": {"points": ROWS, "unit": "in"},
        "face_distance": {"face": ROWS, "left": LEFT, "right": RIGHT, "unit": "in"},
        "pilot_center": {"bore": ROWS, "left": LEFT, "right": RIGHT, "face": ROWS, "unit": "in"},
        "holes": {"holes": [["1", "0"]], "unit": "in"},
    }


def test_what_was_not_probed_stays_due() -> None:
    assert [entry["characteristic"] for entry in _entries(form(*FACE, list=POINTS))] == ["face_flatness"]
    refused = form(*FACE, left_list="-30 0 2.5")
    assert not refused.is_valid()
    assert "Missing: Points of the face, Right journal" in str(refused.errors)
    assert "Line 1 has 2 numbers" in str(form(*FACE, list=POINTS, left_list="-30 0").errors["left_list"])


def test_points_one_by_one() -> None:
    typed = {
        f"{axis}_{n}": text for n, row in enumerate(ROWS, 1) for axis, text in zip("xyz", row, strict=True)
    }
    assert raw_of(form(FACE[0], points=12, **typed)) == {"points": ROWS, "unit": "in"}
    refused = form(FACE[0], points=12, **{**typed, "y_2": ""})
    assert "Point 2 is not complete: y is missing." in str(refused.errors["y_2"])
    assert "keep one of the two" in str(form(FACE[0], points=12, **typed, list=POINTS).errors)


PATTERN = characteristic(HOLE_PATTERN, centers=[["1", "0"], ["0", "1"], ["-1", "0"]])


def test_a_pattern_is_one_table_in_the_drawn_order() -> None:
    typed = {"x_1": "1.001", "y_1": "0", "x_2": "0", "y_2": "1", "x_3": "-1", "y_3": "0"}
    holes = [["1.001", "0"], ["0", "1"], ["-1", "0"]]
    assert raw_of(form(PATTERN, **typed)) == {"holes": holes, "unit": "in"}
    assert raw_of(form(PATTERN, list="1.001,0\n0,1\n-1,0"))["holes"] == holes
    assert "2 holes were given; 3 are drawn" in str(form(PATTERN, list="1 0\n0 1").errors["list"])
    assert "Hole 2 is not complete" in str(form(PATTERN, **{**typed, "y_2": ""}).errors["y_2"])
    assert "Type x and y of each hole." in str(form(PATTERN).errors)


ENDS = [
    characteristic(END_ALIGNMENT, "°", code=code, quantity=code, taken_with="bar")
    for code in ("camber_left", "toe_left", "camber_right", "toe_right")
]
STATIONS = "-30 0.001 0.002\n-24 0.001 0.002\n24 0 0\n30 0 0"


def test_the_bar_gives_camber_and_toe_of_both_ends() -> None:
    entries = _entries(form(*ENDS, list=STATIONS, bar="B-1", support="bar"))
    assert [entry["characteristic"] for entry in entries] == [
        "camber_left",
        "toe_left",
        "camber_right",
        "toe_right",
    ]
    assert entries[0]["raw"] == {
        "z": ["-30", "-24", "24", "30"],
        "x": ["0.001", "0.001", "0", "0"],
        "y": ["0.002", "0.002", "0", "0"],
        "unit": "in",
    }
    assert {str(entry["setup"]) for entry in entries} == {str({"support": "bar", "bar": "B-1"})}
    # A shop without a bar on file still measures; then no sag is taken out.
    assert "setup" not in _entries(form(*ENDS, list=STATIONS))[0]
    assert "bar" in form(*ENDS, list=STATIONS, bar="M-1").errors


def test_a_housing_that_was_rolled_is_read_twice() -> None:
    typed = {
        "z_1": "-30", "x_1": "0.001", "y_1": "0.002", "rolled_x_1": "-0.001", "rolled_y_1": "0.002",
        "z_2": "-24", "x_2": "0.001", "y_2": "0.002", "rolled_x_2": "-0.001", "rolled_y_2": "0.002",
    }  # fmt: skip
    entries = _entries(form(*ENDS, way="rolled", **typed))
    assert entries[0]["raw"]["rolled_x"] == ["-0.001", "-0.001"]
    assert entries[0]["raw"]["rolled_y"] == ["0.002", "0.002"]
    refused = form(*ENDS, way="rolled", **{**typed, "rolled_y_2": ""})
    assert "Station 2 has no up, rolled, and others have it." in str(refused.errors["rolled_y_2"])


BORES = characteristic(SHAFT_CLEARANCE, lower="0.020", upper=None, shaft_diameter="1.708")


def test_bores_along_one_end() -> None:
    raw = raw_of(form(BORES, list="station;forward;up;bore\n6;0,001;0;2,002\n20;0;0,001;2,001"))
    assert raw == {
        "z": ["6", "20"],
        "x": ["0.001", "0"],
        "y": ["0", "0.001"],
        "bore": ["2.002", "2.001"],
        "unit": "in",
    }
    assert "Line 2 has 3 numbers" in str(form(BORES, list="6 0 0 2\n20 0 0").errors["list"])


def test_threads_are_answered_by_plugs() -> None:
    plug = characteristic(THREAD_GAUGE, "", upper="3")
    filled = form(plug, go="yes", no_go_turns="1,5")
    assert raw_of(filled) == {"go": "yes", "no_go_turns": "1.5"}
    assert "gauge" not in filled.fields and "setup" not in filled.entries()[0]
    assert "Say whether the go plug goes in." in str(form(plug, no_go_turns="1").errors["go"])
    assert "Type how many turns" in str(form(plug, go="yes").errors["no_go_turns"])
    taper = characteristic(TAPER_TURNS, "turns", lower="-1", upper="1")
    assert raw_of(form(taper, turns="-0.5")) == {"turns": "-0.5"}
    assert "Type how many turns" in str(form(taper).errors["turns"])


LOSS = characteristic(PRESSURE_LOSS, "psi", upper="0.1", volume="18", over_minutes="5")


def test_a_pressure_log_with_and_without_temperatures() -> None:
    assert raw_of(form(LOSS, list="0 5.00\n5 4.98")) == {
        "minutes": ["0", "5"],
        "pressures": ["5.00", "4.98"],
        "unit": "psi",
    }
    raw = raw_of(
        form(LOSS, list="min\tpsi\tC\n0\t5,00\t20\n5\t4,98\t20,5", warmth_unit="C", air_pressure="14.6")
    )
    assert raw["temperatures"] == ["20", "20.5"]
    assert (raw["temperature_unit"], raw["air_pressure"]) == ("C", "14.6")
    refused = form(LOSS, minutes_1="0", pressure_1="5", warmth_1="70", minutes_2="5", pressure_2="4.9")
    assert "Time 2 has no temperature, and others have it." in str(refused.errors["warmth_2"])
    assert "at the start and at the end" in str(form(LOSS, list="0 5").errors)


@pytest.mark.parametrize("separator", ["\t", ";", "  ", ", "])
def test_what_stands_between_pasted_numbers(separator: str) -> None:
    pasted = "\n".join(separator.join(row) for row in ROWS)
    assert raw_of(form(FACE[0], list=pasted))["points"] == ROWS


def test_a_comma_and_a_point_for_decimals_are_refused_together() -> None:
    refused = form(FACE[0], list="1,5 0 0\n0 1.5 0\n-1 0 0\n0 -1 0")
    assert "Use one of them throughout." in str(refused.errors["list"])


def test_figures_can_be_read_while_the_gauge_is_still_missing() -> None:
    filled = form(TURN, gauge="", list="0 0.001 0.002 0.001")
    assert not filled.is_valid()
    assert filled.entries()[0]["raw"]["readings"] == ["0", "0.001", "0.002", "0.001"]
    unreadable = form(TURN, list="0 x")
    assert not unreadable.is_valid() and unreadable.entries() == []
