"""What is wrong with a plan, each with its reason; source of the rules: common practice, no source."""

from dataclasses import replace

import pytest

from housings.engineering.fit_rules import spec_from
from housings.engineering.route_rules import default_route, long_route
from inspections.default_plan import plan_for, reasons_against_plan
from inspections.planning.terms import Due
from tests.engineering.test_fit_rules import SMALL

ROUTE = long_route(True)
PLAN = plan_for(spec_from(SMALL), ROUTE)


def changed(code, **changes):
    return [replace(one, **changes) if one.code == code else one for one in PLAN]


def found(plan, route=ROUTE):
    return {(problem.code, problem.characteristic) for problem in reasons_against_plan(plan, route)}


@pytest.mark.parametrize(
    ("code", "changes", "expected"),
    [
        ("face_flatness", {"due": (Due("face_and_drill", None, "0.004"),)}, "moved_after_last_due"),
        ("hole_pattern", {"due": (Due("face_and_drill", None, "0.015"),)}, "moved_after_last_due"),
        ("width", {"due": (Due("tack", "64", "65"),)}, "moved_after_last_due"),
        ("ribs", {"due": (Due("final_inspection", None, None),)}, "hidden_before_due"),
        ("ribs", {"due": (Due("armor", None, None),)}, "hidden_before_due"),
        ("fit_up_left", {"due": (Due("snouts", None, None),)}, "hidden_before_due"),
        ("width", {"due": (Due("final_inspection", "64.6", "64.4"),)}, "limits_reversed"),
        ("width", {"due": (Due("final_inspection", None, None),)}, "limit_missing"),
        ("face_flatness", {"due": (Due("final_inspection", "0", None),)}, "limit_missing"),
        ("face_flatness", {"due": (Due("final_inspection", None, "-0.001"),)}, "limit_negative"),
        ("ribs", {"due": (Due("truss", None, "1"),)}, "limits_not_wanted"),
        ("welds_seen", {"due": (Due("pack", None, None),)}, "due_after_sign_off"),
        ("welds_seen", {"due": (Due("polish", None, None),)}, "station_unknown"),
        ("welds_seen", {"movable_by": ("polish",)}, "station_unknown"),
        ("welds_seen", {"hidden_by": "polish"}, "station_unknown"),
        ("welds_seen", {"due": ()}, "due_nowhere"),
        ("leak", {"due": (Due("leak_test", None, "0.1"),) * 2}, "due_doubled"),
        ("leak", {"due": (Due("leak_test", "0", None),)}, "limit_missing"),
        ("leak", {"unit": "in"}, "unit_wrong"),
        ("leak", {"parameters": {"volume": "0"}}, "figure_wrong"),
        ("leak", {"parameters": {"over_minutes": "soon"}}, "figure_wrong"),
        ("hole_threads", {"due": (Due("face_and_drill", "1", None),)}, "limits_not_wanted"),
        ("hole_pattern", {"parameters": {"centers": []}}, "figure_missing"),
        ("shaft_clearance_left", {"parameters": {}}, "figure_missing"),
        ("shaft_clearance_left", {"due": (Due("final_inspection", None, "1"),)}, "limit_missing"),
        ("camber_left", {"parameters": {}}, "quantity_missing"),
        ("camber_left", {"unit": "in"}, "unit_wrong"),
        ("face_pitch", {"unit": "in"}, "unit_wrong"),
        ("face_distance", {"unit": "°"}, "unit_wrong"),
        ("face_distance", {"parameters": {"quantity": "color"}}, "quantity_missing"),
        ("toe_right", {"parameters": {"quantity": "toe_right", "taken_with": "face"}}, "taken_apart"),
    ],
)
def test_it_refuses_a_plan_that_would_not_measure(code, changes, expected):
    assert (expected, code) in found(changed(code, **changes))


def test_the_plan_itself_has_nothing_against_it():
    assert found(PLAN) == set()


def test_equal_limits_are_limits():
    assert found(changed("width", due=(Due("final_inspection", "64.5", "64.5"),))) == set()


def test_it_wants_the_datum_before_what_is_measured_from_it():
    late = changed("journal_left", due=(Due("final_inspection", "2.2490", "2.2495"),))
    assert ("datum_too_late", "face_distance") in found(late)
    assert ("datum_too_late", "width") not in found(late)
    without = [one for one in PLAN if not one.is_datum]
    assert ("datum_missing", "face_distance") in found(without)


def test_it_notices_a_characteristic_that_stands_twice():
    assert found([*PLAN, PLAN[0]]) == {("characteristic_doubled", PLAN[0].code)}


def test_a_station_that_hides_a_feature_does_not_demand_it_afterwards():
    hidden = changed("ribs", movable_by=("truss", "armor", "caps_and_fittings"))
    assert found(hidden) == set()
    still_seen = changed("ribs", movable_by=("truss", "snouts"))
    assert found(still_seen) == {("moved_after_last_due", "ribs")}


def test_a_station_that_is_not_on_the_route_moves_nothing():
    route = default_route(True)
    short = [one for one in plan_for(spec_from(SMALL), route) if one.code == "tube_runout_left"]
    once = [replace(short[0], due=(Due("snouts", None, "0.150"),), measured_from=None)]
    assert found(once, route) == set()
    assert found(once, ROUTE) == {("moved_after_last_due", "tube_runout_left")}


def test_every_reason_is_a_whole_sentence_about_a_characteristic():
    broken = [replace(one, due=one.due[:1], hidden_by="jig", is_datum=False) for one in PLAN]
    problems = reasons_against_plan(broken, ROUTE)
    assert len(problems) > 50
    for problem in problems:
        assert problem.sentence.endswith(".") and "“" in problem.sentence
        assert all(isinstance(value, str) for value in problem.facts.values())
