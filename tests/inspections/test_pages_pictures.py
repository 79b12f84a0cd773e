"""Pages that show pictures: the map of a housing, its places, one reading, the machinist's page."""

from __future__ import annotations

import uuid

import pytest

from housings.models import Housing
from housings.operations.visits import leave_station
from inspections.models import Reading
from inspections.operations.nonconformances import dispose
from inspections.pages.facing import depth_words
from inspections.pictures.housing import NAMES
from tests.factories import LINKS_SPEC, Floor
from tests.inspections.conftest import SignedIn
from tests.inspections.test_facing_plan import REACH, Points, flat_face, journal

STATION = "face_and_drill"
JACKS = {"x_0": "0", "y_0": "-9", "x_1": "-24", "y_1": "6", "x_2": "24", "y_2": "6"}


def probed(floor: Floor, housing: Housing, face: Points, thickness: str | None = "0.500") -> None:
    """Record a probing of face and journals, and the thickness of the ring."""
    as_text = {
        name: [[f"{part:.5f}" for part in point] for point in points]
        for name, points in (("face", face), ("left", journal(-REACH)), ("right", journal(REACH)))
    }
    distance = floor.characteristic(housing, "face_distance")
    floor.record(housing, floor.reading(housing, distance, STATION, raw=as_text))
    if thickness:
        ring = floor.characteristic(housing, "face_thickness")
        floor.record(housing, floor.reading(housing, ring, STATION, raw={"value": thickness}))


def test_the_map_of_a_housing_leads_to_places_with_pictures(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="final_inspection", spec=LINKS_SPEC)
    floor.measure_due(housing, "final_inspection", only=("face_flatness", "tube_runout_left"))
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    places = [link for link in worker.page.links if link.startswith(f"/h/{housing.serial}/place/")]
    assert {link.split("/")[-2] for link in places} == set(NAMES)
    for link in places:
        answer = worker.get(link)
        assert answer.status_code == 200
    worker.get(f"/h/{housing.serial}/place/face/")
    assert "Hatched is high, blank is low" in worker.page.text
    assert f"/h/{housing.serial}/readings/face_thickness/" in worker.page.links
    owner = signed_in("O1")
    owner.get(f"/h/{housing.serial}/place/face/")
    assert f"/h/{housing.serial}/readings/face_thickness/" not in owner.page.links


def test_a_place_that_no_housing_has_is_no_page(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing()
    assert signed_in("W1").get(f"/h/{housing.serial}/place/cellar/").status_code == 404


def test_a_reading_shows_its_picture_and_what_was_typed(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    floor.work(housing, STATION)
    floor.measure_due(housing, STATION, only=("face_flatness",))
    reading = Reading.objects.get(housing=housing, characteristic__code="face_flatness")
    worker = signed_in("W1")
    answer = worker.get(f"/h/{housing.serial}/measured/{reading.pk}/")
    assert answer.status_code == 200
    assert 'class="picture"' in answer.content.decode()
    assert "What was typed" in worker.page.text
    assert worker.get(f"/h/{housing.serial}/measured/{uuid.uuid4()}/").status_code == 404
    worker.get(f"/h/{housing.serial}/measured/")
    assert f"/h/{housing.serial}/measured/{reading.pk}/" in worker.page.links


def test_a_reading_of_another_housing_is_not_shown_here(floor: Floor, signed_in: SignedIn) -> None:
    one, other = floor.housing(until=STATION), floor.housing()
    reading = Reading.objects.filter(housing=one).first()
    assert reading is not None
    assert signed_in("W1").get(f"/h/{other.serial}/measured/{reading.pk}/").status_code == 404


def test_without_a_probing_the_machinist_is_told_what_to_measure(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    machinist = signed_in("M1")
    machinist.get(f"/h/{housing.serial}/")
    assert f"/h/{housing.serial}/facing/" in machinist.page.links
    assert machinist.get(f"/h/{housing.serial}/facing/").status_code == 200
    assert f"/h/{housing.serial}/readings/face_distance/" in machinist.page.links
    assert f"/h/{housing.serial}/readings/face_thickness/" in machinist.page.links


def test_a_face_that_can_be_saved_says_how_deep_and_what_is_left(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    probed(floor, housing, flat_face(2.535))
    machinist = signed_in("M1")
    machinist.get(f"/h/{housing.serial}/facing/")
    text = machinist.page.text
    assert "It can be saved" in text
    # 2.535 to 2.505 and on to 2.495; 0.500 - 0.030 left, 1.07 diameters of a 7/16 thread.
    assert "A cut from 0.030 to 0.040 in deep" in text
    assert "0.4700" in text
    assert "1.07" in text
    assert "safe to use" in text


@pytest.mark.parametrize(
    ("least", "most"),
    [(0.07134, 0.07258), (0.0299999, 0.0400001), (0.0712, 0.0716), (0.03, 0.03), (0.0, 0.01)],
)
def test_no_depth_that_is_read_is_outside_what_is_safe(least: float, most: float) -> None:
    # Common practice, no source: a least is rounded up and a most is rounded down, or the ring gets too thin.
    low, high = (float(words) for words in depth_words(least, most))
    assert least - 1e-9 <= low <= high <= most + 1e-9


def test_jacks_are_typed_once_and_kept(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    probed(floor, housing, flat_face(2.535))
    machinist = signed_in("M1")
    assert machinist.client.post(f"/h/{housing.serial}/facing/", JACKS).status_code == 302
    machinist.get(f"/h/{housing.serial}/facing/")
    assert "Shim under it" in machinist.page.text
    other = floor.housing(until=STATION)
    probed(floor, other, flat_face(2.520))
    machinist.get(f"/h/{other.serial}/facing/")
    assert "Shim under it" in machinist.page.text


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ({"x_0": "1,5", "y_0": ""}, "A jack has both, x and y."),
        ({"x_0": "one", "y_0": "2"}, "one is no number."),
        ({**JACKS, "x_2": "", "y_2": ""}, "three jacks at least"),
        ({**JACKS, "x_0": "99999"}, "No jack stands that far away"),
    ],
)
def test_jacks_that_are_no_places_are_refused_and_kept_on_the_page(
    floor: Floor, signed_in: SignedIn, typed: dict[str, str], why: str
) -> None:
    housing = floor.housing(until=STATION)
    probed(floor, housing, flat_face(2.535))
    machinist = signed_in("M1")
    answer = machinist.client.post(f"/h/{housing.serial}/facing/", typed)
    assert answer.status_code == 422
    assert why in answer.content.decode().replace("&quot;", '"')
    assert f'value="{typed["x_0"]}"' in answer.content.decode()


def test_jacks_in_one_line_level_nothing(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    probed(floor, housing, flat_face(2.535))
    machinist = signed_in("M1")
    in_line = {"x_0": "-20", "y_0": "0", "x_1": "0", "y_1": "0", "x_2": "20", "y_2": "0"}
    machinist.client.post(f"/h/{housing.serial}/facing/", in_line)
    machinist.get(f"/h/{housing.serial}/facing/")
    assert "stand in one line" in machinist.page.text


def test_a_face_that_cannot_be_saved_says_what_forbids_it(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    probed(floor, housing, flat_face(2.535), thickness="0.455")
    machinist = signed_in("M1")
    machinist.get(f"/h/{housing.serial}/facing/")
    assert "It cannot be saved by a cut" in machinist.page.text
    assert "the thickness that must be left" in machinist.page.text
    assert f"/h/{housing.serial}/problem/" in machinist.page.links


def test_after_the_cut_what_came_out_stands_beside_the_plan(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    probed(floor, housing, flat_face(2.535))
    floor.work(housing, STATION)
    machinist = signed_in("M1")
    machinist.get(f"/h/{housing.serial}/facing/")
    assert "Nothing of the face is measured since the cut." in machinist.page.text
    probed(floor, housing, flat_face(2.502), thickness="0.4665")
    machinist.get(f"/h/{housing.serial}/facing/")
    text = machinist.page.text
    assert "What came out" in text
    # Planned 2.505 and 0.470 left; found 2.502 and 0.4665.
    assert "-0.003 in" in text
    assert "-0.004 in" in text or "-0.003 in" in text


def test_a_skim_cut_later_is_planned_from_what_was_probed_for_it(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="final_inspection")
    bent = [[f"{x:.4f}", f"{y:.4f}", f"{0.004 * (x > 0):.4f}"] for x, y, _z in flat_face(2.5)]
    bent[0][2] = "0.0150"
    floor.measure_due(housing, "final_inspection")
    flatness = floor.characteristic(housing, "face_flatness")
    floor.record(housing, floor.reading(housing, flatness, "final_inspection", raw={"points": bent}))
    floor.do(
        dispose,
        by="Q1",
        housing=housing.serial,
        nonconformance=1,
        decision="rework",
        reason="Beyond 0.005 after armor: skim cut.",
        stations=[STATION],
    )
    floor.do(leave_station, by="W1", housing=housing.serial, station="final_inspection")
    floor.walk(housing, STATION)
    machinist = signed_in("M1")
    machinist.get(f"/h/{housing.serial}/facing/")
    assert "It can be saved" in machinist.page.text, "probed at the final inspection, since the first cut"
    assert "What came out" not in machinist.page.text, "this visit has cut nothing yet"
    probed(floor, housing, flat_face(2.515), thickness="0.470")
    machinist.get(f"/h/{housing.serial}/facing/")
    assert "A cut from 0.010 to 0.020 in deep" in machinist.page.text


def test_a_route_without_facing_has_no_such_page(floor: Floor, signed_in: SignedIn) -> None:
    assert signed_in("M1").get("/h/AX000000XX/facing/").status_code == 422
