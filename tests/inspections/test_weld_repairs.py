"""Repairs of welds: dug out after a decision, the cavity seen, welded by a procedure for it, counted.

Common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Housing, JointProcedure, ProcedureRevision
from inspections.models import WeldLook, WeldRepair
from inspections.operations.nonconformances import dispose
from shopqc import ledger
from shopqc.refusals import Refused
from tests.at_the_gate import asked, refused
from tests.factories import Floor
from tests.housings import at_a_joint
from tests.housings.at_a_joint import use
from tests.inspections.judging import DUG, LEFT, RIGHT, look, refuse_weld, repair, rework
from tests.inspections.test_weld_looks import next_pass


@pytest.fixture
def bench(floor: Floor) -> Housing:
    """A housing at the snouts, its left snout welded and refused: nonconformance 1."""
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 3)
    refuse_weld(floor, housing)
    return housing


def again(floor: Floor, housing: Housing, number: int, nonconformance: int, **begun: Any) -> None:
    """One repair from digging out to the look, which refuses it."""
    rework(floor, housing, nonconformance)
    repair(floor, housing, nonconformance, **begun)
    look(floor, housing, "cavity")
    floor.weld(housing, LEFT, 1, repair=number)
    refuse_weld(floor, housing)


def test_a_repair_from_decision_to_acceptance(floor: Floor, bench: Housing) -> None:
    use(floor, "root_seen")
    with refused("repair_before_decision"):
        repair(floor, bench, 1)
    rework(floor, bench, 1)
    answer = repair(floor, bench, 1)
    assert (answer["repair"], answer["procedure"]) == (1, "repair-snout-4140 1")
    one = WeldRepair.objects.get()
    assert (one.number, one.how, one.credential, one.nonconformance.number) == (1, DUG, "", 1)
    given = JointProcedure.objects.filter(joint__code=LEFT, joint__housing=bench).latest("pk")
    assert given.procedure == one.procedure and given.why == "repair 1"
    # Its passes wait for the cavity, and no other pass comes in between.
    assert asked(bench, next_pass(floor, repair=1)) == ["cavity_not_seen"]
    assert "repair_open" in asked(bench, next_pass(floor))
    with refused("repair_not_welded"):
        look(floor, bench, "final")
    look(floor, bench, "cavity")
    assert asked(bench, next_pass(floor, repair=1)) == []
    floor.weld(bench, LEFT, 1, repair=1)
    with refused("cavity_welded"):
        look(floor, bench, "cavity")
    look(floor, bench, "final")
    newest = WeldLook.objects.latest("record_position")
    assert (newest.repair, newest.accepted, newest.after_pass) == (1, True, 4)
    assert "repair_not_begun" in asked(bench, next_pass(floor, repair=1))
    assert ledger.verify().faults == ()


def test_a_pass_begun_in_a_repair_is_recorded_under_it(floor: Floor, bench: Housing) -> None:
    rework(floor, bench, 1)
    repair(floor, bench, 1)
    look(floor, bench, "cavity")
    at_a_joint.begin(floor, bench, 4, repair=1)
    with refused("repair_open"):
        at_a_joint.done(floor, bench, 4)
    with refused("repair_not_begun"):
        at_a_joint.done(floor, bench, 4, repair=2)
    at_a_joint.done(floor, bench, 4, repair=1)
    state = floor.joint(bench, LEFT)
    assert (state.done, state.done_of(1), state.next_number) == (3, 1, 5)


def test_before_a_repair_only_its_preheat_is_shown(floor: Floor, bench: Housing) -> None:
    """A cavity is cold and has no place where a pass stopped; its procedure asks for 400 °F at least."""
    use(floor, "arc_released")
    rework(floor, bench, 1)
    repair(floor, bench, 1)
    look(floor, bench, "cavity")
    with refused("heat_not_read"):
        at_a_joint.begin(floor, bench, 4, repair=1)
    melted = at_a_joint.read("400", crayon="above", place="beside")
    at_a_joint.done(floor, bench, 4, repair=1, temperatures=[melted])
    # Its second pass has an interpass temperature as any other.
    with refused("heat_read_elsewhere"):
        at_a_joint.done(floor, bench, 5, repair=1, temperatures=[melted])


def test_a_refused_cavity_is_dug_out_further(floor: Floor, bench: Housing) -> None:
    use(floor, "root_seen")
    rework(floor, bench, 1)
    repair(floor, bench, 1)
    answer = look(floor, bench, "cavity", {"number": "4012"}, accepted=False)
    assert answer["nonconformance"] == 1  # the one it is dug out for
    assert asked(bench, next_pass(floor, repair=1)) == ["cavity_not_seen"]
    look(floor, bench, "cavity")
    assert asked(bench, next_pass(floor, repair=1)) == []


def test_the_third_repair_needs_the_engineer(floor: Floor, bench: Housing) -> None:
    again(floor, bench, 1, 1)
    again(floor, bench, 2, 2)
    rework(floor, bench, 3)
    with refused("repairs_escalate"):
        repair(floor, bench, 3)
    with refused("repairs_escalate"):
        repair(floor, bench, 3, by="Q1")
    repair(floor, bench, 3, by="E1")
    third = WeldRepair.objects.latest("number")
    assert (third.number, third.credential) == (3, "Registered engineer 20417 (invented)")


def test_a_crack_is_repaired_on_the_word_of_the_engineer_or_made_as_asked(
    floor: Floor, bench: Housing
) -> None:
    refuse_weld(floor, bench, {"number": "104"})
    given = {"decision": "repair", "reason": "by the procedure", "stations": ["snouts"]}
    with refused("needs_engineer", "needs_concession"):
        floor.do(dispose, by="Q1", housing=bench.serial, nonconformance=2, **given)
    rework(floor, bench, 2)
    repair(floor, bench, 2)


def test_a_repair_is_for_what_is_wrong_with_this_joint(floor: Floor, bench: Housing) -> None:
    floor.weld(bench, RIGHT, 3)
    with refused("not_of_joint"):
        repair(floor, bench, 1, joint=RIGHT)
    with refused("not_found"):
        repair(floor, bench, 9)
    floor.do(dispose, by="Q1", housing=bench.serial, nonconformance=1, decision="use_as_is", reason="small")
    with refused("not_to_be_repaired"):
        repair(floor, bench, 1)


def test_one_repair_at_a_time_and_one_for_each_decision(floor: Floor, bench: Housing) -> None:
    rework(floor, bench, 1)
    repair(floor, bench, 1)
    with refused("repair_open"):
        repair(floor, bench, 1)
    look(floor, bench, "cavity")
    floor.weld(bench, LEFT, 1, repair=1)
    look(floor, bench, "final")
    with refused("repaired_already"):
        repair(floor, bench, 1)


def test_the_procedure_is_one_for_repairs_that_reaches_the_joint(floor: Floor, bench: Housing) -> None:
    rework(floor, bench, 1)
    for name in ("snout-4140-250", "repair-plate", "repair-snout-4130"):
        other = ProcedureRevision.objects.get(name=name)
        with refused("repair_procedure_short"):
            repair(floor, bench, 1, procedure=other.pk)
    with refused("not_found"):
        repair(floor, bench, 1, procedure=10**6)
    right = ProcedureRevision.objects.get(name="repair-snout-4140")
    assert repair(floor, bench, 1, procedure=right.pk)["procedure"] == "repair-snout-4140 1"


def test_without_a_procedure_for_repairs(floor: Floor) -> None:
    floor.procedure("snout-4140-250")
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 3)
    refuse_weld(floor, housing)
    rework(floor, housing, 1)
    use(floor, "procedure_followed")
    with refused("repair_procedure_missing"):
        repair(floor, housing, 1)


def test_a_root_is_repaired_and_the_weld_goes_on(floor: Floor) -> None:
    use(floor, "root_seen")
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 1)
    refuse_weld(floor, housing, {"number": "4021"}, stage="root")
    rework(floor, housing, 1)
    repair(floor, housing, 1)
    look(floor, housing, "cavity")
    floor.weld(housing, LEFT, 1, repair=1)
    assert "repair_open" in asked(housing, next_pass(floor))
    look(floor, housing, "root")
    assert asked(housing, next_pass(floor)) == []
    floor.weld(housing, LEFT, 1)


def test_a_held_housing_is_not_dug_out(floor: Floor, bench: Housing) -> None:
    refuse_weld(floor, bench, hold=True)
    rework(floor, bench, 2)
    with refused("held"):
        repair(floor, bench, 2)


def test_bad_input_is_refused_with_the_field(floor: Floor, bench: Housing) -> None:
    rework(floor, bench, 1)
    cases: list[tuple[dict[str, Any], str]] = [
        ({"method": "biting"}, "/how/method"),
        ({"depth": "0"}, "/how/depth"),
        ({"depth": "deep"}, "/how/depth"),
        ({"length": ""}, "/how/length"),
        ({"unit": "ft"}, "/how/unit"),
        ({"hour": "13"}, "/how/hour"),
        ({"color": "red"}, "/how/color"),
    ]
    for how, pointer in cases:
        with pytest.raises(Refused) as error:
            repair(floor, bench, 1, how={**DUG, **how})
        assert [one.field for one in error.value.reasons] == [pointer], how
    assert not WeldRepair.objects.exists()
