"""What is shown of a figure: the digits of the gauge, on the right side of its limit. Design, no source."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from inspections.wording import limit_words, shown


def test_it_shows_the_digits_that_the_gauge_gave() -> None:
    assert shown("0.00123456789012", 4, None, "0.005") == "0.0012"
    assert shown("0.25", 4, None, "0.3") == "0.2500"


def test_it_shows_more_where_rounding_would_change_sides() -> None:
    # 0.00503 in fails a limit of 0.005; "0.005, may be up to 0.005" would look like a pass.
    assert shown("0.00503", 3, None, "0.005") == "0.00503"
    assert shown("2.49899", 3, "2.499", None) == "2.49899"


@given(
    value=st.decimals(-10, 10, places=9, allow_nan=False),
    places=st.integers(0, 6),
    lower=st.decimals(-10, 10, places=4, allow_nan=False),
    upper=st.decimals(-10, 10, places=4, allow_nan=False),
)
def test_what_it_shows_is_on_the_side_of_the_value(
    value: Decimal, places: int, lower: Decimal, upper: Decimal
) -> None:
    seen = Decimal(shown(str(value), places, str(lower), str(upper)))
    assert (seen < lower, seen > upper) == (value < lower, value > upper)


def test_it_says_limits_in_words() -> None:
    assert limit_words(None, "0.005", "in") == "may be up to 0.005 in"
    assert limit_words("0.4375", None, "in") == "must be at least 0.4375 in"
    assert limit_words("-0.10", "0.10", "°") == "may be from -0.10 to 0.10°"
    assert limit_words("4", "4", "welds") == "must be 4 welds"
    assert limit_words(None, None, "in") == ""
