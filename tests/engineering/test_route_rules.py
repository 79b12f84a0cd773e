"""Routes and the reasons against them; source of every expectation: common practice, no source."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering.route_rules import (
    ORDER_RULES,
    OrderRule,
    default_route,
    long_route,
    reasons_against_route,
)
from housings.engineering.stations import STATIONS
from tests.engineering.unhurried import unhurried

OPTIONAL = [code for code, entry in STATIONS.items() if entry.optional]


def codes(route, links=False):
    return {(problem.code, problem.station) for problem in reasons_against_route(route, links)}


def moved(route, code, behind):
    """The route with one station put right behind another."""
    rest = [name for name in route if name != code]
    rest.insert(rest.index(behind) + 1, code)
    return rest


def ahead(route, code, before):
    rest = [name for name in route if name != code]
    rest.insert(rest.index(before), code)
    return rest


def test_the_default_is_the_order_of_the_trade():
    assert default_route(False) == (
        "jig",
        "tack",
        "truss",
        "snouts",
        "face_and_drill",
        "armor",
        "caps_and_fittings",
        "leak_test",
        "final_inspection",
    )
    assert set(default_route(True)) - set(default_route(False)) == {"brackets"}


def test_the_long_route_holds_the_whole_catalogue():
    assert set(long_route(True)) == set(STATIONS)
    assert set(long_route(False)) == set(STATIONS) - {"brackets"}


@pytest.mark.parametrize("links", [False, True])
@pytest.mark.parametrize("size", range(len(OPTIONAL) + 1))
def test_any_choice_of_the_optional_stations_in_the_sensible_order_is_a_route(links, size):
    for left_out in combinations(OPTIONAL, size):
        route = [code for code in long_route(True) if code not in left_out]
        expected = {("brackets_missing", "brackets")} if links and "brackets" in left_out else set()
        assert codes(route, links) == expected


@pytest.mark.parametrize("code", default_route(False))
def test_each_station_of_the_default_is_mandatory(code):
    route = [name for name in long_route(True) if name != code]
    assert ("station_missing", code) in codes(route, True)


def test_links_demand_brackets_and_nothing_else_does():
    assert codes(default_route(False), links=True) == {("brackets_missing", "brackets")}
    assert codes(default_route(True), links=False) == set()


@pytest.mark.parametrize(
    ("route", "expected"),
    [
        (
            moved(long_route(True), "snouts", "face_and_drill"),
            ("facing_before_heavy_welding", "face_and_drill"),
        ),
        (
            moved(long_route(True), "truss", "face_and_drill"),
            ("facing_before_heavy_welding", "face_and_drill"),
        ),
        (
            moved(long_route(True), "seam_bubble_test", "armor"),
            ("bubble_test_after_armor", "seam_bubble_test"),
        ),
        (
            moved(long_route(True), "straighten", "face_and_drill"),
            ("straightening_after_facing", "straighten"),
        ),
        (moved(long_route(True), "stress_relief", "armor"), ("stress_relief_after_facing", "stress_relief")),
        (moved(long_route(True), "clean_inside", "armor"), ("closed_before_cleaning", "armor")),
        (
            moved(long_route(True), "clean_inside", "caps_and_fittings"),
            ("closed_before_cleaning", "caps_and_fittings"),
        ),
        (
            ahead(long_route(True), "clean_inside", "face_and_drill"),
            ("cleaned_before_machining", "clean_inside"),
        ),
        (ahead(long_route(True), "armor", "face_and_drill"), ("armor_before_facing", "armor")),
        (ahead(long_route(True), "leak_test", "armor"), ("leak_test_before_welding", "leak_test")),
        (ahead(long_route(True), "coat", "leak_test"), ("coated_before_leak_test", "coat")),
        (
            ahead(long_route(True), "straighten", "snouts"),
            ("straightening_before_heavy_welding", "straighten"),
        ),
        (
            ahead(long_route(True), "non_destructive_testing", "snouts"),
            ("testing_before_welding", "non_destructive_testing"),
        ),
        (moved(long_route(True), "receive_steel", "jig"), ("steel_not_received_first", "receive_steel")),
        (moved(long_route(True), "jig", "tack"), ("tacked_without_jig", "tack")),
        (ahead(long_route(True), "snouts", "tack"), ("work_before_tack", "snouts")),
        (moved(long_route(True), "coat", "final_inspection"), ("after_final_inspection", "coat")),
        (moved(long_route(True), "leak_test", "final_inspection"), ("after_final_inspection", "leak_test")),
        (ahead(long_route(True), "pack", "final_inspection"), ("before_sign_off", "pack")),
        (moved(long_route(True), "armor", "final_inspection"), ("not_measured_after_facing", "armor")),
        ([*default_route(False), "polish"], ("station_unknown", "polish")),
        ([*default_route(False), "jig"], ("station_doubled", "jig")),
    ],
)
def test_it_refuses_what_the_floor_would_regret(route, expected):
    assert expected in codes(route, True)


def test_welding_after_facing_is_a_route_when_the_final_inspection_measures_again():
    route = moved(default_route(True), "brackets", "armor")
    assert reasons_against_route(route, links=True) == ()


def test_welding_after_facing_without_a_final_inspection_names_each_weld():
    route = [code for code in default_route(False) if code != "final_inspection"]
    assert codes(route) == {
        ("station_missing", "final_inspection"),
        ("not_measured_after_facing", "armor"),
        ("not_measured_after_facing", "caps_and_fittings"),
    }


def test_an_empty_route_has_one_reason():
    assert codes([]) == {("route_empty", "")}


@pytest.mark.parametrize("rule", ORDER_RULES, ids=lambda rule: f"{rule.code}-{rule.earlier}-{rule.later}")
def test_each_rule_of_order_bites_when_its_two_stations_are_swapped(rule: OrderRule):
    assert rule.station in (rule.earlier, rule.later)
    assert rule.earlier in STATIONS and rule.later in STATIONS
    assert codes([rule.later, rule.earlier]) >= {(rule.code, rule.station)}
    assert (rule.code, rule.station) not in codes([rule.earlier, rule.later])


BEFORE = """
jig: receive_steel cut_and_bevel
cut_and_bevel: receive_steel
tack: jig
truss: tack
brackets: tack
snouts: tack
straighten: tack truss snouts
stress_relief: tack truss snouts brackets straighten
non_destructive_testing: truss snouts brackets straighten stress_relief
face_and_drill: tack truss snouts straighten stress_relief
clean_inside: face_and_drill
seam_bubble_test: tack truss snouts straighten stress_relief
armor: tack face_and_drill non_destructive_testing seam_bubble_test clean_inside
caps_and_fittings: tack clean_inside
leak_test: tack truss brackets snouts armor caps_and_fittings
coat: tack truss brackets snouts straighten stress_relief non_destructive_testing face_and_drill armor
coat: caps_and_fittings leak_test
"""


def test_it_knows_each_pair_of_stations_whose_order_matters():
    expected = {
        (earlier, line.split(": ")[0])
        for line in BEFORE.strip().splitlines()
        for earlier in line.split(": ")[1].split()
    }
    assert {(rule.earlier, rule.later) for rule in ORDER_RULES} == expected


@unhurried
@given(st.permutations(long_route(True)))
def test_it_never_lets_a_shuffled_route_pass_that_faces_before_heavy_welding(route):
    refused = codes(route, True)
    face = route.index("face_and_drill")
    if face < route.index("snouts") or face < route.index("truss"):
        assert ("facing_before_heavy_welding", "face_and_drill") in refused
    if route.index("final_inspection") != len(route) - 2 or route[-1] != "pack":
        assert refused


@unhurried
@given(st.lists(st.one_of(st.sampled_from(list(STATIONS)), st.text(max_size=8)), max_size=25), st.booleans())
def test_it_answers_any_list_with_whole_sentences(route, links):
    for problem in reasons_against_route(route, links):
        assert problem.sentence.endswith(".") and "  " not in problem.sentence
        assert problem.code and set(problem.facts) <= {"station", "earlier", "later", "reason", "times"}


@unhurried
@given(st.permutations(long_route(True)), st.booleans())
def test_the_answer_does_not_depend_on_who_asks_again(route, links):
    assert reasons_against_route(route, links) == reasons_against_route(tuple(route), links)
