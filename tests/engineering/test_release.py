"""Whether temperatures let an arc start: figures decide alone, two crayons together.

That a crayon melts at its temperature, so that it says "above" or "below": common practice, no source.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering.procedures import Procedure, procedure_from
from housings.engineering.release import FRESH, LONGEST_ARC, Said, release
from housings.engineering.temperatures import (
    fits_in_other_unit,
    in_fahrenheit,
    looks_like_other_unit,
    read_temperature,
)

NOW = datetime.datetime(2026, 5, 4, 14, 0, tzinfo=datetime.UTC)


@dataclass(frozen=True)
class Read:
    value: str
    crayon: str = ""
    unit: str = "F"
    place: str = "stop"
    minutes_ago: float = 0

    @property
    def done_at(self) -> datetime.datetime:
        return NOW - datetime.timedelta(minutes=self.minutes_ago)


def procedure(least: str = "250", most: str = "400", unit: str = "F") -> Procedure:
    return procedure_from(
        {
            "title": "Invented",
            "qualified_by": "none",
            "process": "141",
            "preheat_least": least,
            "interpass_greatest": most,
            "temperature_unit": unit,
            "measured_at": "stop",
        }
    )


def said(*read: Read, first: bool = False, multipass: bool = True, of: Procedure | None = None) -> Said:
    return release(of or procedure(), read, NOW, is_multipass=multipass, is_first=first).said


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("249.9", Said.TOO_COLD),
        ("250", Said.RELEASED),
        ("400", Said.RELEASED),
        ("400.1", Said.TOO_HOT),
    ],
)
def test_a_figure_decides_and_the_limits_are_included(value: str, expected: Said) -> None:
    assert said(Read(value)) == expected


def test_units_are_compared_exactly() -> None:
    """0 °C is 32 °F and 100 °C is 212 °F (BIPM, definition of the degree Celsius; from memory)."""
    assert [in_fahrenheit("0", "C"), in_fahrenheit("100", "C")] == [Fraction(32), Fraction(212)]
    in_c = procedure("121.1", "204.4", "C")
    # 121.1 °C = 249.98 °F, 204.4 °C = 399.92 °F.
    assert said(Read("249.98"), of=in_c) == Said.RELEASED
    assert said(Read("249.97"), of=in_c) == Said.TOO_COLD
    assert said(Read("399.93"), of=in_c) == Said.TOO_HOT


@pytest.mark.parametrize(
    ("read", "expected"),
    [
        ((Read("250", "above"), Read("400", "below")), Said.RELEASED),
        ((Read("400", "below"), Read("250", "above")), Said.RELEASED),
        ((Read("275", "above"), Read("375", "below")), Said.RELEASED),
        ((Read("250", "above"),), Said.HIGH_END_OPEN),
        ((Read("400", "below"),), Said.LOW_END_OPEN),
        ((Read("250", "below"),), Said.TOO_COLD),
        ((Read("400", "above"),), Said.TOO_HOT),
        ((Read("250", "above"), Read("450", "below")), Said.HIGH_END_OPEN),
        ((Read("200", "above"), Read("400", "below")), Said.LOW_END_OPEN),
        # It has cooled on: the crayon that melted before does not any more.
        ((Read("250", "above", minutes_ago=4), Read("250", "below")), Said.TOO_COLD),
        # It was reheated.
        ((Read("250", "below", minutes_ago=4), Read("300", "above"), Read("400", "below")), Said.RELEASED),
        ((Read("450"), Read("400", "below"), Read("250", "above")), Said.RELEASED),
    ],
)
def test_two_crayons_together_decide(read: tuple[Read, ...], expected: Said) -> None:
    assert said(*read) == expected


def test_the_order_of_their_times_counts_not_the_order_in_which_they_come() -> None:
    assert said(Read("300", minutes_ago=1), Read("450", minutes_ago=3)) == Said.RELEASED


def test_it_is_read_where_the_procedure_says_and_not_long_before() -> None:
    assert said() == Said.NOT_READ
    assert said(Read("300", place="away")) == Said.READ_ELSEWHERE
    assert said(Read("300", minutes_ago=FRESH.total_seconds() / 60)) == Said.RELEASED
    assert said(Read("300", minutes_ago=5.1)) == Said.TOO_OLD
    # Of a pass whose beginning nobody recorded, only the end of the arc is known.
    earlier = Read("300", minutes_ago=(FRESH + LONGEST_ARC).total_seconds() / 60)
    found = release(procedure(), [earlier], NOW, is_multipass=True, is_first=False, end_known_only=True)
    assert found.is_free
    assert found.by == earlier


def test_before_the_first_pass_only_the_preheat_is_shown_at_any_place() -> None:
    assert said(Read("250", "above", place="beside"), first=True) == Said.RELEASED
    assert said(Read("500"), first=True) == Said.TOO_HOT
    assert said(first=True) == Said.NOT_READ
    assert said(first=True, of=procedure(least="")) == Said.NOTHING_ASKED


def test_a_weld_of_one_pass_has_no_greatest_interpass() -> None:
    assert said(Read("900"), first=True, multipass=False) == Said.RELEASED
    assert said(of=procedure("", ""), first=False) == Said.NOTHING_ASKED


@given(
    values=st.lists(
        st.tuples(st.integers(0, 700), st.sampled_from(["", "above", "below"])), min_size=1, max_size=5
    ),
    truth=st.integers(0, 700),
)
def test_what_is_true_of_a_joint_never_releases_it_wrongly(values: list[tuple[int, str]], truth: int) -> None:
    """Crayons and a thermometer that tell the truth about a temperature that does not change."""
    read = [
        Read(str(truth)) if not crayon else Read(str(value), "above" if truth >= value else "below")
        for value, crayon in values
    ]
    found = said(*read)
    if found is Said.RELEASED:
        assert 250 <= truth <= 400
    if found is Said.TOO_COLD:
        assert truth < 250
    if found is Said.TOO_HOT:
        assert truth >= 400


@pytest.mark.parametrize(
    ("value", "unit", "minutes", "asked"),
    [
        ("400", "C", None, True),
        ("350", "C", 2, False),
        ("120", "F", 2, True),
        ("120", "F", 30, False),
        ("120", "F", None, False),
        ("60", "F", 2, False),
        ("300", "F", 2, False),
        ("900", "C", 1, False),
    ],
)
def test_a_figure_that_looks_like_the_other_unit_is_asked_about(
    value: str, unit: str, minutes: float | None, asked: bool
) -> None:
    """A joint takes more than ten minutes from the arc to 250 °F (common practice, no source)."""
    assert looks_like_other_unit(value, unit, minutes) is asked


@pytest.mark.parametrize(
    ("value", "unit", "asked"),
    [("300", "C", True), ("250", "C", True), ("150", "C", False), ("204", "C", False), ("450", "C", False)],
)
def test_a_window_read_in_the_unit_of_nobody_is_asked_about(value: str, unit: str, asked: bool) -> None:
    """250 to 400 °F is 121 to 204 °C (common practice of 4130; the conversion by definition)."""
    assert fits_in_other_unit(value, unit, "F", Decimal(250), Decimal(400)) is asked
    assert not fits_in_other_unit(value, unit, "C", Decimal(121), Decimal(204))


@pytest.mark.parametrize(
    ("value", "unit"),
    [("x", "F"), ("", "F"), ("300", ""), ("300", "K"), (300, "F"), ("-500", "F"), ("5000", "F")],
)
def test_what_is_no_temperature_is_refused(value: object, unit: object) -> None:
    with pytest.raises(ValueError, match=r"\.$"):
        read_temperature(value, unit)


@given(st.decimals("-50", "1500", places=1))
def test_a_temperature_converts_exactly_and_back(value: object) -> None:
    celsius = Fraction(str(value))
    assert (in_fahrenheit(celsius, "C") - 32) * 5 / 9 == celsius
