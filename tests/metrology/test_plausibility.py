"""Figures that look like a slip are named, and figures of a bad part are not."""

from __future__ import annotations

from fractions import Fraction

import pytest

from inspections.metrology.plausibility import doubts_about, instead_of

FACE = ("2.495", "2.505")


@pytest.mark.parametrize(
    ("value", "code", "meant"),
    [
        # 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
        ("63.5", "in_for_mm", Fraction("2.5")),
        ("25.01", "decimal_slipped", Fraction("2.501")),
        ("0.2501", "decimal_slipped", Fraction("2.501")),
        ("250.1", "decimal_slipped", Fraction("2.501")),
        ("-2.501", "sign_turned", Fraction("2.501")),
    ],
)
def test_a_slip_is_named_with_what_was_meant(value: str, code: str, meant: Fraction) -> None:
    assert doubts_about(value, *FACE)[0] == code
    assert instead_of(code, value, *FACE) == meant


def test_inches_typed_as_millimeters() -> None:
    limits = ("63.373", "63.627")
    assert doubts_about("2.5", *limits, unit="mm")[0] == "mm_for_in"
    assert instead_of("mm_for_in", "2.5", *limits, unit="mm") == Fraction("63.5")


@pytest.mark.parametrize("value", ["2.5", "2.495", "2.505", "2.48", "2.56", "2.4", "0"])
def test_a_bad_part_is_not_asked_about(value: str) -> None:
    """A face 0.1 in out of place is scrap and no slip of the hand: common practice, no source."""
    assert doubts_about(value, *FACE) == []


def test_limits_on_one_side() -> None:
    # Runout may be up to 0.005 in; 0.030 is a bent tube, 0.1 with the decimal a place off is asked about.
    assert doubts_about("0.030", None, "0.005") == []
    assert doubts_about("0.127", None, "0.005")[0] == "in_for_mm"
    assert instead_of("in_for_mm", "0.127", None, "0.005") == Fraction("0.005")
    assert doubts_about("0.45", "4.375", None) == []
    assert doubts_about("0.04", "0.4375", None)[0] == "decimal_slipped"


def test_angles_know_their_sign_and_both_sides_added_up() -> None:
    camber = ("-0.60", "-0.40")
    assert doubts_about("0.5", *camber, unit="°")[0] == "sign_turned"
    assert instead_of("sign_turned", "0.5", *camber, unit="°") == Fraction("-0.5")
    assert doubts_about("-1.0", *camber, unit="°") == ["angle_doubled"]
    assert instead_of("angle_doubled", "-1.0", *camber, unit="°") == Fraction("-0.5")
    # Zero in the middle: the sign says nothing.
    assert doubts_about("0.3", "-0.1", "0.1", unit="°") == []


def test_ten_times_all_that_stands_beside_it() -> None:
    others = ("0.0010", "0.0015", "-0.0005")
    assert doubts_about("0.015", last=others) == ["ten_times_last"]
    assert instead_of("ten_times_last", "0.015", last=others) == Fraction("0.0015")
    assert doubts_about("0.004", last=others) == []
    assert doubts_about("0.015", last=("0", "0", "0")) == []


def test_a_nominal_alone() -> None:
    assert doubts_about("116.56", nominal="4.589")[0] == "in_for_mm"
    assert doubts_about("4.60", nominal="4.589") == []
