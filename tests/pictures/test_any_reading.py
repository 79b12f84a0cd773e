"""Whatever reading the engine accepts, its picture is sound: no error, no line off the sheet, no megabyte."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from inspections.pictures import picture_of
from inspections.verdicts import Asked, judge
from tests.pictures.looked_at import must_be_sound

MOST = 2000
length = st.decimals(-200, 200, allow_nan=False, allow_infinity=False, places=4).map(str)
small = st.decimals(-1, 1, allow_nan=False, allow_infinity=False, places=5).map(str)
unit = st.sampled_from(["in", "mm"])


@dataclass
class Thing:
    """What is measured, as a row of a plan has it."""

    kind: str
    unit: str = "in"
    part: str = "face"
    parameters: dict[str, Any] = field(default_factory=dict)


def drawn(thing: Thing, raw: dict[str, Any], lower: str | None = None, upper: str | None = None) -> bool:
    """Judge and draw; whether the engine took the reading."""
    asked = Asked(thing.kind, thing.unit, lower, upper, thing.parameters)
    try:
        judged = judge(asked, raw)
    except ValueError:
        return False
    picture = picture_of(thing, raw, judged.detail, lower, upper, judged.value)
    assert picture is not None
    must_be_sound(picture)
    return True


@settings(deadline=None, max_examples=50)
@given(
    points=st.lists(st.tuples(length, length, small).map(list), min_size=4, max_size=60),
    unit=unit,
    upper=st.sampled_from(["0.005", "0", "3"]),
)
def test_any_face(points: list[list[str]], unit: str, upper: str | None) -> None:
    assume(drawn(Thing("face_points"), {"points": points, "unit": unit}, None, upper))


@settings(deadline=None, max_examples=40)
@given(count=st.sampled_from([4, 5, 24, 300, MOST]), wave=st.integers(0, 40), spread=st.floats(1e-6, 1.0))
def test_a_face_of_any_number_of_points(count: int, wave: int, spread: float) -> None:
    points = []
    for place in range(count):
        angle, radius = 2 * math.pi * place / count, 4 + place % 3 / 3
        x, y, z = radius * math.cos(angle), radius * math.sin(angle), spread * math.cos(wave * angle)
        points.append([f"{x:.5f}", f"{y:.5f}", f"{z:.7f}"])
    # What the engine would say takes seconds where thousands of points lie on one bowl.
    detail = {"touching": [0, count // 2], "normal": ["0", "0", "1"]}
    picture = picture_of(Thing("face_points"), {"points": points}, detail, None, "0.005", str(2 * spread))
    assert picture is not None
    must_be_sound(picture)


@settings(deadline=None, max_examples=50)
@given(
    readings=st.lists(small, min_size=4, max_size=60),
    many=st.sampled_from([1, 1, 33]),
    part=st.sampled_from(["tubes", "ends"]),
    upper=st.sampled_from(["0", "0.03", "50"]),
    unit=unit,
)
def test_any_runout(readings: list[str], many: int, part: str, upper: str | None, unit: str) -> None:
    raw = {"readings": readings * many, "unit": unit}
    assert drawn(Thing("runout", part=part), raw, None, upper)


@settings(deadline=None, max_examples=50)
@given(
    centers=st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), min_size=1, max_size=40, unique=True),
    offs=st.lists(st.tuples(small, small), min_size=40, max_size=40),
    upper=st.sampled_from(["0.015", "0", "2"]),
)
def test_any_pattern(centers: list[tuple[int, int]], offs: list[tuple[str, str]], upper: str) -> None:
    holes = [
        [f"{x + float(dx):.5f}", f"{y + float(dy):.5f}"]
        for (x, y), (dx, dy) in zip(centers, offs, strict=False)
    ]
    thing = Thing(
        "hole_pattern", part="holes", parameters={"centers": [[str(x), str(y)] for x, y in centers]}
    )
    assert drawn(thing, {"holes": holes}, None, upper)


@settings(deadline=None, max_examples=50)
@given(x=length, y=length, upper=st.sampled_from(["0.015", "0", "9"]), unit=unit)
def test_any_hole(x: str, y: str, upper: str, unit: str) -> None:
    thing = Thing("hole_center", part="holes", parameters={"nominal_x": "4.1", "nominal_y": "-2"})
    assert drawn(thing, {"x": x, "y": y, "unit": unit}, None, upper)


@settings(deadline=None, max_examples=50)
@given(
    z=st.lists(st.integers(-35, 35), min_size=4, max_size=24, unique=True).map(sorted),
    offsets=st.lists(st.tuples(small, small), min_size=24, max_size=24),
    quantity=st.sampled_from(["camber_left", "toe_left", "camber_right", "toe_right"]),
    limits=st.sampled_from([("-0.1", "0.1"), (None, "0.05"), ("40", "44")]),
)
def test_any_ends(
    z: list[int], offsets: list[tuple[str, str]], quantity: str, limits: tuple[str | None, str | None]
) -> None:
    thing = Thing("end_alignment", "°", "ends", {"quantity": quantity})
    raw = {
        "z": [str(station) for station in z],
        "x": [x for x, _y in offsets[: len(z)]],
        "y": [y for _x, y in offsets[: len(z)]],
    }
    assume(drawn(thing, raw, *limits))


@settings(deadline=None, max_examples=30)
@given(
    z=st.lists(st.integers(0, 40), min_size=2, max_size=9, unique=True).map(sorted),
    offsets=st.lists(st.tuples(small, small), min_size=9, max_size=9),
    bore=st.decimals("0.1", 9, places=3).map(str),
    lower=st.sampled_from(["0.020", "0", "5"]),
)
def test_any_shaft(z: list[int], offsets: list[tuple[str, str]], bore: str, lower: str | None) -> None:
    thing = Thing("shaft_clearance", part="ends", parameters={"shaft_diameter": "1.75"})
    raw = {
        "z": [str(station) for station in z],
        "x": [x for x, _y in offsets[: len(z)]],
        "y": [y for _x, y in offsets[: len(z)]],
        "bore": [bore] * len(z),
    }
    assert drawn(thing, raw, lower, None)


@settings(deadline=None, max_examples=50)
@given(
    pressures=st.lists(st.decimals(0, 20, places=3).map(str), min_size=2, max_size=60),
    warm=st.one_of(st.none(), st.decimals(40, 120, places=1)),
    upper=st.sampled_from(["0.1", "0", "9"]),
    unit=st.sampled_from(["psi", "kPa"]),
)
def test_any_pressure_log(pressures: list[str], warm: Any, upper: str | None, unit: str) -> None:
    raw: dict[str, Any] = {
        "minutes": [str(minute) for minute in range(len(pressures))],
        "pressures": pressures,
        "unit": unit,
    }
    if warm is not None:
        raw["temperatures"] = [str(warm + minute) for minute in range(len(pressures))]
        raw["temperature_unit"] = "F"
    assert drawn(Thing("pressure_loss", "psi", "fittings"), raw, None, upper)


@settings(deadline=None, max_examples=50)
@given(
    heights=st.lists(small, min_size=12, max_size=12),
    distance=st.integers(2, 20),
    limits=st.sampled_from([("2.495", "2.505"), (None, "0.003")]),
    quantity=st.sampled_from(["distance", "parallelism"]),
)
def test_any_face_over_the_axis(
    heights: list[str], distance: int, limits: tuple[str | None, str | None], quantity: str
) -> None:
    turn = [2 * math.pi * place / 12 for place in range(12)]
    raw = {
        "face": [
            [f"{5 * math.cos(a):.4f}", f"{5 * math.sin(a):.4f}", f"{distance + float(z):.5f}"]
            for a, z in zip(turn, heights, strict=True)
        ],
        "left": [["-28", "0", "0"]],
        "right": [["28", "0", "0"]],
        "bore": [[f"{3.6 * math.cos(a):.4f}", f"{3.6 * math.sin(a):.4f}", "2"] for a in turn],
    }
    bore = {name: raw[name] for name in ("bore", "left", "right")}
    face = {name: raw[name] for name in ("face", "left", "right")}
    assert drawn(Thing("face_to_axis", parameters={"quantity": quantity}), face, *limits)
    assert drawn(Thing("pilot_to_axis"), bore, None, limits[1])


@given(
    kind=st.sampled_from(["face_points", "runout", "hole_pattern", "shaft_clearance", "pressure_loss"]),
    raw=st.dictionaries(
        st.sampled_from(["points", "readings", "holes", "z", "x", "y", "bore", "minutes", "pressures"]),
        st.one_of(st.text(max_size=5), st.lists(st.text(max_size=3), max_size=5), st.none()),
        max_size=4,
    ),
)
def test_half_a_reading_is_no_picture_and_no_error(kind: str, raw: dict[str, Any]) -> None:
    picture = picture_of(Thing(kind), raw, {}, None, None)
    if picture is not None:
        must_be_sound(picture)
