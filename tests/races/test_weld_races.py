"""Two phones at the bench, on real transactions: a welder has one arc, a pass is recorded once, and a filler
that is recalled meanwhile goes into no further pass.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from housings.models import Arc, Heat, Hold, Housing, WeldPass
from housings.operations.arcs import begin_pass
from housings.operations.materials import receive_heat
from housings.operations.passes import record_pass, take_back_pass
from housings.operations.recalls import recall_heat
from shopqc import ledger
from shopqc.models import LedgerEntry
from shopqc.refusals import Refused
from tests.factories import Floor
from tests.harness.overlap import Meeting
from tests.harness.threads import Outcome, at_once

pytestmark = pytest.mark.django_db(transaction=True)
LEFT, RIGHT = "snout_left", "snout_right"
FILLER = "F-1"


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    floor = Floor()
    floor.procedure()
    return floor


@pytest.fixture
def bench(floor: Floor) -> Housing:
    return floor.housing(until="snouts")


def codes(outcomes: list[Outcome]) -> list[str]:
    """What each call was refused for, one code each; an answer is ''."""
    found = []
    for outcome in outcomes:
        if outcome.ok:
            found.append("")
        else:
            assert isinstance(outcome.error, Refused), repr(outcome.error)
            found.append(outcome.error.reasons[0].code)
    return sorted(found)


def agreed() -> None:
    assert ledger.verify().faults == ()


def begins(floor: Floor, housing: Housing, joint: str, by: str) -> Callable[[], object]:
    return lambda: floor.do(begin_pass, by=by, housing=housing.serial, joint=joint, number=1)


def taps(floor: Floor, housing: Housing, by: str = "W1", **inputs: object) -> Callable[[], object]:
    return lambda: floor.do(record_pass, by=by, housing=housing.serial, joint=LEFT, number=1, **inputs)


def test_two_phones_of_one_welder_begin_one_arc(floor: Floor, bench: Housing) -> None:
    """On two housings, so that only the welder's own row keeps them apart."""
    other = floor.housing(until="snouts")
    outcomes = at_once(
        begins(floor, bench, LEFT, "W1"),
        begins(floor, other, LEFT, "W1"),
        wrapped=[Meeting('INSERT INTO "housings_arc"', patience=0.7)],
    )
    assert codes(outcomes) == ["", "arc_elsewhere"]
    assert Arc.objects.filter(ended_at=None).count() == 1
    agreed()


def test_two_welders_begin_one_arc_at_a_joint(floor: Floor, bench: Housing) -> None:
    outcomes = at_once(
        begins(floor, bench, LEFT, "W1"),
        begins(floor, bench, LEFT, "M1"),
        wrapped=[Meeting('INSERT INTO "housings_arc"', patience=0.7)],
    )
    assert codes(outcomes) == ["", "arc_on_joint"]
    assert Arc.objects.count() == 1
    agreed()


def test_two_welders_weld_left_and_right_at_once(floor: Floor, bench: Housing) -> None:
    outcomes = at_once(
        begins(floor, bench, LEFT, "W1"),
        begins(floor, bench, RIGHT, "M1"),
        wrapped=[Meeting('INSERT INTO "housings_arc"', patience=0.7)],
    )
    assert codes(outcomes) == ["", ""]
    agreed()


def test_a_double_tap_under_two_keys_is_one_pass(floor: Floor, bench: Housing) -> None:
    outcomes = at_once(
        taps(floor, bench),
        taps(floor, bench),
        wrapped=[Meeting('INSERT INTO "housings_weldpass"', patience=0.7)],
    )
    assert codes(outcomes) == ["", "pass_known"]
    assert WeldPass.objects.count() == 1
    lines = LedgerEntry.objects.filter(chain=bench.chain, line__contains='"operation":"record_pass"')
    assert lines.count() == 1
    agreed()


def test_a_double_tap_under_one_key_gets_one_answer(floor: Floor, bench: Housing) -> None:
    outcomes = at_once(
        taps(floor, bench, key="one tap"),
        taps(floor, bench, key="one tap"),
        wrapped=[Meeting("INSERT INTO shopqc_answered", patience=0.7)],
    )
    assert codes(outcomes) == ["", ""]
    assert outcomes[0].value == outcomes[1].value
    assert WeldPass.objects.count() == 1
    agreed()


def test_a_pass_is_taken_back_once(floor: Floor, bench: Housing) -> None:
    taps(floor, bench)()

    def back(stamp: str) -> Callable[[], object]:
        return lambda: floor.do(
            take_back_pass, by=stamp, housing=bench.serial, joint=LEFT, number=1, why="Tapped twice."
        )

    meeting = Meeting('INSERT INTO "housings_passtakenback"', patience=0.7)
    outcomes = at_once(back("W1"), back("Q1"), wrapped=[meeting])
    assert codes(outcomes) == ["", "no_pass"]
    agreed()


def test_a_filler_recalled_meanwhile_is_refused_or_found_by_the_recall(floor: Floor, bench: Housing) -> None:
    floor.do(receive_heat, by="W1", number=FILLER, kind="filler", grade="ER80S-D2")
    outcomes = at_once(
        taps(floor, bench, filler=FILLER),
        lambda: floor.do(recall_heat, by="Q1", heat=FILLER, why="Wrong spool in the box."),
        wrapped=[Meeting('UPDATE "housings_heat"', patience=0.7)],
    )
    welded = WeldPass.objects.filter(filler__number=FILLER).exists()
    if codes(outcomes) == ["", "changed_meanwhile"]:
        # Welded between the recall's look for housings and its locks: the QC lead looks again.
        assert welded
        assert Heat.objects.get(number=FILLER).recalled_at is None
        floor.do(recall_heat, by="Q1", heat=FILLER, why="Wrong spool in the box.")
    else:
        # Welded first: the recall found the housing. Recalled first: the pass is refused.
        assert codes(outcomes) == (["", ""] if welded else ["", "heat_recalled"])
    assert Heat.objects.get(number=FILLER).recalled_at is not None
    assert Hold.objects.filter(housing=bench, released_at=None).exists() == welded
    agreed()
