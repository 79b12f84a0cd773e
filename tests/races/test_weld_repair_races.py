"""Two people judge or dig out the same weld at once, on real transactions, made to overlap."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from housings.models import Housing, JointProcedure
from inspections.models import Nonconformance, WeldLook, WeldRepair
from shopqc import ledger
from shopqc.refusals import Refused
from tests.factories import AT, Floor
from tests.harness.overlap import Meeting
from tests.harness.threads import at_once
from tests.inspections.judging import LEFT, UNDERCUT, look, refuse_weld, repair, rework

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    return Floor(AT)


@pytest.fixture
def bench(floor: Floor) -> Housing:
    """A housing at the snouts, its left snout welded."""
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 3)
    return housing


def test_of_two_who_dig_the_same_weld_out_one_does(floor: Floor, bench: Housing) -> None:
    rework(floor, bench, refuse_weld(floor, bench))

    def dig(stamp: str) -> Callable[[], object]:
        return lambda: repair(floor, bench, 1, by=stamp)

    meeting = Meeting('INSERT INTO "inspections_weldrepair"', patience=0.7)
    outcomes = at_once(dig("W1"), dig("M1"), wrapped=[meeting])
    assert sorted(outcome.ok for outcome in outcomes) == [False, True]
    (lost,) = (outcome.error for outcome in outcomes if not outcome.ok)
    assert isinstance(lost, Refused) and lost.reasons[0].code == "repair_open"
    assert WeldRepair.objects.count() == 1
    assert JointProcedure.objects.filter(why="repair 1").count() == 1
    assert ledger.verify().faults == ()


def test_two_refusals_at_once_open_two_nonconformances(floor: Floor, bench: Housing) -> None:
    def refuse(stamp: str) -> Callable[[], object]:
        return lambda: look(floor, bench, "final", UNDERCUT, accepted=False, by=stamp)

    meeting = Meeting('INSERT INTO "inspections_nonconformance"', patience=0.7)
    outcomes = at_once(refuse("Q1"), refuse("W1"), wrapped=[meeting])
    assert all(outcome.ok for outcome in outcomes), outcomes
    assert sorted(Nonconformance.objects.values_list("number", flat=True)) == [1, 2]
    assert WeldLook.objects.count() == 2 and ledger.verify().faults == ()
