"""Passes are recorded by one tap, in their order, and taken back if they never were.

That a V groove is filled by passes one over the other, and that rosettes are welded one by one: common
practice, no source.
"""

from __future__ import annotations

import json

import pytest
from hypothesis import HealthCheck
from hypothesis import given as tried_with
from hypothesis import settings as of_hypothesis
from hypothesis import strategies as st

from housings import gate
from housings.models import Housing, PassTakenBack, WeldPass
from inspections.models import Nonconformance
from shopqc import ledger
from shopqc.models import LedgerEntry
from tests.at_the_gate import refused
from tests.factories import Floor
from tests.housings.at_a_joint import (
    HOT,
    LEFT,
    ROSETTES,
    begin,
    done,
    drop,
    each_pass,
    later,
    read,
    settings,
    take_back,
    text,
)


@pytest.fixture
def bench(floor: Floor) -> Housing:
    """A housing at the snouts, every joint with its procedure, no rule in use."""
    floor.procedures()
    return floor.housing(until="snouts")


def test_one_tap_is_enough(floor: Floor, bench: Housing) -> None:
    assert done(floor, bench, 1) == {
        "housing": bench.serial,
        "joint": LEFT,
        "passes": [1],
        "outside": [],
        "nonconformance": None,
        "record_position": WeldPass.objects.get().record_position,
    }
    entry = WeldPass.objects.get()
    assert (entry.welder.stamp, entry.station, entry.visit.station) == ("W1", "snouts", "snouts")
    assert str(entry.procedure) == "snout-4140-250 1"
    assert (entry.heat_input, entry.released_by, entry.begun_at) == ("", None, None)
    line = json.loads(LedgerEntry.objects.filter(chain=bench.chain).order_by("-position")[0].line)
    assert (line["data"]["passes"], line["data"]["welder"], len(line["facts"])) == ([1], "W1", 1)
    assert ledger.verify().faults == ()


def test_a_pass_moves_metal(floor: Floor, bench: Housing) -> None:
    journal = floor.characteristic(bench, "journal_left")
    assert "snouts" in journal.movable_by
    before = gate.Situation(bench).moves
    done(floor, bench, 1)
    assert len(gate.Situation(bench).moves) == len(before) + 1
    take_back(floor, bench, 1)
    assert gate.Situation(bench).moves == before


def test_settings_are_said_once_and_count_for_every_pass(floor: Floor, bench: Housing) -> None:
    settings(floor, bench)
    done(floor, bench, 1)
    done(floor, bench, 2, figures={"amps": "190"})
    one, two = WeldPass.objects.order_by("number")
    # 12 V at 180 A and 3.5 in/min: 60 * 12 * 180 / 3.5 = 37029 J/in = 1.4578 kJ/mm; at 190 A 1.5388.
    assert (one.heat_input, two.heat_input) == ("1.4578", "1.5388")
    assert (one.figures, two.figures) == ({}, {"amps": "190"})


def test_travel_without_a_unit_is_in_that_of_the_settings(floor: Floor, bench: Housing) -> None:
    settings(floor, bench, figures={"volts": "12", "amps": "180", "travel": "1.4", "travel_unit": "mm/s"})
    done(floor, bench, 1, figures={"travel": "1.5"})
    done(floor, bench, 2, figures={"travel": "3.5", "travel_unit": "in/min"})
    one, two = WeldPass.objects.order_by("number")
    # 12 V at 180 A: 2160 W, over 1.5 mm/s 1440 J/mm; 3.5 in/min is 1.4817 mm/s (1 in = 25.4 mm).
    assert (one.heat_input, two.heat_input) == ("1.4400", "1.4578")
    assert one.figures == {"travel": "1.5", "travel_unit": "mm/s"}


def test_what_is_outside_is_kept_and_opens_a_nonconformance(floor: Floor, bench: Housing) -> None:
    settings(floor, bench)
    answer = done(floor, bench, 1, figures={"amps": "230"}, temperatures=[read(HOT)])
    assert [one["code"] for one in answer["outside"]] == ["amps", "interpass"]
    found = Nonconformance.objects.get()
    assert (found.number, found.severity) == (answer["nonconformance"], "minor")
    assert "Left snout to tube, pass 1: Amps 230" in found.what
    assert "610 °F" in found.what
    entry = WeldPass.objects.get()
    assert (entry.nonconformance, entry.outside) == (found.number, answer["outside"])
    assert entry.released_by is None
    # In one line of the record book: temperature, pass and nonconformance.
    line = json.loads(LedgerEntry.objects.filter(chain=bench.chain).order_by("-position")[0].line)
    assert len(line["facts"]) == 3
    assert ledger.verify().faults == ()


def test_more_passes_than_the_procedure_has_are_outside(floor: Floor, bench: Housing) -> None:
    floor.weld(bench, LEFT, 5)
    assert [one["code"] for one in done(floor, bench, 6)["outside"]] == ["pass_count"]


def test_a_pass_is_neither_doubled_nor_left_out(floor: Floor, bench: Housing) -> None:
    with refused("pass_skipped"):
        done(floor, bench, 2)
    done(floor, bench, 1)
    with refused("pass_known"):
        done(floor, bench, 1)
    with refused("pass_skipped"):
        done(floor, bench, 3)
    assert done(floor, bench, 1, joint="snout_right")["passes"] == [1]


def test_the_same_request_again_is_the_same_pass(floor: Floor, bench: Housing) -> None:
    assert done(floor, bench, 1, key="tap") == done(floor, bench, 1, key="tap")
    assert WeldPass.objects.count() == 1


def test_a_device_that_has_not_seen_the_last_pass_looks_again(floor: Floor, bench: Housing) -> None:
    bench.refresh_from_db()
    seen = bench.record_position
    done(floor, bench, 1)
    with refused("changed_meanwhile"):
        done(floor, bench, 2, seen_position=seen)
    bench.refresh_from_db()
    assert done(floor, bench, 2, seen_position=bench.record_position)["passes"] == [2]


def test_counted_welds_are_tapped_one_by_one_or_together(floor: Floor, bench: Housing) -> None:
    assert done(floor, bench, 1, joint=ROSETTES)["passes"] == [1]
    with refused("welds_left"):
        done(floor, bench, 2, joint=ROSETTES, passes=4)
    assert done(floor, bench, 2, joint=ROSETTES, passes=3)["passes"] == [2, 3, 4]
    entries = WeldPass.objects.filter(joint__code=ROSETTES)
    assert len({entry.record_position for entry in entries.filter(number__gt=1)}) == 1
    with refused("weld_complete"):
        done(floor, bench, 5, joint=ROSETTES)
    # A repair is no further rosette, and belongs to one that was begun.
    with refused("repair_not_begun"):
        done(floor, bench, 5, joint=ROSETTES, repair=1)
    assert ledger.verify().faults == ()


def test_passes_that_cool_in_between_are_recorded_one_by_one(floor: Floor, bench: Housing) -> None:
    with refused("one_by_one"):
        done(floor, bench, 1, passes=2)
    with refused("field_wrong"):
        done(floor, bench, 1, passes=0)


def test_a_weld_of_one_is_complete_after_one(floor: Floor) -> None:
    floor.procedures()
    housing = floor.housing(until="truss")
    done(floor, housing, 1, joint="truss")
    with refused("weld_complete"):
        done(floor, housing, 2, joint="truss")


def test_only_the_last_pass_is_taken_back_by_who_recorded_it(floor: Floor, bench: Housing) -> None:
    with refused("no_pass"):
        take_back(floor, bench, 1)
    floor.weld(bench, LEFT, 2)
    with refused("not_last_pass"):
        take_back(floor, bench, 1)
    with refused("not_who_did_it"):
        take_back(floor, bench, 2, by="M1")
    with refused("reason_needed"):
        take_back(floor, bench, 2, why="  ")
    take_back(floor, bench, 2)
    assert PassTakenBack.objects.get().why == "Tapped twice."
    # The pass stays on record beside it, and its number is free again.
    assert WeldPass.objects.count() == 2
    assert floor.joint(bench, LEFT).next_number == 2
    assert done(floor, bench, 2)["passes"] == [2]
    take_back(floor, bench, 2, by="Q1")
    assert ledger.verify().faults == ()


def test_what_a_pass_that_never_was_opened_stays_for_the_qc_lead(floor: Floor, bench: Housing) -> None:
    number = done(floor, bench, 1, figures={"amps": "230"})["nonconformance"]
    assert take_back(floor, bench, 1)["nonconformance"] == number
    assert Nonconformance.objects.filter(disposition=None).count() == 1


def test_time_does_not_run_backwards(floor: Floor, bench: Housing) -> None:
    done(floor, bench, 1, at=later(floor, 30), done_at=text(later(floor, 20)))
    with refused("time_backwards"):
        done(floor, bench, 2, at=later(floor, 30), done_at=text(later(floor, 19)))
    with refused("weld_in_future"):
        done(floor, bench, 2, at=later(floor, 30), done_at=text(later(floor, 31)))
    with refused("field_wrong"):
        done(floor, bench, 2, at=later(floor, 30), done_at="2026-05-04T10:00:00")
    done(floor, bench, 2, at=later(floor, 30), done_at=text(later(floor, 25)))


def test_an_hour_that_summer_time_takes_away_is_still_an_hour(floor: Floor, bench: Housing) -> None:
    """Moments are compared in UTC: 01:59 before the clocks go forward, 03:01 after, are two minutes apart
    (European summer time 2026 begins on 29 March at 01:00 UTC, directive 2000/84/EC; from memory).
    """
    done(floor, bench, 1, done_at="2026-03-29T01:59:00+01:00")
    with refused("time_backwards"):
        done(floor, bench, 2, done_at="2026-03-29T02:58:00+02:00")
    done(floor, bench, 2, done_at="2026-03-29T03:01:00+02:00")
    one, two = WeldPass.objects.order_by("number")
    assert (two.done_at - one.done_at).total_seconds() == 120


@pytest.mark.parametrize("figures", [{"amps": "0"}, {"travel": "0"}, {"volts": "-1"}, {"amps": "many"}])
def test_figures_that_cannot_be_are_refused(floor: Floor, bench: Housing, figures: dict[str, str]) -> None:
    with refused("weld_figure_wrong"):
        done(floor, bench, 1, figures=figures)
    with refused("weld_figure_wrong"):
        settings(floor, bench, figures=figures)


def test_of_a_first_article_every_pass_has_all_numbers(floor: Floor, bench: Housing) -> None:
    settings(floor, bench)
    with refused("choice_unknown"):
        each_pass(floor, bench, "curiosity")
    with refused("not_allowed"):
        each_pass(floor, bench, "audit", by="W1")
    each_pass(floor, bench, "first article")
    with refused("each_pass_needed"):
        done(floor, bench, 1, figures={"amps": "180"})
    done(floor, bench, 1, figures={"volts": "12.1", "amps": "178", "travel": "3.4"})
    # Settings said anew leave it asked; an empty reason ends it.
    settings(floor, bench, figures={"amps": "185"})
    with refused("each_pass_needed"):
        done(floor, bench, 2)
    each_pass(floor, bench, "")
    done(floor, bench, 2)
    newest = floor.joint(bench, LEFT).settings
    assert newest is not None
    assert newest.figures == {"volts": "12", "amps": "185", "travel": "3.5", "travel_unit": "in/min"}


def test_it_is_welded_where_the_housing_is(floor: Floor, bench: Housing) -> None:
    with refused("weld_elsewhere"):
        done(floor, bench, 1, joint="truss")
    with refused("not_found"):
        done(floor, bench, 1, joint="snout_top")
    with refused("not_found"):
        done(floor, bench, 1, welder="ZZ")


def test_somebody_else_may_type_it_in(floor: Floor, bench: Housing) -> None:
    done(floor, bench, 1, by="M1", welder="W1")
    entry = WeldPass.objects.get()
    assert (entry.welder.stamp, entry.by_stamp) == ("W1", "M1")


def test_a_pass_ends_the_arc_it_was_begun_with(floor: Floor, bench: Housing) -> None:
    begin(floor, bench, 1, temperatures=[read()])
    done(floor, bench, 1, at=later(floor, 4))
    entry = WeldPass.objects.get()
    assert (entry.begun_at, entry.done_at) == (floor.at, later(floor, 4))
    assert entry.released_by is not None
    assert entry.released_by.value == "450"
    assert floor.joint(bench, LEFT).arc is None
    with refused("no_arc"):
        drop(floor, bench)


def test_a_housing_released_before_there_were_joints_gets_them_now(floor: Floor) -> None:
    from housings.models import Joint, JointProcedure
    from shopqc import append_only

    housing = floor.housing(until="snouts")
    with append_only.lifted():
        JointProcedure.objects.all().delete()
        Joint.objects.filter(housing=housing).delete()
    assert floor.joint(housing, LEFT).joint.pk is None
    done(floor, housing, 1)
    assert floor.joint(housing, LEFT).done == 1


@of_hypothesis(deadline=None, max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@tried_with(steps=st.lists(st.sampled_from(["done", "back", "again", "skip"]), max_size=8))
def test_whatever_is_tapped_the_numbers_have_no_gap_and_no_double(
    floor: Floor, bench: Housing, steps: list[str]
) -> None:
    from shopqc.refusals import Refused

    for step in steps:
        following = floor.joint(bench, LEFT).next_number
        try:
            if step == "back":
                take_back(floor, bench, following - 1)
            else:
                done(floor, bench, {"done": following, "again": following - 1, "skip": following + 1}[step])
        except Refused as error:
            assert step != "done", error
    standing = WeldPass.objects.filter(joint__code=LEFT, taken_back=None).order_by("number")
    assert [entry.number for entry in standing] == list(range(1, standing.count() + 1))
