"""The arc: one for a welder, one for a joint; a station is left with its passes on record; the fire watch.

That somebody watches for fire 30 to 60 minutes after the last arc: common practice, no source.
"""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings import weld_queries
from housings.models import Arc, FireWatch, Housing, WeldPass
from housings.operations.fire_watch import end_fire_watch
from housings.operations.holds import hold_housing
from housings.operations.orders import cancel_housing
from housings.operations.taking_back import undo_arrival
from housings.operations.visits import record_work_done
from housings.weld_rules import WELDS_RECORDED
from shopqc import ledger
from shopqc.people import PROGRAM
from shopqc.refusals import Refused
from tests.at_the_gate import asked, come, go, leave_visit, refused
from tests.factories import Floor
from tests.housings.at_a_joint import LEFT, RIGHT, ROSETTES, begin, done, drop, heat, later, read, text, use


@pytest.fixture
def bench(floor: Floor) -> Housing:
    floor.procedures()
    return floor.housing(until="snouts")


@pytest.fixture
def other(floor: Floor, bench: Housing) -> Housing:
    return floor.housing(until="snouts")


def watch(floor: Floor, minutes: float, by: str = "W1", **inputs: str) -> object:
    return floor.do(end_fire_watch, by=by, at=later(floor, minutes), **inputs)


def test_a_welder_has_one_arc_whatever_phone(floor: Floor, bench: Housing, other: Housing) -> None:
    begin(floor, bench, 1)
    for housing, joint in ((bench, RIGHT), (other, LEFT)):
        with refused("arc_elsewhere"):
            begin(floor, housing, 1, joint=joint)
        with refused("arc_elsewhere"):
            done(floor, housing, 1, joint=joint, at=later(floor, 3))
    # Somebody else may weld the other housing meanwhile.
    begin(floor, other, 1, by="M1")
    done(floor, bench, 1, at=later(floor, 4))
    assert Arc.objects.filter(ended_at=None).count() == 1


def test_what_was_welded_before_the_arc_began_is_still_recorded(
    floor: Floor, bench: Housing, other: Housing
) -> None:
    begin(floor, bench, 1, at=later(floor, 10))
    done(floor, other, 1, at=later(floor, 12), done_at=text(later(floor, 5)))
    assert WeldPass.objects.get().housing == other


def test_a_joint_has_one_arc(floor: Floor, bench: Housing) -> None:
    begin(floor, bench, 1)
    with refused("arc_on_joint"):
        begin(floor, bench, 1, by="M1")
    with refused("arc_on_joint"):
        done(floor, bench, 1, by="M1")
    # Recorded as the pass of who welds it, by somebody else.
    done(floor, bench, 1, by="M1", welder="W1")


def test_an_arc_begun_by_mistake_is_taken_back(floor: Floor, bench: Housing) -> None:
    begin(floor, bench, 1)
    with refused("not_who_did_it"):
        drop(floor, bench, by="M1")
    drop(floor, bench)
    begin(floor, bench, 1, by="M1")
    drop(floor, bench, by="Q1")
    assert list(Arc.objects.order_by("pk").values_list("ended", flat=True)) == ["dropped", "dropped"]
    assert ledger.verify().faults == ()


def test_the_arc_at_a_housing_that_was_scrapped_is_taken_back(
    floor: Floor, bench: Housing, other: Housing
) -> None:
    """Else its welder could begin nothing any more."""
    begin(floor, bench, 1)
    floor.do(cancel_housing, by="Q1", housing=bench.serial, why="The customer has changed their mind.")
    with refused("housing_ended"):
        done(floor, bench, 1)
    with refused("arc_elsewhere"):
        begin(floor, other, 1)
    drop(floor, bench)
    begin(floor, other, 1)


def test_an_arrival_stays_once_a_joint_was_read_fitted_or_begun(floor: Floor, bench: Housing) -> None:
    def undo() -> None:
        floor.do(undo_arrival, by="W1", housing=bench.serial, station="snouts")

    begin(floor, bench, 1)
    with refused("visit_not_empty"):
        undo()
    drop(floor, bench)
    undo()
    come(floor, bench, "snouts")
    heat(floor, bench, read())
    with refused("visit_not_empty"):
        undo()


def test_times_of_another_day_are_said_with_their_day(floor: Floor, bench: Housing, other: Housing) -> None:
    begin(floor, bench, 1)
    for minutes, said in ((60, "since 09:30"), (1500, "since 4 May 2026, 09:30")):
        with pytest.raises(Refused) as error:
            begin(floor, other, 1, at=later(floor, minutes))
        assert said in error.value.sentences[0]


def test_a_held_housing_is_not_welded_and_a_pass_under_way_is_recorded(floor: Floor, bench: Housing) -> None:
    begin(floor, bench, 1)
    floor.do(hold_housing, by="Q1", housing=bench.serial, why="Look at the left seat.")
    done(floor, bench, 1)
    with refused("held"):
        begin(floor, bench, 2)


def test_nobody_leaves_while_the_arc_is_on(floor: Floor, bench: Housing) -> None:
    begin(floor, bench, 1)
    assert "arc_on_leaving" in asked(bench, leave_visit("snouts"))


def test_a_station_is_left_with_all_of_its_passes_once_the_shop_asks(floor: Floor, bench: Housing) -> None:
    floor.do(record_work_done, by="W1", housing=bench.serial, station="snouts")
    floor.measure_due(bench, "snouts")
    assert "welds_missing" not in asked(bench, leave_visit("snouts"))
    use(floor, WELDS_RECORDED)
    assert asked(bench, leave_visit("snouts")).count("welds_missing") == 4
    # The example procedure for 0.250 in of wall has three passes at least.
    for joint in (LEFT, RIGHT):
        floor.weld(bench, joint, 2)
        assert floor.joint(bench, joint).missing == 1
        floor.weld(bench, joint)
    for joint in (ROSETTES, "rosettes_right"):
        done(floor, bench, 1, joint=joint, passes=4)
    assert "welds_missing" not in asked(bench, leave_visit("snouts"))
    floor.measure_due(bench, "snouts")
    go(floor, bench, "snouts")


def test_a_station_that_welds_nothing_asks_for_no_pass(floor: Floor) -> None:
    use(floor, WELDS_RECORDED)
    housing = floor.housing(until="jig")
    assert "welds_missing" not in asked(housing, leave_visit("jig"))


def test_the_clock_reads_many_housings_with_few_queries(floor: Floor, bench: Housing) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            states = weld_queries.joints_at_the_bench(PROGRAM)
            assert all(state.is_here and state.housing.serial for state in states)
            assert all(state.release(floor.at) for state in states)
            assert all(one.welder.stamp for state in states for one in state.passes)
        return len(seen)

    floor.weld(bench, LEFT, 2)
    few = queries()
    for _ in range(3):
        more = floor.housing(until="snouts")
        floor.weld(more, LEFT, 3)
    assert queries() == few <= 12
    serials = [state.housing.serial for state in weld_queries.joints_at_the_bench(PROGRAM)]
    assert len(serials) == 4 * 4


def test_the_fire_watch_lasts_as_long_as_the_shop_says(floor: Floor, bench: Housing) -> None:
    with refused("no_arc_yet"):
        watch(floor, 0)
    begin(floor, bench, 1, temperatures=[read()])
    with refused("arc_on_now"):
        watch(floor, 200)
    done(floor, bench, 1, at=later(floor, 10))
    with refused("watch_not_over"):
        watch(floor, 69)
    watch(floor, 70, found="A rag was warm; taken out.")
    with refused("watched_already"):
        watch(floor, 71)
    entry = FireWatch.objects.get()
    assert (entry.last_arc_at, entry.watched_until) == (later(floor, 10), later(floor, 70))
    # A later arc wants a watch of its own.
    done(floor, bench, 2, at=later(floor, 80))
    watch(floor, 140, by="O1")
    assert ledger.verify().faults == ()
