"""The demo's raw files come from one geometry: what one gauge reads agrees with what another one does."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from fixtures_demo import gauging
from fixtures_demo.gauging import Hand
from fixtures_demo.shape import SIDES, End, Face, Shape
from fixtures_demo.shop_work import as_cut, work
from housings.engineering.spec import Spec, spec_from
from inspections import metrology
from inspections.metrology import Bar, axis_from_journals
from inspections.planning.bolt_circle import hole_centers

CENTERS = hole_centers(12, "9.500", 15.0)
BAR = Bar("1.5", (-27, 27), ends=(-36, 36))


def spec() -> Spec:
    return spec_from(
        {
            "tube_od": "4",
            "tube_wall": "0.375",
            "tube_grade": "4130",
            "tube_condition": "normalised",
            "plate_grade": "4130",
            "armor_thickness": "0.25",
            "snout_size": "3.25",
            "snout_grade": "4140",
            "shaft": "40",
            "width": "72",
            "links": True,
            "bracket_offset": "18",
            "pinion_angle": "3",
        }
    )


def hand(seed: object = 1) -> Hand:
    return Hand(random.Random(f"geometry {seed}"))


def shape(**changes: object) -> Shape:
    ends = {side: End(up=0.09, forward=-0.03, bow=-0.02, journal=3.24925) for side in SIDES}
    holes = tuple((0.001, -0.0005) for _ in CENTERS)
    made = Shape(72.0, 3.25, 2.6, ends, Face(rise=0.0011, pitch=0.02), pilot=0.0012, holes=holes)
    return replace(made, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize("asked", [0.0015, 0.0045, 0.02, 0.08])
@pytest.mark.parametrize("saddle", [0.0, 0.6, 1.0])
def test_a_face_is_as_flat_as_was_asked(asked: float, saddle: float) -> None:
    face = Face(distance=2.56, rise=0.004, pitch=0.05, flatness=asked, saddle=saddle, turned=33)
    points = gauging.form(face)
    assert len(points) == 24
    # Tilt of a thousandth or so foreshortens the zone by less than a millionth of it.
    assert float(metrology.flatness(points).deviation) == pytest.approx(asked, rel=1e-5)


def test_probe_and_drawing_see_one_housing() -> None:
    made = shape()
    sheet = gauging.probe(made, hand(), CENTERS).features
    axis = axis_from_journals(sheet["left"], sheet["right"])
    found = metrology.face_to_axis(sheet["face"], axis)
    assert found.distance == pytest.approx(made.face.distance, abs=0.0002)
    assert found.rise / 10.1 * 12 == pytest.approx(made.face.rise, abs=0.0002)
    assert found.parallelism >= float(metrology.flatness(sheet["face"]).deviation)
    pilot = metrology.pilot_to_axis(sheet["bore"], axis, normal=found.normal)
    # The bore runs square to the face, so a pitched face carries it past A-B by its depth times the pitch.
    carried = (made.face.distance - 0.25) * math.tan(math.radians(made.face.pitch))
    assert pilot.offset == pytest.approx(made.pilot + carried, abs=0.0002)
    assert 2 * pilot.radius == pytest.approx(made.pilot_bore, abs=0.0002)
    assert axis.length == pytest.approx(2 * made.reach, abs=0.0002)


def test_a_pattern_is_as_far_off_as_it_was_drilled() -> None:
    sheet = gauging.probe(shape(), hand(), CENTERS).features
    for nominal, actual in zip(CENTERS, sheet["holes"], strict=True):
        found = metrology.hole_position(nominal, actual[:2], "0.015")
        assert float(found.deviation) == pytest.approx(2 * (0.001**2 + 0.0005**2) ** 0.5, abs=0.0005)


def test_the_bar_shows_where_the_ends_point_once_its_sag_is_out() -> None:
    rows = gauging.along_the_bar(shape(), BAR, hand())
    z, x, y = (list(column) for column in zip(*rows, strict=True))
    found = metrology.end_alignment(z, x, y, BAR)
    sagging = metrology.end_alignment(z, x, y)
    assert found.left and found.right and sagging.right
    for end in (found.left, found.right):
        # An end that points up leans the wheel in; the bow of the tube ends before the snout.
        assert end.camber == pytest.approx(-0.09, abs=0.004)
        assert end.toe == pytest.approx(-0.03, abs=0.004)
    assert abs(sagging.right.camber - found.right.camber) > 0.01


def test_the_indicator_sees_twice_what_the_bar_shows() -> None:
    made = shape()
    for side, sign in (("left", -1), ("right", 1)):
        readings = gauging.tube_runout(made, side, hand(side))
        forward, up = made.center(sign * gauging.TUBE_STATION * made.width)
        fim = float(metrology.circular_runout(readings).fim)
        assert len(readings) == 12 and readings[0] == "0.000"
        # Full movement is twice the eccentricity; the oval and the thousandths of the dial do the rest.
        assert fim == pytest.approx(2 * (forward**2 + up**2) ** 0.5, abs=0.004)


def test_journals_run_nearly_true_and_bores_leave_the_shaft_room() -> None:
    made = shape()
    readings = gauging.journal_runout(made, "left", hand())
    assert float(metrology.circular_runout(readings).fim) == pytest.approx(0.002, abs=0.0004)
    rows = gauging.bores(made, "right", hand())
    z, x, y, bore = (list(column) for column in zip(*rows, strict=True))
    room = metrology.shaft_clearance(z, x, y, bore, "1.708")
    assert 0.4 < room.least < 0.45  # (2.60 - 1.708) / 2, less what the end is bent


@pytest.mark.parametrize("loss", [0.02, 0.03, 0.12])
def test_a_pressure_log_loses_what_was_asked_whatever_the_warmth(loss: float) -> None:
    rows = gauging.pressure_log(shape(loss=loss), hand(loss))
    pascals = [(float(pressure) + 14.7) * 6894.757 for _minute, pressure, _warm in rows]
    kelvins = [(float(warm) + 459.67) / 1.8 for _minute, _pressure, warm in rows]
    seconds = [60 * int(minute) for minute, _pressure, _warm in rows]
    found = metrology.leak_rate(pascals, kelvins, seconds, "0.018")
    per_five_minutes = found.rate * 300 / 0.018 / 6894.757
    # A tenth of a degree, the last digit of the thermometer, is 0.0035 psi.
    assert per_five_minutes == pytest.approx(loss, abs=0.005)


def test_the_shop_moves_the_metal_by_what_the_trade_knows() -> None:
    """Magnitudes: common practice, no source; computed ones from the classic formulas."""
    chance = random.Random("the shop")
    made = as_cut(spec(), chance)
    for station in ("tack", "truss", "brackets", "snouts"):
        made = work(made, station, spec(), chance, {})
    assert made.width == pytest.approx(72, abs=0.015)
    assert 0.02 <= made.face.flatness <= 0.08
    made = work(made, "face_and_drill", spec(), chance, {})
    assert 0.001 <= made.face.flatness <= 0.003 and made.face.thickness > 0.4375
    made = work(made, "armor", spec(), chance, {})
    assert 0.003 <= made.face.flatness <= 0.006
    for side, sign in (("left", -1), ("right", 1)):
        fim = float(metrology.circular_runout(gauging.tube_runout(made, side, hand(side))).fim)
        assert 0.05 <= fim <= 0.15, (side, sign)
