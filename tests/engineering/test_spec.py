"""Reading a build spec from plain JSON values: every error at once, each with its field."""

import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering.spec import SpecErrors, spec_from
from housings.engineering.spec_fields import FIELDS, tidy
from tests.engineering.test_fit_rules import SMALL
from tests.engineering.unhurried import unhurried


def problems(mapping):
    with pytest.raises(SpecErrors) as caught:
        spec_from(mapping)
    return {(problem.field, problem.code) for problem in caught.value.problems}


def test_it_reads_numbers_as_exact_decimals():
    spec = spec_from(SMALL | {"tube_wall": "0,250", "width": 64, "camber": Decimal("-0.5"), "toe": 0.1})
    assert spec.tube_wall == Decimal("0.250") and str(spec.tube_wall) == "0.250"
    assert (spec.width, spec.camber, spec.toe) == (Decimal(64), Decimal("-0.5"), Decimal("0.1"))


def test_it_takes_defaults_for_what_may_be_left_out():
    spec = spec_from({name: SMALL[name] for name in SMALL if FIELDS[name].required})
    assert (spec.center_offset, spec.camber, spec.toe) == (0, 0, 0)
    assert (spec.shaft_body, spec.bracket_offset, spec.pinion_angle) == (None, None, None)
    assert (spec.vent_side, spec.drain) == ("right", True)


def test_it_names_every_missing_field_of_an_empty_order():
    required = {(name, "field_missing") for name, description in FIELDS.items() if description.required}
    assert problems({}) == required


def test_it_collects_one_error_of_each_kind():
    order = SMALL | {
        "tube_od": "3.5 in",
        "tube_wall": "25",
        "links": "true",
        "shaft": "38",
        "snout_grade": "x" * 41,
        "tube_grade": None,
        "colour": "red",
    }
    assert problems(order) == {
        ("tube_od", "field_not_a_number"),
        ("tube_wall", "field_out_of_range"),
        ("links", "field_wrong_type"),
        ("shaft", "field_not_a_choice"),
        ("snout_grade", "field_not_a_name"),
        ("tube_grade", "field_missing"),
        ("colour", "field_unknown"),
    }


@pytest.mark.parametrize(
    "bad",
    [
        "",
        " ",
        "NaN",
        "inf",
        "-Infinity",
        "1e1",
        "1e400",
        "1_0",
        "3.5.0",
        "1,234.5",
        "0x3",
        "٣",
        "3½",
        "3.5\x00",
    ],
)
def test_it_refuses_what_is_no_plain_number(bad):
    assert problems(SMALL | {"tube_od": bad}) == {("tube_od", "field_not_a_number")}


@pytest.mark.parametrize(
    "bad",
    [float("nan"), float("inf"), 1e300, 10**5000, Decimal("NaN"), Decimal("Infinity"), Decimal("1e400")],
    ids=lambda value: type(value).__name__,
)
def test_it_refuses_numbers_that_are_none(bad):
    assert problems(SMALL | {"tube_od": bad}) == {("tube_od", "field_not_a_number")}


@pytest.mark.parametrize("bad", [True, [], {}, b"3.5", object()])
def test_it_refuses_other_types(bad):
    assert problems(SMALL | {"tube_od": bad}) == {("tube_od", "field_wrong_type")}


@pytest.mark.parametrize("bad", [None, [], "spec", 3])
def test_it_refuses_what_has_no_fields(bad):
    assert problems(bad) == {("", "spec_wrong_type")}


@pytest.mark.parametrize("bad", ["4130\x00", "41\n30", "", "  ", "4130\ud800"])
def test_it_refuses_names_that_cannot_be_printed(bad):
    assert problems(SMALL | {"plate_grade": bad}) == {("plate_grade", "field_not_a_name")}


def test_the_ends_of_a_range_belong_to_it():
    spec_from(SMALL | {"width": "40"})
    spec_from(SMALL | {"width": "90.000"})
    assert problems(SMALL | {"width": "39.9999"}) == {("width", "field_out_of_range")}
    assert problems(SMALL | {"width": "90.0001"}) == {("width", "field_out_of_range")}


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("AISI 4130", "4130"),
        ("sae-4140", "4140"),
        ("ASTM A656-80", "A656-80"),
        ("NORMALIZED", "normalised"),
        ("Stress-Relieved", "stress-relieved"),
        ("stress relieved", "stress-relieved"),
        ("  normalised ", "normalised"),
    ],
)
def test_it_writes_names_of_steels_in_one_form(written, expected):
    assert tidy(written) == expected
    assert tidy(tidy(written)) == expected


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


@unhurried
@given(st.dictionaries(st.sampled_from([*FIELDS, "other", "\ud800"]), JSON, max_size=len(FIELDS)))
def test_any_json_object_is_a_spec_or_refused_with_sentences(mapping):
    try:
        spec = spec_from(mapping)
    except SpecErrors as refused:
        assert refused.problems
        for problem in refused.problems:
            assert problem.sentence.endswith(".") and problem.code and problem.field
            json.dumps(dict(problem.facts)).encode()
            problem.sentence.encode()
    else:
        assert spec_from(spec.as_json()) == spec
