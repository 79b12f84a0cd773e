"""The fit rules; source of every expectation unless said otherwise: common practice, no source."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering.fit_catalogue import DEMO
from housings.engineering.fit_rules import (
    COMMON_PRACTICE,
    FIT_RULES,
    INVENTED,
    is_plain_carbon,
    reasons_against,
    spec_from,
)
from housings.engineering.spec_fields import FIELDS
from tests.engineering.unhurried import unhurried
from tests.published import Source, published

B92 = Source("ANSI B92.1", "1970 (R1993)", "24/48 pitch, 30°, external major diameter (N + 1) / P")

SMALL = {
    "tube_od": "3.5",
    "tube_wall": "0.250",
    "tube_grade": "4130",
    "tube_condition": "normalised",
    "plate_grade": "A656-80",
    "armor_thickness": "0.250",
    "snout_size": "2.25",
    "snout_grade": "4130",
    "shaft": "35",
    "width": "64.5",
    "links": True,
    "bracket_offset": "18",
    "pinion_angle": "3.5",
}
LARGE = SMALL | {
    "tube_od": "4",
    "tube_wall": "0.500",
    "plate_grade": "4130",
    "snout_size": "3.25",
    "snout_grade": "4140",
    "shaft": "race",
    "links": False,
    "bracket_offset": None,
    "pinion_angle": None,
}


def against(base, **changed):
    return {(problem.code, problem.field) for problem in reasons_against(spec_from(base | changed))}


@pytest.mark.parametrize("order", [SMALL, LARGE, SMALL | {"snout_size": "2.5", "shaft": "40"}])
def test_the_usual_housings_fit(order):
    assert reasons_against(spec_from(order)) == ()


@pytest.mark.parametrize(
    ("base", "changed", "expected"),
    [
        (SMALL, {"tube_od": "3.25"}, ("tube_od_not_made", "tube_od")),
        (SMALL, {"tube_wall": "0.500"}, ("tube_wall_not_made", "tube_wall")),
        (LARGE, {"tube_wall": "0.250"}, ("tube_wall_not_made", "tube_wall")),
        (SMALL, {"tube_grade": "1020"}, ("tube_of_plain_carbon_steel", "tube_grade")),
        (SMALL, {"tube_grade": "SAE 1026"}, ("tube_of_plain_carbon_steel", "tube_grade")),
        (SMALL, {"tube_grade": "6061"}, ("tube_grade_not_used", "tube_grade")),
        (SMALL, {"tube_condition": "annealed"}, ("tube_condition_not_used", "tube_condition")),
        (SMALL, {"tube_condition": "as drawn"}, ("tube_condition_not_used", "tube_condition")),
        (SMALL, {"plate_grade": "A36"}, ("plate_of_plain_carbon_steel", "plate_grade")),
        (LARGE, {"plate_grade": "A656-80"}, ("plate_grade_not_used", "plate_grade")),
        (SMALL, {"snout_grade": "1045"}, ("snout_of_plain_carbon_steel", "snout_grade")),
        (SMALL, {"snout_grade": "8620"}, ("snout_grade_not_used", "snout_grade")),
        (SMALL, {"armor_thickness": "0.2"}, ("armor_not_made", "armor_thickness")),
        (SMALL, {"snout_size": "2.75"}, ("snout_size_not_made", "snout_size")),
        (LARGE, {"snout_size": "2.25", "shaft": "40"}, ("snout_does_not_go_with_tube", "snout_size")),
        (SMALL, {"snout_size": "3.25", "shaft": "40"}, ("snout_does_not_go_with_tube", "snout_size")),
        (LARGE, {"shaft": "35"}, ("shaft_does_not_go_with_snout", "shaft")),
        (SMALL, {"shaft": "race"}, ("shaft_does_not_go_with_snout", "shaft")),
        (SMALL, {"shaft": "race"}, ("shaft_does_not_clear_bore", "shaft_body")),
        (SMALL, {"width": "40", "bracket_offset": "6"}, None),
        (SMALL, {"width": "40", "center_offset": "2.01"}, ("side_too_short", "width")),
        (SMALL, {"width": "40", "center_offset": "-2.01"}, ("side_too_short", "width")),
        (SMALL, {"camber": "-1.6"}, ("camber_too_large", "camber")),
        (SMALL, {"toe": "0.51"}, ("toe_too_large", "toe")),
        (SMALL, {"bracket_offset": None}, ("links_need_bracket_offset", "bracket_offset")),
        (SMALL, {"pinion_angle": None}, ("links_need_pinion_angle", "pinion_angle")),
        (LARGE, {"bracket_offset": "18"}, ("bracket_offset_without_links", "bracket_offset")),
        (LARGE, {"pinion_angle": "3"}, ("pinion_angle_without_links", "pinion_angle")),
        (SMALL, {"width": "50", "bracket_offset": "25"}, ("brackets_beyond_end", "bracket_offset")),
    ],
)
def test_it_refuses_what_does_not_go_together(base, changed, expected):
    found = against(base, **changed)
    assert found == set() if expected is None else expected in found


def test_it_lists_every_reason_at_once():
    found = against(LARGE, tube_grade="1020", snout_size="2.25", armor_thickness="0.2", links=True)
    assert found == {
        ("tube_of_plain_carbon_steel", "tube_grade"),
        ("armor_not_made", "armor_thickness"),
        ("snout_does_not_go_with_tube", "snout_size"),
        ("shaft_does_not_go_with_snout", "shaft"),
        ("shaft_does_not_clear_bore", "shaft_body"),
        ("links_need_bracket_offset", "bracket_offset"),
        ("links_need_pinion_angle", "pinion_angle"),
    }


def test_an_unknown_tube_makes_no_second_reason_about_walls_and_snouts():
    assert against(SMALL, tube_od="3.25") == {("tube_od_not_made", "tube_od")}


@pytest.mark.parametrize(("body", "fits"), [("1.78", True), ("1.7800", True), ("1.7801", False)])
def test_a_clearance_equal_to_the_least_fits_exactly(body, fits):
    """(1.82 - 1.78) / 2 is 0.020 exactly; in binary floating point it is not."""
    assert (against(SMALL, shaft_body=body) == set()) is fits


def test_it_names_the_spline_where_the_spline_is_what_does_not_pass():
    tight = DEMO.__class__(
        **{name: getattr(DEMO, name) for name in DEMO.__dataclass_fields__}
        | {"least_clearance": Decimal("0.06")}
    )
    spec = spec_from(SMALL | {"shaft": "40", "shaft_body": "1.6"})
    (problem,) = reasons_against(spec, tight)
    assert problem.facts["part"] == "spline" and "spline of 1.7084 in leaves 0.0558 in" in problem.sentence


@pytest.mark.parametrize(
    "changed",
    [
        {"camber": "1.5"},
        {"camber": "-1.50"},
        {"toe": "0.5"},
        {"toe": "-0.5"},
        {"width": "40", "center_offset": "2", "bracket_offset": "17.99"},
        {"width": "40", "center_offset": "-2", "bracket_offset": "17.99"},
    ],
)
def test_a_figure_equal_to_its_limit_fits(changed):
    assert against(SMALL, **changed) == set()


@pytest.mark.parametrize(("offset", "side"), [("2.5", "right"), ("-2.5", "left")])
def test_it_names_the_side_that_is_too_short(offset, side):
    """A carrier right of the middle leaves the right side shorter."""
    spec = spec_from(SMALL | {"width": "40", "center_offset": offset, "bracket_offset": "10"})
    (problem,) = reasons_against(spec)
    assert (problem.facts["side"], problem.facts["length"]) == (side, "17.5")


def test_brackets_have_to_stand_on_the_shorter_side():
    assert against(SMALL, width="64", center_offset="4", bracket_offset="28") == {
        ("brackets_beyond_end", "bracket_offset")
    }
    assert against(SMALL, width="64", center_offset="4", bracket_offset="27.9") == set()


def test_it_names_the_body_where_body_and_spline_are_equal():
    (_, problem) = reasons_against(spec_from(SMALL | {"shaft": "race"}))
    assert problem.facts["part"] == "body" and problem.facts["clearance"] == "-0.24"


def test_2_25_goes_with_the_3_5_tube_only():
    assert [tube.od for tube in DEMO.tubes if Decimal("2.25") in tube.snouts] == [Decimal("3.5")]


def test_the_race_shaft_passes_the_largest_bore_only():
    race = DEMO.shaft("race")
    passed = [s.size for s in DEMO.snouts if (s.bore - race.body_diameter) / 2 >= DEMO.least_clearance]
    assert passed == [Decimal("3.25")]
    assert [s.size for s in DEMO.snouts if "race" in s.shafts] == passed


def test_every_shaft_that_a_snout_takes_clears_its_bore():
    for snout in DEMO.snouts:
        for code in snout.shafts:
            shaft = DEMO.shaft(code)
            largest = max(shaft.body_diameter, shaft.spline_diameter)
            assert snout.bore - largest >= 2 * DEMO.least_clearance


def test_the_spline_diameters_are_the_standard_ones():
    # The catalogue rounds up to a ten-thousandth, so that a spline that just passes really does.
    published(B92, DEMO.shaft("35").spline_diameter, "1.500000")
    published(B92, DEMO.shaft("40").spline_diameter, "1.708333", tolerance="0.0001")


@pytest.mark.parametrize(
    "grade", ["1008", "1010", "1018", "1020", "1026", "1045", "1117", "1215", "1541", "A36"]
)
def test_it_knows_plain_carbon_steel(grade):
    """Series of SAE J403, from memory."""
    assert is_plain_carbon(grade)


@pytest.mark.parametrize("grade", ["4130", "4140", "4340", "8620", "A656-80", "15CDV6", "1", "10200", ""])
def test_it_does_not_take_alloy_steel_for_plain_carbon(grade):
    assert not is_plain_carbon(grade)


@pytest.mark.parametrize("rule", FIT_RULES, ids=lambda rule: rule.code)
def test_each_rule_names_its_fields_its_reason_and_its_source(rule):
    assert set(rule.fields) <= set(FIELDS)
    assert rule.says.endswith(".")
    assert rule.source in (COMMON_PRACTICE, INVENTED)
    assert sum(other.code == rule.code for other in FIT_RULES) == 1


def values(name):
    description = FIELDS[name]
    if description.choices:
        return st.sampled_from(description.choices)
    if description.kind == "yes_no":
        return st.booleans()
    if description.kind == "material":
        return st.sampled_from(["4130", "4140", "1020", "A656-80", "A36", "normalised", "annealed", "x"])
    number = st.decimals(description.least, description.most, places=4, allow_nan=False)
    return number | st.none() if not description.required else number


@unhurried
@given(st.fixed_dictionaries({name: values(name) for name in FIELDS}))
def test_any_readable_spec_gets_an_answer_in_whole_sentences(mapping):
    spec = spec_from({name: value for name, value in mapping.items() if value is not None})
    for problem in reasons_against(spec):
        assert problem.field in FIELDS
        assert problem.sentence.endswith(".") and "{" not in problem.sentence
        assert all(isinstance(value, str) for value in problem.facts.values())


@unhurried
@given(st.fixed_dictionaries({name: values(name) for name in FIELDS}))
def test_a_spec_survives_being_stored_as_json(mapping):
    spec = spec_from(mapping)
    assert spec_from(spec.as_json()) == spec
