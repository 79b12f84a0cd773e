"""Decisions: against a second implementation on thousands of cases, and what must always hold."""

import random
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from inspections.metrology import Limits, Uncertainty, adequate, combine, decide
from inspections.metrology.decision import Rule

amounts = st.decimals(-1000, 1000, places=4)
positive = st.decimals("0.0001", 100, places=4)
rules: tuple[Rule, ...] = ("simple", "guarded", "guarded_95")


def test_thousands_of_decisions_agree_with_a_plain_reading_of_the_rules() -> None:
    dice = random.Random(14253)
    for _ in range(3000):
        low, high = sorted(dice.randrange(-500, 500) for _ in range(2))
        lower = None if dice.random() < 0.2 else low
        upper = None if lower is not None and dice.random() < 0.2 else high
        value, doubt = dice.randrange(-600, 600), dice.choice((0, dice.randrange(0, 300)))
        rule, k = dice.choice(rules), dice.choice((1, 2, 3))
        found = decide(
            Decimal(value) / 1000,
            (lower and Fraction(lower, 1000) if lower != 0 else 0, upper if upper is None else upper / 1000),
            Fraction(doubt, 1000),
            k,
            rule,
        )
        # In thousandths and then thousands of thousandths, so that every band is a whole number.
        band = {"simple": 0, "guarded": doubt * 6000, "guarded_95": 1645 * doubt * 6 // k}[rule]
        y, lo, hi = (
            value * 6000,
            None if lower is None else lower * 6000,
            None if upper is None else upper * 6000,
        )
        inside = (lo is None or y >= lo + band) and (hi is None or y <= hi - band)
        outside = (lo is not None and y < lo - band) or (hi is not None and y > hi + band)
        assert found.verdict == ("pass" if inside else "fail" if outside else "undecided")
        assert found.guard_band == Fraction(band, 6_000_000)
        if doubt:
            u = doubt / k
            reference = (1.0 if upper is None else norm.cdf((upper - value) / u)) - (
                0.0 if lower is None else norm.cdf((lower - value) / u)
            )
            assert found.probability == pytest.approx(float(reference), abs=1e-14)


@given(amounts, positive, positive, st.integers(1, 4))
def test_a_value_at_its_limit_passes_under_the_simple_rule(
    limit: Decimal, width: Decimal, doubt: Decimal, k: int
) -> None:
    for limits in (
        (None, limit),
        (limit, None),
        (limit - width, limit),
        (limit, limit + width),
        (limit, limit),
    ):
        for value in (limit, str(limit), Fraction(limit), float(limit)):
            found = decide(value, limits, doubt, k)
            assert (found.verdict, found.margin) == ("pass", 0)


@given(amounts, positive, positive)
def test_bands_begin_and_end_exactly(limit: Decimal, doubt: Decimal, step: Decimal) -> None:
    """At the end of the acceptance zone it passes, a hair beyond not; up to the far end it is open."""
    for rule, band in (("guarded", doubt), ("guarded_95", Decimal("1.645") * doubt / 2)):
        hair = step / 10**9
        verdicts = [
            decide(limit + side, (None, limit), doubt, rule=rule).verdict  # type: ignore[arg-type]
            for side in (-band, -band + hair, 0, band, band + hair)
        ]
        assert verdicts == ["pass", "undecided", "undecided", "undecided", "fail"]


@given(amounts, amounts, positive, positive)
def test_mirrored_values_have_mirrored_decisions(
    value: Decimal, lower: Decimal, width: Decimal, doubt: Decimal
) -> None:
    for rule in rules:
        here = decide(value, (lower, lower + width), doubt, rule=rule)
        there = decide(-value, (-lower - width, -lower), doubt, rule=rule)
        assert (here.verdict, here.margin, here.guard_band) == (there.verdict, there.margin, there.guard_band)
        assert here.probability == pytest.approx(there.probability, rel=1e-12)
        both = [decide(value, pair, doubt).probability for pair in ((lower, None), (None, lower + width))]
        assert here.probability == pytest.approx(sum(both) - 1, abs=1e-12)


def test_a_small_chance_keeps_its_digits() -> None:
    """Ten standard deviations outside: 7.6e-24, which a difference of numbers near one would lose."""
    for value, limits in ((11, (None, 1)), (-11, (-1, 1)), (11, (-1, 1))):
        chance = decide(value, limits, 2, k=2).probability
        reference = norm.sf(10) - (norm.sf(12) if None not in limits else 0)
        assert chance == pytest.approx(float(reference), rel=1e-12)
    assert decide(0, (None, "1e-25"), "1e-30").probability == 1.0
    assert decide("1e25", (0, 1), "1e-30").probability == 0.0


def test_without_doubt_the_chance_is_all_or_nothing() -> None:
    assert [decide(value, (0, 1)).probability for value in (0, 1, 2)] == [1.0, 1.0, 0.0]


def test_a_gauge_too_coarse_passes_nothing() -> None:
    found = decide("0.5", (0, 1), "0.6", rule="guarded")
    assert found.acceptance == (Fraction(3, 5), Fraction(2, 5))
    assert found.verdict == "undecided"
    assert decide(0, (None, 1), rule="guarded").acceptance == (None, 1)


@given(positive, positive, st.integers(1, 20))
def test_share_and_ratio_are_one_another_s_inverse(doubt: Decimal, width: Decimal, wanted: int) -> None:
    both = adequate(doubt, (0, width), wanted)
    one = adequate(2 * doubt, (None, width), wanted)
    assert (both.share, both.ratio, both.enough) == (one.share, one.ratio, one.enough)
    assert both.share is not None and both.ratio is not None and both.percent is not None
    assert both.share * both.ratio == 1
    assert both.enough == (both.ratio >= wanted)
    assert both.percent - 1 < 100 * both.share <= both.percent


def test_what_has_no_room_has_no_share() -> None:
    for limits in ((1, None), (None, 0), (None, -1)):
        found = adequate("0.1", limits)
        assert (found.span, found.share, found.percent, found.ratio, found.enough) == (None,) * 5
    tight = adequate("0.1", (1, 1))
    assert (tight.span, tight.share, tight.ratio, tight.enough) == (0, None, None, False)
    assert adequate(0, (1, 1)).enough is True
    certain = adequate(0, (0, 1))
    assert (certain.share, certain.percent, certain.ratio, certain.enough) == (0, 0, None, True)


def test_a_budget_may_stand_for_the_gauge() -> None:
    total: Uncertainty = combine(["0.001"])
    assert adequate(total, (0, "0.016")).ratio == pytest.approx(4, rel=1e-4)


def test_limits_are_a_value() -> None:
    limits = Limits(Fraction(1), None)
    assert decide(1, limits).verdict == "pass"
    assert adequate(0, Limits(None, Fraction(1))).share == 0
