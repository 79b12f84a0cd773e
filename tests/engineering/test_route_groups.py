"""Groups of stations in free order."""

import pytest

from housings.engineering.route_groups import reasons_against_groups
from housings.engineering.route_rules import ORDER_RULES, long_route


def test_a_route_without_groups_has_nothing_against_it():
    assert reasons_against_groups([(code, None) for code in long_route(True)]) == ()


def test_cleaning_and_testing_the_seams_may_change_places():
    """Both come after facing and before the armor, in whichever order (common practice, no source)."""
    assert reasons_against_groups([("clean_inside", 3), ("seam_bubble_test", 3)]) == ()


@pytest.mark.parametrize("rule", ORDER_RULES, ids=lambda rule: f"{rule.earlier}-{rule.later}")
def test_no_rule_of_order_can_be_passed_over_by_a_group(rule):
    problems = reasons_against_groups([(rule.later, 1), (rule.earlier, 1)])
    assert {problem.code for problem in problems} == {"group_has_an_order"}
    assert problems[0].station == rule.station


def test_what_stands_between_two_of_a_group_could_be_passed_over():
    (problem,) = reasons_against_groups([("clean_inside", 1), ("armor", None), ("coat", 1)])
    assert problem.code == "group_apart"
    assert "next to each other" in problem.sentence
