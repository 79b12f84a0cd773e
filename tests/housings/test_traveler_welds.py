"""What welding asks for by hand on the traveler, for a day without the system."""

from __future__ import annotations

from typing import Any

import pytest

from housings import traveler, traveler_welds
from housings.gate import Situation
from housings.models import Housing
from housings.panels import asks_of
from shopqc.rules import the_shop
from tests.factories import AT, LINKS_SPEC, Floor
from tests.housings import at_a_joint as bench
from tests.housings import steel
from tests.housings.test_traveler import pages
from tests.inspections import welded


@pytest.fixture
def recording(floor: Floor) -> Floor:
    """A shop that records its welds and traces its steel."""
    welded.stocked(floor)
    bench.use(floor, "welds_recorded", "steel_traced")
    return floor


def sheet(housing: Housing) -> dict[str, Any]:
    made = traveler.sheet_of(Situation(housing), asks_of(housing), the_shop(), AT)
    return {row["code"]: {ask["name"]: ask for ask in row["asks"]} for row in made["stations"]}


def test_a_shop_that_records_no_welds_has_the_paper_it_had(floor: Floor) -> None:
    assert traveler_welds.asks(floor.housing()) == {}


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_it_stays_one_page_with_every_joint_and_part(recording: Floor, paper: str) -> None:
    shop = the_shop()
    shop.paper = paper
    (text,) = pages(traveler.render(recording.housing(spec=LINKS_SPEC), shop, AT))
    for said in (
        "Internal ribs",
        "12 welds",
        "Snout to tube",
        "Rosettes of the snout",
        "Heat number",
        "stamp",
    ):
        assert said in text, said


def test_the_passes_of_a_snout_have_a_table_on_the_sheet_behind(recording: Floor) -> None:
    housing = recording.housing(spec=LINKS_SPEC)
    text = " ".join(pages(traveler.render(housing, the_shop(), AT, sheets=True))[1:])
    # The example procedure for a snout of 4140 through 3/8 in: five to seven passes, 400 to 600 °F.
    assert text.count("Pass, each begun at 400 to 600 °F") == 2
    assert text.count("Root looked at by") == 2 and "Snout to tube, left" in text
    snout = asks_of(housing)["snouts"]
    assert [ask.tables[0].columns for ask in snout if ask.code == "weld snout_left"] == [tuple("1234567")]


def test_joints_are_asked_for_where_they_are_welded_left_and_right_in_one_line(recording: Floor) -> None:
    asked = sheet(recording.housing())
    assert asked["snouts"]["Snout to tube"]["blanks"] == [
        ("left stamp", ""),
        ("done", ""),
        ("right stamp", ""),
        ("done", ""),
    ]
    assert asked["truss"]["Internal ribs"]["limit"] == "12 welds"
    assert not asked["truss"]["Truss"]["is_look"]
    heats = asked["jig"]["Heat number"]
    assert [label for label, _found in heats["blanks"]] == [
        "Left tube",
        "Right tube",
        "Plate of the center section",
    ]


def test_what_is_on_record_stands_on_it_instead_of_blanks(recording: Floor) -> None:
    housing = recording.housing(until="jig")
    steel.use(recording, housing, {"part": "tube_left", "heat": "T-4130"})
    assert sheet(housing)["jig"]["Heat number"]["blanks"], "the other parts are still to be written"
    steel.use(recording, housing, *steel.steel_of(housing, "jig")[1:])
    recording.finish(housing, housing.visits.get(state="here"))
    assert sheet(housing)["jig"]["Heat number"]["found"] == "T-4130, P-4130"


def test_passes_stand_on_it_with_their_stamps(floor: Floor) -> None:
    welded.stocked(floor)
    housing = welded.welded(floor, until="face_and_drill")
    asked = sheet(housing)
    assert asked["snouts"]["Snout to tube"]["blanks"] == [("left", "3 by W1"), ("right", "3 by W1")]
    assert asked["truss"]["Internal ribs"]["found"] == "12 by W1"
    assert asked["truss"]["Truss"]["found"] == "W1"
    # By procedures alone, without the rule, joints are asked for; heats are not.
    assert "Heat number" not in asked["jig"]
