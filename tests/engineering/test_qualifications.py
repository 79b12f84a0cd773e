"""What a welder's qualification reaches, and how long using a process keeps it alive."""

from __future__ import annotations

import calendar
import datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering.joints import JointKind, joints_of
from housings.engineering.procedures import Procedure, procedure_from
from housings.engineering.qualifications import (
    WELD_TYPE_OF,
    continuity,
    months_later,
    qualified_from,
    reaches,
    read_ranges,
)
from housings.engineering.ready_procedures import READY_PROCEDURES
from housings.engineering.ready_specs import READY
from housings.engineering.spec import spec_from
from tests.published import Source, published

ASME = Source("ASME BPVC IX", "2021", "QW-322.1")
ISO = Source("ISO 9606-1", "2012", "9.2")
DAY = datetime.date
TIG: dict[str, Any] = {
    "process": "141",
    "joints": ["groove", "fillet", "plug"],
    "positions": ["PA", "PH"],
    "thickness": {"least": "0.125", "most": "0.500"},
    "diameter": {"least": "3", "most": "6"},
    "backing": "without",
    "filler_groups": ["F6"],
}
RACE = {joint.code: joint for joint in joints_of(spec_from(READY["race"].spec))}
SNOUT = RACE["snout_left"]


def procedure(name: str = "snout-4140-500", **changes: Any) -> Procedure:
    return procedure_from({**READY_PROCEDURES[name].data, **changes})


def test_a_qualification_that_covers_everything_reaches() -> None:
    tidy, problems = read_ranges("welding", TIG)
    assert problems == () and tidy == TIG
    assert reaches(qualified_from(tidy), procedure(), SNOUT) == ()
    assert reaches(qualified_from(tidy), procedure(filler_group="f6"), SNOUT, position="PH") == ()


# Each line is one essential variable (ISO 9606-1, 5; ASME IX, QW-350: from memory) that is not covered.
@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"process": "135"}, "It is for MAG, solid wire, not TIG."),
        ({"joints": ["fillet"]}, "It is not for groove welds."),
        ({"thickness": {"most": "0.375"}}, "A wall of 0.500 in is outside at most 0.375 in."),
        ({"diameter": {"least": "6"}}, "A diameter of 4 in is outside at least 6 in."),
        ({"backing": "with"}, "The root is open, and it is for welds with backing only."),
        ({"positions": ["PF"]}, "It has none of the procedure's positions."),
        ({"tacks_only": True}, "It is for tack welds only."),
    ],
)
def test_each_variable_that_is_not_covered_is_said(changes: dict[str, Any], said: str) -> None:
    assert reaches(qualified_from({**TIG, **changes}), procedure(), SNOUT) == (said,)


def test_filler_groups_count_where_both_sides_name_them() -> None:
    qualified = qualified_from(TIG)
    assert reaches(qualified, procedure(filler_group="F43"), SNOUT) == (
        "Filler group F43 is not among its groups.",
    )
    assert reaches(qualified_from({**TIG, "filler_groups": []}), procedure(filler_group="F43"), SNOUT) == ()


def test_with_backing_behind_the_root_the_open_root_is_not_asked() -> None:
    with_backing = qualified_from({**TIG, "backing": "with"})
    assert reaches(with_backing, procedure(backing=True), SNOUT) == ()
    # A fillet has no root to fall through.
    assert reaches(with_backing, procedure("fittings"), RACE["fill_weld"]) == ()


def test_a_position_that_was_said_has_to_be_covered() -> None:
    assert reaches(qualified_from(TIG), procedure(), SNOUT, position="PC") == (
        "Position PC is not among its positions.",
    )


def test_a_tack_asks_neither_type_nor_position_but_the_wall() -> None:
    tacker = {**TIG, "joints": ["fillet"], "positions": ["PF"], "backing": "with", "tacks_only": True}
    assert reaches(qualified_from(tacker), procedure(), SNOUT, tack=True) == ()
    thin = qualified_from({**tacker, "thickness": {"most": "0.125"}})
    assert reaches(thin, procedure(), SNOUT, tack=True) == (
        "A wall of 0.500 in is outside at most 0.125 in.",
    )


def test_limits_of_a_range_are_inside_it() -> None:
    exact = {
        **TIG,
        "thickness": {"least": "0.5", "most": "0.5"},
        "diameter": {"least": "4.0", "most": "4.00"},
    }
    assert reaches(qualified_from(exact), procedure(), SNOUT) == ()


def test_every_kind_of_joint_is_some_type_of_weld() -> None:
    assert set(WELD_TYPE_OF) == set(JointKind)


@pytest.mark.parametrize(
    ("kind", "ranges", "fields"),
    [
        ("welding", {}, {"process", "joints", "positions", "backing"}),
        ("welding", "141", {"", "process", "joints", "positions", "backing"}),
        ("welding", {**TIG, "process": "TIG"}, {"process"}),
        ("welding", {**TIG, "positions": ["6G"]}, {"positions"}),
        ("welding", {**TIG, "thickness": {"least": "1", "most": "0.5"}}, {"thickness/least"}),
        ("welding", {**TIG, "thickness": {"least": "thick"}}, {"thickness/least"}),
        ("welding", {**TIG, "thickness": {"least": True}}, {"thickness/least"}),
        ("welding", {**TIG, "thickness": {"fewest": "1"}}, {"thickness/fewest"}),
        ("welding", {**TIG, "diameter": "4"}, {"diameter"}),
        ("welding", {**TIG, "tacks_only": "yes"}, {"tacks_only"}),
        ("welding", {**TIG, "joints": "groove"}, {"joints"}),
        ("welding", {**TIG, "color": "red"}, {"color"}),
        ("welding", {**TIG, "filler_groups": ["F" * 21]}, {"filler_groups"}),
        ("testing", {"method": "VT"}, {"level"}),
        ("testing", {"method": "LOOK", "level": 2}, {"method", "level"}),
        ("testing", {"method": "VT", "level": "2", "process": "141"}, {"process"}),
    ],
)
def test_what_is_wrong_is_said_of_its_field(kind: str, ranges: Any, fields: set[str]) -> None:
    _tidy, problems = read_ranges(kind, ranges)
    assert {problem.field for problem in problems} == fields
    assert all(problem.sentence.endswith(".") for problem in problems)


def test_a_decimal_comma_is_a_point() -> None:
    tidy, problems = read_ranges("welding", {**TIG, "thickness": {"least": "0,125", "most": 1}})
    assert problems == () and tidy["thickness"] == {"least": "0.125", "most": "1"}


def test_continuity_is_six_calendar_months_from_the_last_use() -> None:
    # "When he has not welded with a process during a period of 6 months or more" (from memory).
    published(
        ASME, continuity([DAY(2026, 1, 15)], DAY(2026, 3, 1), 6).isoformat(), "2026-07-15", kind="memory"
    )
    # "The qualifications … shall be confirmed every six months" (from memory).
    published(
        ISO, continuity([DAY(2025, 11, 30)], DAY(2026, 5, 1), 6).isoformat(), "2026-05-30", kind="memory"
    )


# Calendar arithmetic: months have different ends, and 2028 is a leap year (Gregorian calendar, ISO 8601).
@pytest.mark.parametrize(
    ("last", "until"),
    [
        (DAY(2026, 8, 31), DAY(2027, 2, 28)),
        (DAY(2027, 8, 31), DAY(2028, 2, 29)),
        (DAY(2026, 8, 30), DAY(2027, 2, 28)),
        (DAY(2026, 12, 31), DAY(2027, 6, 30)),
        (DAY(2028, 2, 29), DAY(2028, 8, 29)),
        (DAY(2026, 7, 1), DAY(2027, 1, 1)),
    ],
)
def test_ends_of_months(last: datetime.date, until: datetime.date) -> None:
    assert continuity([last], last, 6) == until


def test_only_uses_up_to_the_day_count_and_none_is_none() -> None:
    uses = [DAY(2026, 1, 1), DAY(2026, 6, 1)]
    assert continuity(uses, DAY(2026, 5, 31), 6) == DAY(2026, 7, 1)
    assert continuity(uses, DAY(2026, 6, 1), 6) == DAY(2026, 12, 1)
    assert continuity(uses, DAY(2025, 12, 31), 6) is None
    assert continuity([], DAY(2026, 1, 1), 6) is None


@given(st.dates(DAY(1990, 1, 1), DAY(2100, 1, 1)), st.integers(0, 240))
def test_months_later_is_in_that_month_and_never_past_the_day(day: datetime.date, months: int) -> None:
    later = months_later(day, months)
    assert (later.year * 12 + later.month) - (day.year * 12 + day.month) == months
    last = calendar.monthrange(later.year, later.month)[1]
    assert later.day == min(day.day, last)


@given(st.lists(st.dates(DAY(2020, 1, 1), DAY(2030, 1, 1))), st.dates(DAY(2020, 1, 1), DAY(2030, 1, 1)))
def test_one_more_use_never_shortens_it(uses: list[datetime.date], on: datetime.date) -> None:
    before, after = continuity(uses, on, 6), continuity([*uses, on], on, 6)
    assert after == months_later(on, 6)
    assert before is None or before <= after
