"""How templates cut serials and numbers and write moments."""

from datetime import UTC, date, datetime

import pytest
from django.utils import timezone

from shopqc.templatetags import shop_look


@pytest.mark.parametrize(
    ("number", "before", "after"),
    [
        ("12.0021", "12", ".0021"),
        ("-0.042", "-0", ".042"),
        ("22", "22", ""),
        (".5", "", ".5"),
        ("goes, stops", "goes, stops", ""),
        ("1.2.3", "1.2.3", ""),
        ("no.", "no.", ""),
        ("", "", ""),
    ],
)
def test_a_number_is_cut_at_its_point_and_nothing_is_lost(number: str, before: str, after: str) -> None:
    assert (shop_look.before_point(number), shop_look.from_point(number)) == (before, after)
    assert before + after == number


@pytest.mark.parametrize("grouped", ["KR 000 123-H7", "KR000123H7", ""])
def test_a_serial_is_cut_at_its_hyphen_and_nothing_is_lost(grouped: str) -> None:
    assert shop_look.serial_body(grouped) + shop_look.serial_check(grouped) == grouped


def test_a_moment_is_written_in_the_zone_of_the_shop_and_names_it() -> None:
    # Denver in summer is six hours behind UTC (IANA time zone data), so the day changes too.
    with timezone.override("America/Denver"):
        assert shop_look.moment("2031-07-10T02:30:00+00:00") == "9 Jul 2031, 20:30 MDT"
        assert shop_look.day("2031-07-10T02:30:00Z") == "9 Jul 2031"
        assert shop_look.moment(datetime(2031, 1, 10, 2, 30, tzinfo=UTC)) == "9 Jan 2031, 19:30 MST"


@pytest.mark.parametrize("value", ["2031-07-10", date(2031, 7, 10)])
def test_a_bare_date_has_no_time(value: object) -> None:
    assert shop_look.moment(value) == shop_look.day(value) == "10 Jul 2031"


@pytest.mark.parametrize(
    ("value", "shown"), [("not known", "not known"), ("", ""), (None, ""), ("2031-13-01", "2031-13-01")]
)
def test_what_is_no_date_stays_as_it_is(value: object, shown: str) -> None:
    assert shop_look.day(value) == shop_look.moment(value) == shown
