"""What a picture shows is what was measured: figures, sides, marks. Facts of geometry, no source needed."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import pytest

from inspections.pictures import Mark, housing_picture, picture_of, place_of
from inspections.pictures.face import face_picture
from inspections.pictures.figures import enlargement, shown
from inspections.pictures.housing import NAMES, anchors
from inspections.pictures.pattern import Hole, Move, pattern_picture
from inspections.pictures.runout import clock, runout_picture
from inspections.pictures.scale import round_below
from inspections.verdicts import Asked, judge
from tests.factories import LINKS_SPEC, PLAIN_SPEC
from tests.pictures.looked_at import SVG, must_be_sound, places_of, root_of, words_in
from tests.pictures.test_any_reading import Thing

UP_AND_DOWN = [("4", "0", "0.002"), ("0", "4", "0.000"), ("-4", "0", "0.002"), ("0", "-4", "0.000")]


def hatched(svg: ElementTree.Element) -> list[tuple[float, float]]:
    """Every place of the hatching: the one path that has level strokes alone."""
    paths = [path.attrib["d"] for path in svg.iter(f"{SVG}path")]
    level = [d for d in paths if "H" in d and "L" not in d and "V" not in d]
    return [place for d in level for place in places_of(d)]


def test_what_is_high_is_hatched_and_what_is_low_is_blank() -> None:
    points = [
        [f"{5 * math.cos(a):.4f}", f"{5 * math.sin(a):.4f}", "0.003" if math.cos(a) > 0 else "0"]
        for a in [math.radians(15 + 30 * place) for place in range(12)]
    ]
    picture = face_picture(points, [0, 5], (0, 0, 1))
    places = hatched(root_of(picture))
    assert places
    assert min(x for x, _y in places) > 225, "the left half is low"
    mirrored = [[f"-{x}" if not x.startswith("-") else x[1:], y, z] for x, y, z in points]
    places = hatched(root_of(face_picture(mirrored, [0, 5], (0, 0, 1))))
    assert max(x for x, _y in places) < 255, "now the right half is"


def test_a_face_names_the_points_that_hold_its_zone() -> None:
    raw = {"points": [list(point) for point in UP_AND_DOWN]}
    judged = judge(Asked("face_points", "in", None, "0.005"), raw)
    picture = picture_of(Thing("face_points"), raw, judged.detail, None, "0.005", judged.value)
    assert picture is not None
    assert "0.002 in out of flat: highest at point 1, 3, lowest at point 2, 4." in picture.alt
    assert "It may be 0.005 in." in picture.alt


@pytest.mark.parametrize(("hour", "opposite"), [(0, "6 o'clock"), (3, "9 o'clock"), (8, "2 o'clock")])
def test_a_bent_tube_is_pressed_at_its_high_side_by_its_eccentricity(hour: int, opposite: str) -> None:
    # A round section off by e swings the indicator by 2e, so half of the movement is to be pressed out.
    readings = [f"{0.05 * math.cos(2 * math.pi * (place - hour) / 12):.5f}" for place in range(12)]
    raw = {"readings": readings}
    judged = judge(Asked("runout", "in", None, "0.03", setup={"section": "turning"}), raw)
    picture = picture_of(Thing("runout", part="tubes"), raw, judged.detail, None, "0.03", judged.value)
    assert picture is not None
    assert f"press 0.05000 in at {clock(hour)}, towards {opposite}" in picture.alt
    assert "shop's procedure" in picture.caption


def test_nothing_is_pressed_where_it_passes_or_where_the_set_up_cannot_see_it() -> None:
    raw = {"readings": ["0", "0.05", "0.1", "0.05"]}
    for upper, setup in (("0.2", {}), ("0.03", {"section": "in_v_block"})):
        judged = judge(Asked("runout", "in", None, upper, setup=setup), raw)
        picture = picture_of(Thing("runout", part="tubes"), raw, judged.detail, None, upper, judged.value)
        assert picture is not None
        assert "press 0" not in picture.alt + picture.caption
        assert ("nothing is said about pressing" in picture.caption) == (upper == "0.03")


def test_a_hole_outside_is_a_cross_and_is_named() -> None:
    holes = [Hole((x, y), (0.001, 0.0), True) for x, y in ((4, 0), (0, 4), (-4, 0))]
    inside = pattern_picture(holes, 0.015)
    outside = pattern_picture([*holes, Hole((0, -4), (0.0, 0.02), False)], 0.015)
    assert "Outside" not in inside.alt
    assert "Outside: hole 4." in outside.alt
    # A cross is two strokes, each from corner to corner; a zone and a dot are rings.
    crosses = [d for d in _paths(outside) if d.count("M") == 2 and d.count("L") == 2]
    assert len([d for d in crosses if len({x for x, _y in places_of(d)}) == 2]) == 2, "with its blank edge"


def _paths(picture: object) -> list[str]:
    return [path.attrib["d"] for path in root_of(picture).iter(f"{SVG}path")]  # type: ignore[arg-type]


def test_a_pattern_turned_as_a_whole_says_what_the_best_move_would_leave() -> None:
    centers = [[f"{4 * math.cos(a):.4f}", f"{4 * math.sin(a):.4f}"] for a in (0.3, 1.9, 3.5, 5.0)]
    turn = math.radians(0.25)
    made = [
        [
            f"{float(x) * math.cos(turn) - float(y) * math.sin(turn):.4f}",
            f"{float(x) * math.sin(turn) + float(y) * math.cos(turn):.4f}",
        ]
        for x, y in centers
    ]
    thing = Thing("hole_pattern", part="holes", parameters={"centers": centers})
    judged = judge(Asked("hole_pattern", "in", None, "0.015", thing.parameters), {"holes": made})
    picture = picture_of(thing, {"holes": made}, judged.detail, None, "0.015", judged.value)
    assert picture is not None
    assert judged.verdict == "fail"
    assert "turned by 0.250°" in picture.alt
    left = float(picture.alt.rpartition("then need ")[2].split()[0])
    assert left <= 0.0002, "only the rounding of the coordinates"


def test_the_move_is_shown_only_where_a_hole_is_outside() -> None:
    holes = [Hole((x, 0), (0.001, 0.0), True, (0.0, 0.0)) for x in (-4, 0, 4)]
    picture = pattern_picture(holes, 0.015, move=Move(0.1, (0.001, 0.0), 0.0))
    assert "turned" not in picture.alt


def test_the_least_clearance_is_marked_where_it_is() -> None:
    raw = {
        "z": ["0", "10", "20"],
        "x": ["0", "0.01", "0"],
        "y": ["0", "-0.05", "0"],
        "bore": ["2", "2", "2"],
    }
    thing = Thing("shaft_clearance", part="ends", parameters={"shaft_diameter": "1.75"})
    judged = judge(Asked("shaft_clearance", "in", "0.020", None, thing.parameters), raw)
    picture = picture_of(thing, raw, judged.detail, "0.020", None, judged.value)
    assert picture is not None
    # 2/2 - 1.75/2 - sqrt(0.01² + 0.05²) = 0.0740
    assert "least clearance is 0.07 in, at station 10 in" in picture.alt or "0.074" in picture.alt


def test_a_pressure_that_falls_with_its_temperature_alone_loses_nothing() -> None:
    # The ideal gas law: p1 T1 = p2 T2 at constant volume, absolute.
    warm, cold, air = 529.67, 519.67, 14.696
    fallen = (4 + air) * cold / warm - air
    raw = {
        "minutes": ["0", "5"],
        "pressures": ["4.000", f"{fallen:.3f}"],
        "temperatures": ["70", "60"],
        "temperature_unit": "F",
        "unit": "psi",
    }
    picture = picture_of(Thing("pressure_loss", "psi", "fittings"), raw, {}, None, "0.1")
    assert picture is not None
    assert any(words.strip("-").startswith("0.00") for words in words_in(picture))


def test_a_pressure_that_rises_is_not_drawn_as_a_loss() -> None:
    # A loss below nothing is a gain: the sign stands as it is beside the verdict.
    for last, found in (("3.913", "0.087 psi"), ("4.087", "-0.087 psi")):
        raw = {"minutes": ["0", "5"], "pressures": ["4.000", last], "unit": "psi"}
        judged = judge(Asked("pressure_loss", "psi", None, "0.1", parameters={"over_minutes": "5"}), raw)
        picture = picture_of(Thing("pressure_loss", "psi", "fittings"), raw, judged.detail, None, "0.1")
        assert picture is not None
        assert found in words_in(picture)


def test_every_characteristic_has_its_place_on_the_sheet() -> None:
    assert place_of("journal_left", "ends") == "left_end"
    assert place_of("tube_runout_right", "tubes") == "right_tube"
    assert place_of("snout_root_left", "welds") == "left_weld"
    assert place_of("ribs", "welds") == "center"
    assert place_of("hole_7", "holes") == "holes"
    assert place_of("something_else", "nowhere") == "whole"
    for spec in (PLAIN_SPEC, LINKS_SPEC, {**LINKS_SPEC, "center_offset": "-20", "width": "40"}):
        spots = anchors(spec)
        assert set(spots) == set(NAMES)
        assert all(0 < x < 480 and 0 < y < 440 for x, y in spots.values())


@pytest.mark.parametrize("spec", [PLAIN_SPEC, LINKS_SPEC, {**LINKS_SPEC, "width": "120"}])
def test_the_map_leads_to_each_place_by_a_link_with_a_name(spec: dict[str, str]) -> None:
    marks = {
        name: Mark(state, "12/12", "12 of 12 stand", f"/h/AX1/place/{name}/")
        for name, state in zip(NAMES, ["pass", "fail", "undecided", "open"] * 3, strict=False)
    }
    picture = housing_picture(spec, marks)
    must_be_sound(picture)
    links = list(root_of(picture).iter(f"{SVG}a"))
    assert [link.attrib["href"] for link in links] == [f"/h/AX1/place/{name}/" for name in NAMES]
    assert all(link.attrib["aria-label"] for link in links)
    assert root_of(picture).attrib["role"] == "group"
    assert root_of(housing_picture(spec)).attrib["role"] == "img"


def test_touch_targets_do_not_overlap() -> None:
    # On a phone the sheet is 328 points wide: 48 points apart are 70 units (WCAG 2.2, 2.5.8 asks 24 points).
    for spec in (PLAIN_SPEC, LINKS_SPEC):
        spots = list(anchors(spec).values())
        nearest = min(math.dist(a, b) for row, a in enumerate(spots) for b in spots[:row])
        assert nearest >= 48


def test_enlargements_are_round_and_fit() -> None:
    for length in (1e-6, 0.00037, 0.5, 3.0, 400.0):
        factor = enlargement(100, length)
        assert 20 < factor * length <= 100.001
        assert float(f"{factor:.0e}") == pytest.approx(factor)
    assert round_below(0.0701) == 0.05


def test_a_figure_stands_on_its_own_side_of_the_limit() -> None:
    assert shown("0.0050004", 4, None, "0.005") == "0.0050004"


def test_words_of_a_characteristic_cannot_break_out_of_a_picture() -> None:
    picture = runout_picture([0.0, 0.1, 0.2], unit="<script>&\"'", upper="0.5")
    must_be_sound(picture)
    assert "<script" not in picture.svg
