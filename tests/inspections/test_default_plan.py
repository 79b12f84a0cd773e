"""The default plan of measuring; source of every figure: common practice, no source."""

import json
from dataclasses import replace
from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering.fit_rules import reasons_against, spec_from
from housings.engineering.route_rules import (
    ORDER_RULES,
    default_route,
    long_route,
    reasons_against_route,
)
from housings.engineering.stations import STATIONS
from inspections.default_plan import DEFAULT_PLAN, plan_for, reasons_against_plan
from inspections.plan_data import from_data, to_data
from inspections.planning.terms import Kind, Part
from tests.engineering.test_fit_rules import LARGE, SMALL
from tests.engineering.unhurried import unhurried

LINKED, PLAIN = spec_from(SMALL), spec_from(LARGE)
OPTIONAL = [code for code, entry in STATIONS.items() if entry.optional and code != "brackets"]


def one(code, spec=LINKED, stations=None):
    plan = plan_for(spec, stations or long_route(spec.links))
    return next(characteristic for characteristic in plan if characteristic.code == code)


def limits(code, station, **more):
    due = next(due for due in one(code, **more).due if due.station == station)
    return due.lower, due.upper


@pytest.mark.parametrize("spec", [LINKED, PLAIN])
@pytest.mark.parametrize("size", range(len(OPTIONAL) + 1))
def test_it_measures_whatever_a_route_makes(spec, size):
    for left_out in combinations(OPTIONAL, size):
        route = [code for code in long_route(spec.links) if code not in left_out]
        assert reasons_against_plan(plan_for(spec, route), route) == ()


@st.composite
def routes(draw):
    """Any order of any choice of stations that the route rules let pass."""
    left = [c for c in STATIONS if not STATIONS[c].optional or c == "brackets" or draw(st.booleans())]
    first = {(rule.earlier, rule.later) for rule in ORDER_RULES}
    last = [code for code in ("final_inspection", "pack") if code in left]
    left = [code for code in left if code not in last]
    route = []
    while left:
        free = [code for code in left if not any((other, code) in first for other in left)]
        route.append(draw(st.sampled_from(free)))
        left.remove(route[-1])
    return route + last


@unhurried
@given(routes())
def test_it_measures_whatever_any_allowed_order_makes(route):
    assert reasons_against_route(route, links=True) == ()
    assert reasons_against_plan(plan_for(LINKED, route), route) == ()


def test_the_magnitudes_are_those_of_the_trade():
    assert limits("face_flatness", "face_and_drill") == (None, "0.004")
    assert limits("face_flatness", "final_inspection") == (None, "0.005")
    assert limits("face_distance", "final_inspection") == ("2.495", "2.505")
    assert limits("face_parallelism", "face_and_drill") == (None, "0.003")
    assert limits("pilot_bore", "face_and_drill") == ("7.250", "7.252")
    assert limits("hole_pattern", "final_inspection") == (None, "0.015")
    assert limits("shaft_clearance_left", "final_inspection") == ("0.020", None)
    # One turn either way of the notch: ASME B1.20.1.
    assert limits("drain_thread", "caps_and_fittings") == ("-1", "1")
    assert limits("tube_runout_left", "truss") == (None, "0.150")
    assert limits("tube_runout_left", "straighten") == (None, "0.030")
    assert limits("journal_runout_right", "final_inspection") == (None, "0.005")
    assert limits("rosettes_left", "snouts") == ("4", "4")
    assert limits("leak", "leak_test") == (None, "0.1")


def test_the_figures_of_the_build_spec_become_nominals_and_limits_exactly():
    assert one("width").parameters["nominal"] == "64.5"
    assert limits("width", "final_inspection") == ("64.470", "64.530")
    assert limits("preset_width", "tack") == ("64.540", "64.600")
    assert limits("journal_left", "final_inspection") == ("2.2490", "2.2495")
    assert limits("camber_left", "final_inspection") == ("-0.10", "0.10")
    assert limits("toe_right", "final_inspection", spec=spec_from(SMALL | {"toe": "-0.25"})) == (
        "-0.30",
        "-0.20",
    )
    assert limits("bracket_left", "brackets") == ("17.940", "18.060")
    assert limits("pinion_angle", "final_inspection") == ("3.0", "4.0")
    assert limits("face_pitch", "face_and_drill") == ("-0.5", "0.5")
    assert limits("journal_left", "jig", spec=PLAIN) == ("3.2490", "3.2495")


def test_a_straightened_tube_is_held_to_more_at_the_end():
    assert limits("tube_runout_left", "final_inspection") == (None, "0.040")
    assert limits("tube_runout_left", "final_inspection", stations=default_route(True)) == (None, "0.150")


def test_the_inside_is_looked_at_after_the_cleaning_or_else_after_the_machining():
    cleaned, bare = one("inside_clean"), one("inside_clean", stations=default_route(True))
    assert [due.station for due in cleaned.due] == ["clean_inside"]
    assert [due.station for due in bare.due] == ["face_and_drill"]


def test_the_two_journals_are_the_datum_and_are_measured_first():
    plan = plan_for(LINKED, default_route(True))
    assert [c.code for c in plan if c.is_datum] == ["journal_left", "journal_right"]
    assert {c.code for c in plan if c.measured_from == "A-B"} >= {
        "face_distance",
        "face_parallelism",
        "pilot_center",
        "hole_pattern",
        "shaft_clearance_left",
        "tube_runout_left",
        "camber_left",
        "toe_left",
        "pinion_angle",
    }


def test_twelve_holes_stand_on_one_circle_and_are_measured_again_at_the_end():
    (pattern,) = [c for c in plan_for(PLAIN, default_route(False)) if c.kind is Kind.HOLE_PATTERN]
    centers = [(Decimal(x), Decimal(y)) for x, y in pattern.parameters["centers"]]
    assert len(set(centers)) == 12
    for x, y in centers:
        assert abs((x * x + y * y).sqrt() - Decimal("4.75")) < Decimal("0.0001")
    assert [due.station for due in pattern.due] == ["face_and_drill", "final_inspection"]
    assert "armor" in pattern.movable_by


def test_one_probing_gives_the_face_and_one_bar_both_ends():
    taken: dict[str, list[str]] = {}
    for c in plan_for(LINKED, default_route(True)):
        if "taken_with" in c.parameters:
            taken.setdefault(c.parameters["taken_with"], []).append(c.code)
    assert taken == {
        "bar": ["camber_left", "toe_left", "camber_right", "toe_right"],
        "bores_left": ["shaft_clearance_left"],
        "bores_right": ["shaft_clearance_right"],
        "face": ["face_flatness", "face_distance", "face_parallelism", "face_pitch", "pilot_center"],
    }


@pytest.mark.parametrize(
    ("shaft", "body", "diameter"),
    # 40 splines: major diameter 1.708 by B92.1, body 1.75 in the demo catalogue; else the spline counts.
    [("40", None, "1.75"), ("40", "1.60", "1.7084"), ("35", None, "1.50"), ("35", "1.6", "1.6")],
)
def test_the_room_is_asked_for_the_shaft_that_was_ordered(shaft, body, diameter):
    spec = spec_from(SMALL | {"snout_size": "2.5", "shaft": shaft, **({"shaft_body": body} if body else {})})
    assert Decimal(one("shaft_clearance_right", spec=spec).parameters["shaft_diameter"]) == Decimal(diameter)


def test_what_will_be_closed_up_is_due_before_it_is_closed():
    plan = plan_for(LINKED, long_route(True))
    hidden = {c.code: c.hidden_by for c in plan if c.hidden_by}
    assert {code for code, by in hidden.items() if by == "armor"} == {
        "ribs",
        "seam_roots",
        "gussets",
        "seam_bubbles",
        "inside_clean",
    }
    assert {code for code, by in hidden.items() if by == "snouts"} >= {"fit_up_left", "gap_right"}


def test_brackets_and_drain_are_asked_only_where_the_spec_has_them():
    codes = {c.code for c in plan_for(LINKED, long_route(True))}
    assert {
        "bracket_left",
        "bracket_right",
        "tab_washers",
        "pinion_angle",
        "face_pitch",
        "gussets",
        "drain_thread",
    } <= codes
    bare = spec_from(LARGE | {"drain": False})
    assert codes - {c.code for c in plan_for(bare, long_route(False))} == {
        "bracket_left",
        "bracket_right",
        "tab_washers",
        "pinion_angle",
        "face_pitch",
        "gussets",
        "drain_thread",
    }


@pytest.mark.parametrize(
    ("station", "code"),
    [
        ("receive_steel", "steel_tubes"),
        ("cut_and_bevel", "land_left"),
        ("straighten", "tube_runout_left"),
        ("stress_relief", "furnace_chart"),
        ("non_destructive_testing", "snout_weld_test_left"),
        ("seam_bubble_test", "seam_bubbles"),
        ("clean_inside", "inside_clean"),
        ("coat", "coat_thickness"),
        ("brackets", "bracket_left"),
    ],
)
def test_optional_stations_bring_characteristics_of_their_own(station, code):
    assert station in {due.station for due in one(code).due}
    without = [name for name in long_route(True) if name != station]
    still = [c for c in plan_for(LINKED, without) if c.code == code]
    assert all(station not in {due.station for due in c.due} for c in still)


def test_every_station_before_the_signature_has_something_to_measure():
    measured = {due.station for c in plan_for(LINKED, long_route(True)) for due in c.due}
    assert measured == set(long_route(True)) - {"pack"}


def test_only_stations_of_the_route_are_due_and_in_its_order():
    route = default_route(True)
    for characteristic in plan_for(LINKED, route):
        places = [route.index(due.station) for due in characteristic.due]
        assert places == sorted(places)


def test_each_part_of_the_housing_has_results_and_each_name_fits_a_line():
    plan = plan_for(LINKED, long_route(True))
    assert {c.part for c in plan} == set(Part)
    assert [c.number for c in plan] == list(range(1, len(plan) + 1))
    assert len({c.name for c in plan}) == len(plan)
    for c in plan:
        assert len(c.code) <= 60 and len(c.name) <= 120 and len(c.unit) <= 20
        assert bool(c.unit) is (c.kind not in (Kind.GO_NO_GO, Kind.THREAD_GAUGE))


def test_a_row_of_a_table_holds_plain_values():
    row = one("face_distance").as_row()
    assert row["kind"] == "face_to_axis" and type(row["kind"]) is str
    assert row["due"][0] == {"station": "face_and_drill", "lower": "2.495", "upper": "2.505"}
    assert row["hidden_by"] == "" and row["measured_from"] == "A-B"
    assert row["parameters"] == {
        "nominal": "2.500",
        "quantity": "distance",
        "taken_with": "face",
        "points_at_least": 8,
    }


def test_it_refuses_a_plan_that_needs_a_number_the_spec_does_not_have():
    bracket = next(c for c in DEFAULT_PLAN if c.code == "bracket_left")
    with pytest.raises(ValueError, match="“bracket_left” needs the number “bracket_offset”"):
        plan_for(PLAIN, long_route(True), [replace(bracket, only_if=None)])


@pytest.mark.parametrize("planned", DEFAULT_PLAN, ids=lambda planned: planned.code)
def test_leaving_out_the_last_measuring_is_noticed_where_something_moves_after_it(planned):
    """The rule said again, on its own: a station of the route moves it after its last measuring."""
    route = long_route(True)
    (resolved,) = plan_for(LINKED, route, [planned])
    shorter = replace(resolved, due=resolved.due[:-1], measured_from=None)
    found = {problem.code for problem in reasons_against_plan([shorter], route)}
    if not shorter.due:
        assert "due_nowhere" in found
        return
    end = route.index(resolved.hidden_by) if resolved.hidden_by else len(route)
    last = route.index(shorter.due[-1].station)
    moved = any(station in resolved.movable_by for station in route[last + 1 : end])
    assert ("moved_after_last_due" in found) is moved


def test_the_specs_of_these_tests_fit():
    assert reasons_against(LINKED) == () and reasons_against(PLAIN) == ()


def test_ready_made_specs_all_resolve():
    for order in (SMALL, LARGE, SMALL | {"snout_size": "2.5", "shaft": "40"}):
        spec = spec_from(order)
        assert plan_for(spec, default_route(spec.links))


def test_a_published_revision_keeps_the_whole_plan():
    assert from_data(json.loads(json.dumps(to_data(DEFAULT_PLAN)))) == DEFAULT_PLAN
