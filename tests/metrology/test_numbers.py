"""Input rules: what is a number, what is a list of points, and how a refusal reads."""

from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.metrology.numbers import LARGEST, exact, exact_list, point_array


@pytest.mark.parametrize(
    ("value", "number"),
    [
        ("0.1", Fraction(1, 10)),
        (" -12.50 ", Fraction(-25, 2)),
        ("+.5", Fraction(1, 2)),
        ("5.", Fraction(5)),
        ("1e-3", Fraction(1, 1000)),
        (0.1, Fraction(1, 10)),
        (np.float64(0.1), Fraction(1, 10)),
        (np.float32(0.1), Fraction(1, 10)),
        (np.int64(7), Fraction(7)),
        (Decimal("1.10"), Fraction(11, 10)),
        (Fraction(1, 3), Fraction(1, 3)),
        (7, Fraction(7)),
        (LARGEST, Fraction(10) ** 30),
        (-LARGEST, Fraction(-LARGEST)),
    ],
)
def test_a_number_is_taken_exactly(value: object, number: Fraction) -> None:
    assert exact(value, "value") == number  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (True, "not a number"),
        (np.True_, "not a number"),
        (None, "not a number"),
        (1j, "not a number"),
        ("", "type digits"),
        ("12,5", "type digits"),
        ("1 2", "type digits"),
        ("0x10", "type digits"),
        ("1_000", "type digits"),
        ("1/3", "type digits"),
        ("٣", "type digits"),
        ("1e9999999", "type digits"),
        ("9" * 500, r"'9{36}\.\.\. is not"),
        ("x" * 38, r"'x{38}' is not"),
        ("x" * 39, r"'x{36}\.\.\. is not"),
        ("nan", "leave it out or measure it again"),
        ("-Infinity", "leave it out or measure it again"),
        (float("nan"), "leave it out or measure it again"),
        (float("-inf"), "leave it out or measure it again"),
        (Decimal("NaN"), "leave it out or measure it again"),
        (Decimal("sNaN"), "leave it out or measure it again"),
        (Decimal("1e999999"), "type digits"),
        (LARGEST + 1, "greater than 1e30"),
        (-LARGEST - 1, "greater than 1e30"),
        (1e300, "greater than 1e30"),
    ],
)
def test_what_is_no_number_is_refused_by_name(value: object, said: str) -> None:
    with pytest.raises(ValueError, match=rf"^bore: .*{said}"):
        exact(value, "bore")  # type: ignore[arg-type]


@given(st.floats(-1e30, 1e30))
def test_a_float_is_its_shortest_text(value: float) -> None:
    assert exact(value, "value") == exact(repr(value), "value")
    assert float(exact(value, "value")) == value


@given(st.decimals(-(10**12), 10**12, places=9))
def test_a_decimal_and_its_text_are_one_number(value: Decimal) -> None:
    assert exact(value, "value") == exact(str(value), "value") == Fraction(value)


def test_a_list_names_the_entry_that_is_wrong() -> None:
    with pytest.raises(ValueError, match=r"^reading 2: 'x' is not a number"):
        exact_list([1, "x"], "reading")
    with pytest.raises(ValueError, match=r"^reading: 1 given, at least 2 needed"):
        exact_list([1], "reading", at_least=2)
    for single in ("12", 12, b"12"):
        with pytest.raises(ValueError, match="give a list of numbers"):
            exact_list(single, "reading")  # type: ignore[arg-type]
    assert exact_list(np.array([0.1, 0.2]), "reading") == [Fraction(1, 10), Fraction(1, 5)]


def test_points_of_every_number_type_make_the_same_array() -> None:
    wanted = [[0.1, 2.0], [-3.5, 0.0]]
    for points in (
        wanted,
        np.array(wanted),
        [("0.1", 2), (Decimal("-3.5"), Fraction(0))],
        np.array([["0.1", "2"], ["-3.5", "0"]]),
        np.array([[Fraction(1, 10), 2], [Fraction(-7, 2), 0]], dtype=object),
    ):
        array = point_array(points, 2, 1, "point")  # type: ignore[arg-type]
        assert array.dtype == np.float64
        assert array.tolist() == wanted


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([], "0 given, at least 2 needed"),
        ([(1, 2)], "1 given, at least 2 needed"),
        (np.empty((0, 2)), "0 given, at least 2 needed"),
        ([(1, 2), (1, 2, 3)], "point 2: 2 coordinates needed"),
        ([(1, 2), 3], "point 2: 2 coordinates needed"),
        ([(1, 2), "ab"], "point 2: 2 coordinates needed"),
        (np.zeros((4, 3)), r"shape \(4, 3\)"),
        (np.zeros(4), r"shape \(4,\)"),
        ([(1, 2), (1, "x")], "point 2, coordinate 2: 'x' is not a number"),
        ([(1, 2), (True, 2)], "point 2, coordinate 1: True is not a number"),
        ([(1.0, 2.0), (float("nan"), 2.0)], "point 2, coordinate 1: nan"),
        (np.array([(1, 2), (1, np.inf)]), "point 2, coordinate 2: inf"),
        (np.array([(1, -np.inf), (1, 2)]), "point 1, coordinate 2: -inf"),
        (np.array([(1, 2), (1e31, 0)]), "point 2, coordinate 1: .*greater than 1e30"),
        (np.array([(1, 2), (0, -1e31)]), "point 2, coordinate 2: .*greater than 1e30"),
        (np.array([(1j, 2), (0, 1)]), "is not a number"),
        (np.array([(True, False), (True, True)]), "is not a number"),
        (np.ma.masked_array([(1.0, 2.0), (3.0, 4.0)]), "masked array"),
        ("no points", "give a list of points"),
        (None, "give a list of points"),
        (5, "give a list of points"),
        ({1: 2}, "give a list of points"),
    ],
)
def test_bad_points_are_refused(points: object, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        point_array(points, 2, 2, "point")  # type: ignore[arg-type]


def test_the_greatest_magnitude_is_still_read() -> None:
    for points in (np.array([(1e30, 0.0), (0.0, -1e30)]), np.array([(-1e30, 5.0), (3.0, 1e30)])):
        assert point_array(points, 2, 2, "point") is points
        assert point_array(points.tolist(), 2, 2, "point").tolist() == points.tolist()
    above = np.nextafter(1e30, np.inf)
    for points in (np.array([(above, 0.0), (0.0, 0.0)]), np.array([(0.0, 0.0), (-above, 0.0)])):
        with pytest.raises(ValueError, match="greater than 1e30"):
            point_array(points, 2, 2, "point")


def test_a_large_array_is_not_copied() -> None:
    points = np.ones((1_000_000, 3))
    assert point_array(points, 3, 4, "point") is points
