"""Whole readings of several kinds against published values: from the raw figures to value and verdict."""

from __future__ import annotations

import pytest

from inspections.models import plans
from tests.published import Source, published
from tests.verdicts.asking import FACE, LEFT, RIGHT, asked_of, judged

QIF = Source("QIF 3.0 (ISO 23952) community schema repository", "commit 360b05e", "samples/Results")
POINTS = QIF.at("samples/Results, QIF_PTS_SAMPLE, point set 12")
WIDGET = QIF.at("samples/QIFwidget")
B92 = Source("ANSI B92.1", "24/48 pitch, (N + 1) / P", "major diameter of 40 teeth, from memory")
B1_2 = Source("ANSI/ASME B1.2", "1983", "4.1 and 4.2: no-go enters three turns at most, from memory")
B1_20_1 = Source("ASME B1.20.1", "2013", "8.1: one turn from the notch either way, from memory")
TRADE = Source("Common practice, no source", "", "magnitudes of the trade")
PROBED = """
-43.73170020597 49.51823501394 2.50038872433
-41.10589910466 -7.86586023134 2.49673923082
17.02290609066 -6.12985679561 2.50307291306
14.25342676209 39.82245999350 2.49562257039
-37.90430060185 24.94844749202 2.50171101761
-21.51200883909 56.00932459605 2.50237900196
-10.99206622128 35.90916167270 2.49779564658
15.30780835101 12.62061692428 2.50055258359
"""
# dx, dy of the actual hole, its published position, and whether it lies in a zone of 0.25.
HOLES = [
    ("-0.064", "0.111", "0.256257682811652", "fail"),
    ("-0.001", "0.150", "0.300006666592606", "fail"),
    ("-0.099", "0.067", "0.239081576036290", "pass"),
    ("-0.069", "0.021", "0.144249783362061", "pass"),
    ("-0.102", "-0.014", "0.205912602819747", "pass"),
]


def test_a_probed_plane_has_its_published_flatness_and_verdict() -> None:
    rows = [line.split() for line in PROBED.strip().splitlines()]
    found = judged(plans.FACE_POINTS, {"points": rows}, unit="mm", upper="0.01")
    published(POINTS, found.value, "0.00676025187")
    published(POINTS, found.verdict, "pass")
    # By least squares it is 0.00745 (recomputed), so a limit between the two tells the methods apart.
    assert judged(plans.FACE_POINTS, {"points": rows}, unit="mm", upper="0.0070").verdict == "pass"


@pytest.mark.parametrize(("dx", "dy", "position", "verdict"), HOLES)
def test_a_hole_has_its_published_position(dx: str, dy: str, position: str, verdict: str) -> None:
    parameters = {"nominal_x": "0", "nominal_y": "0"}
    found = judged(plans.HOLE_CENTER, {"x": dx, "y": dy}, unit="mm", upper="0.25", parameters=parameters)
    published(WIDGET, found.value, position, tolerance="1e-12")
    assert found.verdict == verdict


def test_a_pattern_is_as_good_as_its_worst_hole() -> None:
    centers = [["10", "0"], ["0", "10"], ["-10", "0"], ["0", "-10"], ["7", "7"]]
    made = [
        [f"{float(x) + float(dx):.3f}", f"{float(y) + float(dy):.3f}"]
        for (x, y), (dx, dy, _position, _verdict) in zip(centers, HOLES, strict=True)
    ]
    found = judged(
        plans.HOLE_PATTERN, {"holes": made}, unit="mm", upper="0.25", parameters={"centers": centers}
    )
    published(WIDGET, found.value, "0.300006666592606", tolerance="1e-12")
    published(
        WIDGET,
        [hole["deviation"] for hole in found.detail["holes"]],
        [row[2] for row in HOLES],
        tolerance="1e-12",
    )
    assert [hole["inside"] for hole in found.detail["holes"]] == [row[3] == "pass" for row in HOLES]
    assert found.verdict == "fail"


def test_steel_measured_warm_is_brought_to_20_degrees() -> None:
    """60 in of steel grow 0.0078 in for 20 °F; here the scale stayed at 68 °F."""
    basis = {"part_c": "31.1111111111111", "air_c": "20"}
    found = judged(plans.SIZE, {"value": "60.0078"}, lower="59.97", upper="60.03", basis=basis)
    published(TRADE, float(found.value), 60.0, tolerance=0.0002, kind="memory")


def test_a_bar_on_60_inch_supports_sags_as_the_classic_formula_says() -> None:
    """1.5 in solid on supports 60 in apart: 0.011 in in the middle, 0.035° at its ends."""
    bar = {"code": "B", "diameter": "1.5", "supports": ["-30", "30"], "unit": "in"}
    level = {"z": ["-30", "-29.9", "29.9", "30"], "x": ["0"] * 4, "y": ["0"] * 4}
    found = judged(plans.END_ALIGNMENT, level, basis={"bar": bar})
    published(TRADE, found.value, "-0.035", kind="derived")
    middle = {"z": ["-30", "0", "30"], "x": ["0"] * 3, "y": ["0"] * 3}
    found = judged(plans.END_ALIGNMENT, middle, basis={"bar": bar})
    published(TRADE, found.detail["sag"][1], "-0.011", kind="derived")
    # In millimeters the bar sags as much.
    metric = {"z": ["-762", "0", "762"], "x": ["0"] * 3, "y": ["0"] * 3, "unit": "mm"}
    sag = judged(plans.END_ALIGNMENT, metric, basis={"bar": bar}).detail["sag"][1]
    assert float(sag) / 25.4 == pytest.approx(float(found.detail["sag"][1]), rel=1e-11)


def test_a_degree_moves_the_pressure_by_0_037_psi() -> None:
    """5 psi inside, 1 °F warmer: what the pressure rises by is no loss and hides one."""
    warm = {
        "minutes": ["0", "5"],
        "pressures": ["5", "5"],
        "temperatures": ["70", "71"],
        "temperature_unit": "F",
        "unit": "psi",
    }
    found = judged(plans.PRESSURE_LOSS, warm)
    published(TRADE, found.value, "0.037", kind="derived")


def test_a_tenth_of_a_psi_in_five_minutes_is_24_standard_cubic_centimeters_a_minute() -> None:
    raw = {"minutes": ["0", "5"], "pressures": ["5", "4.9"], "unit": "psi"}
    found = judged(plans.PRESSURE_LOSS, raw)
    assert (found.value, found.verdict) == ("0.1", "pass")
    published(TRADE, found.detail["rate"], "24", kind="derived")


@pytest.mark.parametrize(
    ("go", "turns", "verdict", "why"),
    [
        ("yes", "3", "pass", ""),
        ("yes", "3.25", "fail", "no-go enters too far"),
        ("no", "0", "fail", "go does not enter"),
        ("no", "4", "fail", "both"),
    ],
)
def test_a_thread_is_judged_by_both_plugs(go: str, turns: str, verdict: str, why: str) -> None:
    found = judged(plans.THREAD_GAUGE, {"go": go, "no_go_turns": turns})
    published(B1_2, [found.verdict, found.detail["why"]], [verdict, why], kind="memory")


@pytest.mark.parametrize(
    ("turns", "verdict", "too"),
    [("1", "pass", ""), ("-1.0", "pass", ""), ("1.25", "fail", "large"), ("-1.5", "fail", "small")],
)
def test_a_taper_thread_may_be_one_turn_off_the_notch(turns: str, verdict: str, too: str) -> None:
    found = judged(plans.TAPER_TURNS, {"turns": turns})
    published(B1_20_1, [found.verdict, found.detail["too"]], [verdict, too], kind="memory")


def test_a_shaft_of_40_splines_clears_a_bore_of_1_82() -> None:
    """(1.82 - 1.708) / 2: room all round, less what the bore is off."""
    shaft = {"shaft_diameter": "1.7083"}
    raw = {"z": ["4", "16", "28"], "x": ["0", "0.03", "0"], "y": ["0", "0.04", "0"], "bore": ["1.82"] * 3}
    found = judged(plans.SHAFT_CLEARANCE, raw, parameters=shaft)
    published(B92, float(found.detail["clearances"][0]), 0.05585, tolerance=1e-12, kind="memory")
    assert (found.detail["where"], found.verdict) == ("16", "fail")
    assert float(found.value) == pytest.approx(0.00585, abs=1e-12)


def test_a_flat_face_cut_askew_is_scrap() -> None:
    """Common practice, no source: 0.004 in over 8 in is 0.006 over 12, twice what is allowed, and flat."""
    askew = [[x, y, f"{2.5 + float(x) * 0.0005:.4f}"] for x, y, _z in FACE]
    raw = {"face": askew, "left": LEFT, "right": RIGHT}
    limits = {"lower": None, "upper": "0.003", "parameters": {"quantity": "parallelism", "over": "12"}}
    found = judged(plans.FACE_TO_AXIS, raw, **limits)
    published(TRADE, found.value, "0.006", tolerance="1e-9", kind="derived")
    assert found.verdict == "fail"
    assert judged(plans.FACE_POINTS, {"points": askew}, upper="0.004").verdict == "pass"
    distance = judged(plans.FACE_TO_AXIS, raw)
    assert distance.verdict == "pass" and float(distance.value) == pytest.approx(2.5, abs=1e-5)


@pytest.mark.parametrize(("rise", "degrees"), [(0.01, 0.0716197), (-0.01, -0.0716197)])
def test_a_nose_that_points_up_has_a_positive_pitch(rise: float, degrees: float) -> None:
    """Up is y; atan(0.01 / 8). A face whose upper edge lies nearer to A-B looks up."""
    raw = {
        "face": [[x, y, f"{2.5 - float(y) * rise / 8:.6f}"] for x, y, _z in FACE],
        "left": LEFT,
        "right": RIGHT,
    }
    asked = {"lower": "-0.5", "upper": "0.5", "unit": "°", "parameters": {"quantity": "pitch"}}
    found = judged(plans.FACE_TO_AXIS, {**raw, "unit": "in"}, **asked)
    published(TRADE, found.value, f"{degrees}", tolerance="1e-6", kind="derived")
    assert asked_of(plans.FACE_TO_AXIS, **asked).unit == "°"
