"""How typed numbers and pasted lists are read. What is expected is design: a point or a comma, never both."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from inspections.forms.numbers import parse_rows, typed_number, unit_said

XYZ = ("x", "y", "z")


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("0.0035", "0.0035"),
        ("0,0035", "0.0035"),
        (".0035", "0.0035"),
        ("-,5", "-0.5"),
        ("\u22120.5", "-0.5"),  # the true minus sign, as office programs write it
        ("+2.2500", "2.2500"),
        (" 7 ", "7"),
        ("7.", "7"),
    ],
)
def test_it_keeps_a_number_as_typed_with_a_point(typed: str, read: str) -> None:
    assert typed_number(typed) == read


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("1,234.5", "point and a comma"),
        ("1.234,5", "point and a comma"),
        ("1,234,567", "more than one decimal sign"),
        ("1 234", "is no number"),
        ("1e3", "is no number"),
        ("0.00l4", "is no number"),
        ("\uff11\uff12", "is no number"),  # full-width digits
        ("\U0001f600", "is no number"),
        ("nan", "is no number"),
        ("", "missing"),
        ("9" * 10_000, "is no number"),
    ],
)
def test_it_refuses_what_could_be_read_in_two_ways(typed: str, says: str) -> None:
    with pytest.raises(ValidationError) as refused:
        typed_number(typed)
    assert says in refused.value.message
    assert len(refused.value.message) < 200


@pytest.mark.parametrize(
    "pasted",
    [
        "1.5, 2.5, -0.1\n3, 4, 0",
        "1.5,2.5,-0.1\n3,4,0",
        "1.5 2.5 -0.1\r\n3   4 0\r\n",
        "1,5;2,5;-0,1\n3;4;0",
        "1,5\t2,5\t-0,1\n3\t4\t0\n\n",
        "1,5 2,5 -0,1\n3 4 0",
        "x y z\n1.5 2.5 -0.1\n3 4 0",
    ],
)
def test_it_reads_points_however_they_are_separated(pasted: str) -> None:
    assert parse_rows(pasted, XYZ) == [["1.5", "2.5", "-0.1"], ["3", "4", "0"]]


@pytest.mark.parametrize(
    ("pasted", "says"),
    [
        ("1 2 3\n4 5", "Line 2 has 2 numbers"),
        ("1,5,2,5,0,1", "semicolons, tabs or spaces"),
        ("1.5 2,5 0", "decimal point and some a decimal comma"),
        ("1 2 3\n1 2 x", "Line 2: x is no number"),
        ("1,234.5 2 3", "Line 1: 1,234.5 has a point and a comma"),
        ("1;;3", "Line 1: A number is missing"),
    ],
)
def test_it_names_the_line_that_it_cannot_read(pasted: str, says: str) -> None:
    with pytest.raises(ValidationError) as refused:
        parse_rows(pasted, XYZ)
    assert says in refused.value.message


def test_it_does_not_read_a_hundred_thousand_lines() -> None:
    with pytest.raises(ValidationError) as refused:
        parse_rows("1 2 3\n" * 100_000, XYZ)
    assert "100000 lines are more than can be taken" in refused.value.message


@pytest.mark.parametrize(
    ("sent", "read", "unit"),
    [
        ("+0.0012 in", "0.0012", "in"),
        ("  -.003", "-0.003", ""),
        ("0,05 mm", "0.05", "mm"),
        ("R=-0.2mm", "-0.2", "mm"),
    ],
)
def test_it_understands_what_gauges_put_round_a_number(sent: str, read: str, unit: str) -> None:
    typed = typed_number(sent)
    assert (typed, typed.unit) == (read, unit)


@pytest.mark.parametrize(
    ("sent", "chosen", "unit"),
    [
        (["0.5", "0.6"], "in", "in"),
        (["0.5 in", "0.6"], "in", "in"),
        (["0.5 mm", "0.6mm"], "in", "mm"),
        (["0.5 °", ""], "°", "°"),
    ],
)
def test_a_unit_is_taken_from_the_gauge(sent: list[str], chosen: str, unit: str) -> None:
    assert unit_said([typed_number(number) if number else "" for number in sent], chosen) == unit


@pytest.mark.parametrize(
    ("sent", "chosen", "says"),
    [
        (["0.5 mm", "0.6 in"], "in", "Some numbers are in in and some in mm"),
        (["0.5 mm", "0.6"], "in", "some say nothing"),
        (["0.5 mm"], "psi", "The gauge sent mm, and this is taken in psi"),
        (["20 °C"], "in", "The gauge sent °C, and this is taken in in"),
    ],
)
def test_a_unit_that_does_not_fit_is_asked_about(sent: list[str], chosen: str, says: str) -> None:
    with pytest.raises(ValidationError) as refused:
        unit_said(map(typed_number, sent), chosen)
    assert says in refused.value.message
