"""A heat is recalled while somebody puts it into a housing; two take one piece: made to overlap."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import pytest

from housings.models import Heat, Hold, Housing, MaterialUse, WeldPass
from housings.operations.materials import cut_piece, receive_heat
from housings.operations.recalls import recall_heat
from shopqc import ledger
from shopqc.refusals import Refused
from tests.factories import AT, Floor
from tests.harness.overlap import Meeting, Pause
from tests.harness.threads import Outcome, at_once, start
from tests.housings import at_a_joint
from tests.housings.steel import heat, use, usual_heats

pytestmark = pytest.mark.django_db(transaction=True)
LEFT = {"part": "tube_left", "heat": "T-4130"}


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    floor = Floor(AT)
    usual_heats(floor)
    return floor


def codes(outcomes: list[Outcome]) -> list[str]:
    """What each call was refused for, one code each; an answer is ''."""
    found = []
    for outcome in outcomes:
        if outcome.ok:
            found.append("")
        else:
            assert isinstance(outcome.error, Refused), repr(outcome.error)
            found.append(outcome.error.reasons[0].code)
    return found


def putting(floor: Floor, housing: Housing, one: dict[str, Any]) -> Callable[[], object]:
    return lambda: use(floor, housing, one)


def recalling(floor: Floor) -> Callable[[], object]:
    return lambda: floor.do(recall_heat, by="Q1", heat="T-4130", why="The mill called.")


def held() -> set[str]:
    return set(Hold.objects.filter(released_at=None).values_list("housing__serial", flat=True))


def agreed() -> None:
    assert ledger.verify().faults == ()


def test_no_housing_gets_a_heat_past_its_recall(floor: Floor) -> None:
    """The recall stands before its locks when another housing gets the heat."""
    first, second = floor.housing(until="jig"), floor.housing(until="jig")
    use(floor, first, LEFT)
    pause = Pause('FROM "housings_housing"')
    running = start(recalling(floor), wrapped=[pause])
    pause.wait_until_reached()
    recorded = threading.Event()
    using = start(lambda: (use(floor, second, LEFT), recorded.set()))
    # SQLite lets nobody write meanwhile: there the use waits, and finds the heat recalled.
    recorded.wait(1.0)
    pause.go()
    (recalled,), (used,) = codes(running.outcomes()), codes(using.outcomes())
    if recalled == "changed_meanwhile":
        assert used == "" and not Hold.objects.exists()
        assert Heat.objects.get(number="T-4130").recalled_at is None
        recalling(floor)()
    else:
        assert (recalled, used) == ("", "heat_recalled")
    inside = set(MaterialUse.objects.values_list("housing__serial", flat=True))
    assert held() == inside and first.serial in inside
    agreed()


def test_a_use_and_a_recall_at_once_leave_nothing_unheld(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    meeting = Meeting('INTO "shopqc_ledgerentry"', patience=0.7)
    outcomes = at_once(putting(floor, housing, LEFT), recalling(floor), wrapped=[meeting])
    used, recalled = codes(outcomes)
    assert (used, recalled) in {("", ""), ("heat_recalled", ""), ("", "changed_meanwhile")}
    if recalled == "":
        assert held() == set(MaterialUse.objects.values_list("housing__serial", flat=True))
    agreed()


def test_of_two_who_take_one_piece_one_has_it(floor: Floor) -> None:
    floor.do(cut_piece, by="W1", heat="T-4130", code="T-1", what="Left tube", number_copied=True)
    first, second = floor.housing(until="jig"), floor.housing(until="jig")
    piece = {"part": "tube_left", "piece": "T-1"}
    meeting = Meeting('INTO "housings_materialuse"', patience=0.7)
    outcomes = at_once(putting(floor, first, piece), putting(floor, second, piece), wrapped=[meeting])
    assert sorted(codes(outcomes)) == ["", "piece_used"]
    assert MaterialUse.objects.count() == 1
    agreed()


def test_of_two_who_receive_one_heat_one_does(floor: Floor) -> None:
    def receive(stamp: str) -> Callable[[], object]:
        return lambda: floor.do(receive_heat, by=stamp, number="N-1", kind="steel", grade="4130")

    meeting = Meeting('INTO "housings_heat"', patience=0.7)
    outcomes = at_once(receive("W1"), receive("M1"), wrapped=[meeting])
    assert sorted(codes(outcomes)) == ["", "heat_exists"]
    agreed()


def test_no_pass_is_welded_past_the_recall_of_its_filler(floor: Floor) -> None:
    """The recall stands before its locks when a pass with the lot is recorded on another housing."""
    floor.procedures()
    heat(floor, "F-90", kind="filler", grade="ER80S-D2")
    housing = floor.housing(until="snouts")
    at_a_joint.settings(floor, housing, filler="F-90")
    pause = Pause('FROM "housings_heat"')
    running = start(
        lambda: floor.do(recall_heat, by="Q1", heat="F-90", why="Wet in its box."), wrapped=[pause]
    )
    pause.wait_until_reached()
    recorded = threading.Event()
    welding = start(lambda: (at_a_joint.done(floor, housing, 1), recorded.set()))
    recorded.wait(1.0)
    pause.go()
    (recalled,), (welded,) = codes(running.outcomes()), codes(welding.outcomes())
    assert (recalled, welded) in {("", ""), ("", "heat_recalled"), ("changed_meanwhile", "")}
    if recalled == "":
        inside = set(WeldPass.objects.values_list("housing__serial", flat=True))
        assert held() == inside
    agreed()
