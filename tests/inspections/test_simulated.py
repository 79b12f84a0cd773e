"""What a pretended gauge says of each kind, and what a file of each kind gives; both judged by the engine.

Expected of a simulated run is design: it is taken by the engine and lies within the limits. Of a file the raw
readings are written out, column by column.
"""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Visit
from inspections.forms.from_file import FileForm, shape_of
from inspections.forms.readings.kinds import sheet_class_of
from inspections.measuring import Measuring
from inspections.models import Characteristic
from inspections.models.plans import (
    DIAMETERS,
    END_ALIGNMENT,
    FACE_POINTS,
    FACE_TO_AXIS,
    GO_NO_GO,
    HOLE_CENTER,
    HOLE_PATTERN,
    PILOT_TO_AXIS,
    PRESSURE_LOSS,
    RUNOUT,
    SHAFT_CLEARANCE,
    SIZE,
)
from inspections.probe_files import Unreadable, read
from inspections.simulated import simulated_raws
from inspections.verdicts import Asked, judge

STATION = "final_inspection"
CENTERS = [["5", "0"], ["0", "5"], ["-5", "0"], ["0", "-5"]]


def one(
    code: str, kind: str, lower: str | None, upper: str | None, unit: str = "in", **more: Any
) -> Characteristic:
    due = [{"station": STATION, "lower": lower, "upper": upper}]
    return Characteristic(
        pk=hash(code) % 10**6,
        code=code,
        name=code,
        kind=kind,
        part="face",
        unit=unit,
        parameters=more,
        due=due,
    )


def measuring(*characteristics: Characteristic) -> Measuring:
    return Measuring(Visit(station=STATION), characteristics)


FACE = measuring(
    one("face_flatness", FACE_POINTS, None, "0.005", points_at_least=12, taken_with="face"),
    one("face_distance", FACE_TO_AXIS, "2.495", "2.505", quantity="distance", taken_with="face"),
    one(
        "face_parallelism", FACE_TO_AXIS, None, "0.003", quantity="parallelism", over="12", taken_with="face"
    ),
    one("pilot_center", PILOT_TO_AXIS, None, "0.005", taken_with="face"),
)
BAR = measuring(
    *(
        one(f"{angle}_{end}", END_ALIGNMENT, low, high, "°", quantity=f"{angle}_{end}", taken_with="bar")
        for end in ("left", "right")
        for angle, low, high in (("camber", "-0.1", "0.1"), ("toe", "-0.05", "0.05"))
    )
)
ALONE = {
    "size": one("width", SIZE, "61.47", "61.53"),
    "greatest": one("gap", SIZE, None, "0.06"),
    "in_mm": one("plate", SIZE, "6.2", "6.5", "mm"),
    "runout": one("journal", RUNOUT, None, "0.005", points_at_least=12),
    "hole": one("hole_1", HOLE_CENTER, None, "0.015", nominal_x="4.5", nominal_y="-1.25"),
    "pattern": one("holes", HOLE_PATTERN, None, "0.015", centers=CENTERS),
    "diameters": one("journal_left", DIAMETERS, "2.4985", "2.4995", points_at_least=4),
    "bores": one("shaft_left", SHAFT_CLEARANCE, "0.02", None, shaft_diameter="1.75"),
    "pressure": one("leak", PRESSURE_LOSS, None, "0.1", "psi", volume="18", over_minutes="5"),
}


def verdicts(of: Measuring, raws: dict[str, Any]) -> dict[str, str]:
    made = {}
    for c in of.characteristics:
        due = of.due(c)
        asked = Asked(c.kind, c.unit, due.lower, due.upper, c.parameters)
        made[c.code] = judge(asked, raws[c.code]).verdict
    return made


@pytest.mark.parametrize("of", [FACE, BAR, *map(measuring, ALONE.values())], ids=["face", "bar", *ALONE])
@pytest.mark.parametrize("serial", ["AX000001MN", "AX000002QP", "KR000123H7"])
def test_a_simulated_run_of_every_kind_lies_within_its_limits(of: Measuring, serial: str) -> None:
    raws = simulated_raws(of, serial)
    assert verdicts(of, raws) == dict.fromkeys((c.code for c in of.characteristics), "pass")
    assert simulated_raws(of, serial) == raws
    # The form takes it and gives it back: nothing of it is lost between the two.
    assert sheet_class_of(of)(of).initial(raws)


def test_another_housing_is_another_run() -> None:
    assert simulated_raws(FACE, "AX000001MN") != simulated_raws(FACE, "AX000002QP")


def test_what_is_looked_at_is_neither_simulated_nor_read_from_a_file() -> None:
    look = measuring(one("clean", GO_NO_GO, None, None))
    assert simulated_raws(look, "AX000001MN") == {} and shape_of(look) is None


def raws(of: Measuring, content: str, **given: str) -> dict[str, Any]:
    shape = shape_of(of)
    assert shape is not None
    return FileForm(of, shape, read(content.encode()), {"file": "a" * 64, **given}, {}).raws()


def test_one_file_of_an_arm_gives_every_figure_of_the_face() -> None:
    face = [f"Face;{x};{y};2,5" for x, y in ((5, 0), (0, 5), (-5, 0), (0, -5))]
    lines = [
        "Feature;x [in];y [in];z [in]",
        *face,
        "LH;-28;0;0",
        "RH;28;0;0",
        "Pilot bore;3;0;2,4",
        "bore;0;3;2,4",
    ]
    found = raws(FACE, "\n".join(lines))
    points = [["5", "0", "2.5"], ["0", "5", "2.5"], ["-5", "0", "2.5"], ["0", "-5", "2.5"]]
    left, right = [["-28", "0", "0"]], [["28", "0", "0"]]
    assert found["face_flatness"] == {"points": points, "unit": "in"}
    assert found["face_distance"] == {"face": points, "left": left, "right": right, "unit": "in"}
    assert found["pilot_center"] == {
        "bore": [["3", "0", "2.4"], ["0", "3", "2.4"]],
        "left": left,
        "right": right,
        "face": points,
        "unit": "in",
    }


def test_a_file_of_the_face_alone_gives_what_it_can() -> None:
    few = "x [in],y [in],z [in]\n5,0,2.5\n0,5,2.5\n-5,0,2.5\n"
    with pytest.raises(Unreadable, match="Say which of these the file is of: face, left, right, bore"):
        raws(FACE, few)
    assert list(raws(FACE, few, called="face")) == ["face_flatness"]
    with pytest.raises(Unreadable, match="It has nothing of: the face"):
        raws(FACE, few, called="left")
    # As many points as a face has at least are taken for a face until somebody says otherwise.
    assert list(raws(FACE, few + "5,0,2.5\n" * 9)) == ["face_flatness"]


@pytest.mark.parametrize(
    ("of", "content", "expected"),
    [
        ("size", "value [mm]\n1562,1\n", {"value": "1562.1", "unit": "mm"}),
        ("hole", "x [in];y [in]\n4.501;-1.25\n", {"x": "4.501", "y": "-1.25", "unit": "in"}),
        (
            "pattern",
            "hole,x [in],y [in]\n2,0,5.0\n1,5.0,0\n3,-5,0\n4,0,-5\n",
            {"holes": [["5.0", "0"], ["0", "5.0"], ["-5", "0"], ["0", "-5"]], "unit": "in"},
        ),
        ("diameters", "diameter [in]\n2.4991\n2.4992\n", {"values": ["2.4991", "2.4992"], "unit": "in"}),
        (
            "bores",
            "z [in];x [in];y [in];bore [in]\n10;0;0;1,82\n20;0;0,01;1,82\n",
            {"z": ["10", "20"], "x": ["0", "0"], "y": ["0", "0.01"], "bore": ["1.82", "1.82"], "unit": "in"},
        ),
        (
            "pressure",
            "minutes;kPa;temperature [°C]\n0;34,5;21\n5;34,4;21\n",
            None,
        ),
        (
            "pressure",
            "minutes;pressure [kPa];temperature [°C]\n0;34,5;21\n5;34,4;21\n",
            {
                "minutes": ["0", "5"],
                "pressures": ["34.5", "34.4"],
                "unit": "kPa",
                "temperatures": ["21", "21"],
                "temperature_unit": "C",
            },
        ),
    ],
)
def test_a_file_of_each_kind_gives_its_raw_reading(
    of: str, content: str, expected: dict[str, Any] | None
) -> None:
    if expected is None:
        with pytest.raises(Unreadable, match="The column pressure cannot be found"):
            raws(measuring(ALONE[of]), content)
        return
    assert raws(measuring(ALONE[of]), content) == {ALONE[of].code: expected}


def test_a_rolled_bar_is_read_from_two_further_columns() -> None:
    head = "z [in],x [in],y [in],rolled x [in],rolled y [in]"
    found = raws(BAR, f"{head}\n-28,0.01,0.02,-0.01,-0.02\n28,0.01,0.02,-0.01,-0.02\n")
    assert found["toe_right"]["rolled_x"] == ["-0.01", "-0.01"]
    assert sheet_class_of(BAR).way_of(found) == "rolled"


@pytest.mark.parametrize(
    ("of", "content", "says"),
    [
        ("size", "value [in]\n61.5\n61.6\n", "width takes at most 1"),
        ("hole", "x [in],y [in]\n4.5,1\n4.6,1\n", "hole_1 takes at most 1"),
        ("pattern", "x [in],y [in]\n" + "4.5,1\n" * 5, "holes takes at most 4"),
        ("diameters", "diameter [in]\n" + "2.4991\n" * 5, "journal_left takes at most 4"),
        ("runout", "reading\n0.001\n0.002\n", "inches or in mm"),
        ("pressure", "minutes;pressure;temperature\n0;5;70\n5;4.9;70\n", "in °F or in °C"),
    ],
)
def test_what_does_not_fit_a_kind_is_said(of: str, content: str, says: str) -> None:
    with pytest.raises(Unreadable, match=says):
        raws(measuring(ALONE[of]), content)
