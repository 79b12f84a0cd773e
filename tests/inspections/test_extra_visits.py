"""Extra stations for one housing, and stations its route planned that it does not need."""

from __future__ import annotations

from typing import Any

import pytest

from housings import queries
from housings.engineering.route_rules import long_route
from housings.models import Housing, Visit
from housings.operations.routes import publish_route
from inspections.operations.extra_visits import add_visit, drop_visit
from shopqc import ledger
from tests.at_the_gate import asked, refused, start_at
from tests.factories import LINKS_SPEC, PLAIN_SPEC, Floor


def add(floor: Floor, housing: Housing, station: str, by: str = "Q1", **inputs: Any) -> dict[str, Any]:
    given = {"why": "Asked for by the customer."}
    return floor.do(add_visit, by=by, housing=housing.serial, station=station, **{**given, **inputs})


def drop(floor: Floor, housing: Housing, station: str, by: str = "Q1", **inputs: Any) -> dict[str, Any]:
    visit = Visit.objects.get(housing=housing, station=station, state="ahead")
    given = {"why": "Not asked for."}
    return floor.do(drop_visit, by=by, housing=housing.serial, visit=visit.number, **{**given, **inputs})


def way(housing: Housing) -> list[tuple[str, str]]:
    """The stations ahead, with the kind of their visit."""
    visits = queries.visits_of(housing)
    return [(visit.station, visit.kind) for visit in visits if visit.state == "ahead"]


@pytest.fixture
def long_floor(floor: Floor) -> Floor:
    """A shop whose route has every station of the catalogue."""
    floor.do(publish_route, name="standard", stations=[{"station": code} for code in long_route(False)])
    return floor


def test_an_extra_station_comes_next_and_is_walked(floor: Floor) -> None:
    """Tubes bent by welding are straightened before the face is cut (common practice, no source)."""
    housing = floor.housing(until="snouts")
    floor.finish(housing, Visit.objects.get(housing=housing, station="snouts"))
    answer = add(floor, housing, "straighten", why="Left tube 0.09 off.")
    assert way(housing)[:2] == [("straighten", "extra"), ("face_and_drill", "planned")]
    assert answer["cautions"] == []
    floor.walk(housing, "face_and_drill")
    assert Visit.objects.get(housing=housing, station="straighten").state == "left"
    assert ledger.verify().faults == ()


def test_it_comes_before_the_visit_that_is_named(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    facing = Visit.objects.get(housing=housing, station="face_and_drill")
    add(floor, housing, "stress_relief", before=facing.number)
    stations = [station for station, _kind in way(housing)]
    assert stations.index("stress_relief") == stations.index("face_and_drill") - 1


def test_a_caution_says_what_is_usual(floor: Floor) -> None:
    """Straightening moves axis A-B, from which the face was cut (common practice, no source)."""
    housing = floor.housing(until="face_and_drill")
    (caution,) = add(floor, housing, "straighten")["cautions"]
    assert "“Straighten” is usual before “Face and drill”" in caution
    assert "axis A-B" in caution


@pytest.mark.parametrize(
    ("station", "given", "code"),
    [
        ("truss", {}, "only_optional"),
        ("pack", {}, "only_optional"),
        ("straighten", {"why": " "}, "reason_needed"),
        ("straighten", {"before": 1}, "not_ahead"),
        ("straighten", {"before": 99}, "not_ahead"),
        ("polish", {}, "station_unknown"),
    ],
)
def test_it_says_why_it_is_not_put_in(floor: Floor, station: str, given: dict[str, Any], code: str) -> None:
    housing = floor.housing(until="jig")
    with refused(code):
        add(floor, housing, station, **given)


def test_a_worker_neither_adds_nor_drops(long_floor: Floor) -> None:
    housing = long_floor.housing()
    with refused("not_allowed"):
        add(long_floor, housing, "straighten", by="W1")
    with refused("not_allowed"):
        drop(long_floor, housing, "straighten", by="W1")


def test_a_signed_housing_gets_no_extra_station(floor: Floor) -> None:
    housing = floor.housing(until="signed")
    with refused("housing_signed_off"):
        add(floor, housing, "coat")


def test_a_planned_visit_is_dropped_and_not_asked_for_any_more(long_floor: Floor) -> None:
    housing = long_floor.housing(until="clean_inside")
    drop(long_floor, housing, "seam_bubble_test", why="Every seam was dye tested.")
    bubbles = Visit.objects.get(housing=housing, station="seam_bubble_test")
    assert (bubbles.state, bubbles.why) == ("dropped", "Every seam was dye tested.")
    long_floor.finish(housing, Visit.objects.get(housing=housing, station="clean_inside"))
    # The armor hides the seams; what nobody measures any more does not keep it from starting.
    assert asked(housing, start_at("armor")) == []
    assert ledger.verify().faults == ()


def test_a_housing_without_what_was_dropped_is_signed(long_floor: Floor) -> None:
    housing = long_floor.housing(until="seam_bubble_test")
    long_floor.finish(housing, Visit.objects.get(housing=housing, station="seam_bubble_test"))
    drop(long_floor, housing, "coat")
    long_floor.walk(housing, "signed")
    assert housing.state == "signed_off"


def test_what_every_route_needs_stays(long_floor: Floor) -> None:
    housing = long_floor.housing(until="straighten")
    with refused("only_optional"):
        drop(long_floor, housing, "leak_test")
    here = Visit.objects.get(housing=housing, station="straighten")
    with refused("not_ahead"):
        long_floor.do(drop_visit, by="Q1", housing=housing.serial, visit=here.number, why="No.")
    with refused("not_found"):
        long_floor.do(drop_visit, by="Q1", housing=housing.serial, visit=99, why="No.")
    with refused("reason_needed"):
        drop(long_floor, housing, "coat", why="")


def test_brackets_stay_on_a_housing_with_links(floor: Floor) -> None:
    housing = floor.housing(spec=LINKS_SPEC)
    with refused("route_refused"):
        drop(floor, housing, "brackets")


def test_an_extra_visit_takes_along_what_it_had_brought(floor: Floor) -> None:
    housing = floor.housing(until="measured", spec=PLAIN_SPEC)
    added = add(floor, housing, "straighten")["visits"]
    assert [visit["kind"] for visit in added] == ["extra", *["measure"] * (len(added) - 1)]
    assert len(added) > 1, "what straightening moves is measured again"
    assert drop(floor, housing, "straighten")["dropped"] == [visit["visit"] for visit in added]
    assert way(housing) == []


def test_a_visit_of_a_decision_is_not_dropped(floor: Floor) -> None:
    housing = floor.housing(until="measured")
    added = add(floor, housing, "straighten")["visits"]
    with refused("rework_stays"):
        floor.do(drop_visit, by="Q1", housing=housing.serial, visit=added[-1]["visit"], why="No need.")


def test_the_same_request_again_gets_the_same_answer(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    assert add(floor, housing, "straighten", key="twice") == add(floor, housing, "straighten", key="twice")
    assert Visit.objects.filter(housing=housing, station="straighten").count() == 1
