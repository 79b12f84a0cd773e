"""A heat is recalled: everything that has it is found, held or put under question; and cleared again."""

from __future__ import annotations

import pytest

from housings.gate import Leave, SignOff, Situation, ask
from housings.models import Heat, Hold, Housing, MaterialUse
from housings.operations.holds import release_hold
from housings.operations.materials import cut_piece
from housings.operations.orders import cancel_housing
from housings.operations.recalls import clear_heat, recall_heat
from housings.queries import visit_here, visits_of
from inspections import states
from inspections.models import Certificate
from inspections.operations.certificates import revoke_certificate
from inspections.queries import status_of
from shopqc import ledger
from shopqc.refusals import Refused
from tests.factories import Floor
from tests.housings import at_a_joint
from tests.housings.steel import heat, made_with_steel, use, usual_heats

WHY = "The mill found its furnace log was of another charge."


@pytest.fixture
def floor(floor: Floor) -> Floor:
    usual_heats(floor)
    heat(floor, "T-2", condition="normalised", form="tube")
    return floor


def held(housing: Housing) -> list[str]:
    return [hold.why for hold in Hold.objects.filter(housing=housing, released_at=None)]


def status(housing: Housing) -> str:
    return status_of(Certificate.objects.get(housing=housing))


def test_a_recall_finds_all_that_has_the_heat_and_nothing_else(floor: Floor) -> None:
    one = {"tube_left": "T-2"}
    here = made_with_steel(floor, "jig", wanted=one)
    other = made_with_steel(floor, "jig")
    signed = made_with_steel(floor, "signed", wanted=one, customer="basin")
    signed_other = made_with_steel(floor, "signed")
    answer = floor.do(recall_heat, by="Q1", heat="T-2", why=WHY)
    number = Certificate.objects.get(housing=signed).number
    assert answer["housings"] == sorted([here.serial, signed.serial])
    # The standard route ends with the sign-off, so that the signed one has gone to its customer.
    assert answer["held"] == [here.serial]
    assert answer["questioned"] == [number]
    assert held(here) == [f"Heat T-2 (4130) was recalled: {WHY} It is here: Left tube."]
    assert held(other) == [] and held(signed_other) == []
    assert (status(signed), status(signed_other)) == (states.QUESTIONED, states.WAITING)
    assert ledger.verify().faults == ()


def test_what_was_replaced_before_is_not_found(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    first = use(floor, housing, {"part": "tube_left", "heat": "T-2"})["materials"][0]["id"]
    use(floor, housing, {"part": "tube_left", "heat": "T-4130", "replaces": first, "why": "Cut out again."})
    answer = floor.do(recall_heat, by="Q1", heat="T-2", why=WHY)
    assert answer["housings"] == [] and held(housing) == []


def test_a_piece_leads_to_its_housing(floor: Floor) -> None:
    floor.do(cut_piece, by="W1", heat="T-2", code="T-2-1", what="Left tube", number_copied=True)
    housing = floor.housing(until="jig")
    use(floor, housing, {"part": "tube_left", "piece": "T-2-1"})
    assert floor.do(recall_heat, by="Q1", heat="T-2", why=WHY)["housings"] == [housing.serial]


def test_a_recalled_heat_goes_nowhere_whatever_rules_are_in_use(floor: Floor) -> None:
    inside = made_with_steel(floor, "jig", wanted={"tube_left": "T-2"})
    fresh = floor.housing(until="jig")
    floor.do(recall_heat, by="Q1", heat="T-2", why=WHY)
    with pytest.raises(Refused) as refused:
        use(floor, fresh, {"part": "tube_left", "heat": "T-2"})
    assert [reason.code for reason in refused.value.reasons] == ["heat_recalled"]
    with pytest.raises(Refused) as refused:
        floor.do(cut_piece, by="W1", heat="T-2", code="T-2-9", what="Left tube", number_copied=True)
    assert [reason.code for reason in refused.value.reasons] == ["heat_recalled"]
    assert not MaterialUse.objects.filter(housing=fresh).exists()
    # Released from its hold it stays at this station until the steel is replaced.
    floor.do(release_hold, by="Q1", housing=inside.serial, hold=1, why="To be cut out here.")
    situation = Situation(Housing.objects.get(pk=inside.pk))
    visit = visit_here(visits_of(inside))
    assert visit is not None
    assert "recalled_inside" in {reason.code for reason in ask(situation, Leave(visit))}


def test_nobody_signs_for_what_was_recalled_until_somebody_who_may_accepts_it(floor: Floor) -> None:
    ready = made_with_steel(floor, "measured")
    assert "recalled_inside" not in {reason.code for reason in ask(Situation(ready), SignOff())}
    floor.do(recall_heat, by="Q1", heat="T-4130", why=WHY, hold=False)
    against = ask(Situation(Housing.objects.get(pk=ready.pk)), SignOff())
    assert "recalled_inside" in {reason.code for reason in against}
    floor.do(clear_heat, by="Q1", heat="T-4130", why="It was another heat.")
    against = ask(Situation(Housing.objects.get(pk=ready.pk)), SignOff())
    assert "recalled_inside" not in {reason.code for reason in against}


def test_without_holding_only_what_is_proven_is_questioned(floor: Floor) -> None:
    here = made_with_steel(floor, "jig")
    signed = made_with_steel(floor, "signed")
    answer = floor.do(recall_heat, by="Q1", heat="T-4130", why=WHY, hold=False)
    assert answer["held"] == [] and held(here) == [] and status(signed) == states.QUESTIONED


def test_what_has_ended_is_named_and_neither_held_nor_questioned(floor: Floor) -> None:
    cancelled = made_with_steel(floor, "jig")
    floor.do(cancel_housing, by="O1", housing=cancelled.serial, why="Ordered twice.")
    revoked = made_with_steel(floor, "signed")
    number = Certificate.objects.get(housing=revoked).number
    floor.do(revoke_certificate, by="Q1", certificate=number, why="A wrong name.")
    answer = floor.do(recall_heat, by="Q1", heat="T-4130", why=WHY)
    assert answer["housings"] == sorted([cancelled.serial, revoked.serial])
    assert answer["held"] == [revoked.serial] and answer["questioned"] == []
    assert status(revoked) == states.REVOKED


def test_a_recall_by_mistake_is_cleared_and_says_what_stays(floor: Floor) -> None:
    here = made_with_steel(floor, "jig")
    signed = made_with_steel(floor, "signed")
    floor.do(recall_heat, by="Q1", heat="T-4130", why=WHY)
    with pytest.raises(Refused) as refused:
        floor.do(recall_heat, by="Q1", heat="T-4130", why=WHY)
    assert [reason.code for reason in refused.value.reasons] == ["recalled_already"]
    answer = floor.do(clear_heat, by="Q1", heat="T-4130", why="It was heat T-4131.")
    assert answer["still_held"] == [here.serial]
    assert held(here) and status(signed) == states.QUESTIONED
    assert Heat.objects.get(number="T-4130").recalled_at is None
    with pytest.raises(Refused) as refused:
        floor.do(clear_heat, by="Q1", heat="T-4130", why="Again.")
    assert [reason.code for reason in refused.value.reasons] == ["not_recalled"]
    fresh = floor.housing(until="jig")
    use(floor, fresh, {"part": "tube_left", "heat": "T-4130"})
    assert ledger.verify().faults == ()


@pytest.mark.parametrize(("why", "code"), [(" ", "reason_needed"), ("x" * 501, "too_long")])
def test_a_recall_says_why(floor: Floor, why: str, code: str) -> None:
    with pytest.raises(Refused) as refused:
        floor.do(recall_heat, by="Q1", heat="T-2", why=why)
    assert [(one.code, one.field) for one in refused.value.reasons] == [(code, "/why")]


@pytest.mark.parametrize("stamp", ["W1", "E1", "O1"])
def test_only_the_qc_lead_recalls(floor: Floor, stamp: str) -> None:
    for operation in (recall_heat, clear_heat):
        with pytest.raises(Refused) as refused:
            floor.do(operation, by=stamp, heat="T-2", why=WHY)
        assert [reason.code for reason in refused.value.reasons] == ["not_allowed"]


@pytest.fixture
def bench(floor: Floor) -> Housing:
    """A housing at the snouts, every joint with its procedure, filler and gas on file."""
    floor.procedures()
    heat(floor, "F-90", kind="filler", grade="ER80S-D2")
    heat(floor, "A-7", kind="gas", grade="I1")
    return floor.housing(until="snouts")


def test_a_lot_of_filler_leads_to_the_passes_made_with_it(floor: Floor, bench: Housing) -> None:
    at_a_joint.settings(floor, bench, filler="F-90", gas="A-7")
    for number in (1, 2):
        at_a_joint.done(floor, bench, number)
    at_a_joint.done(floor, bench, 1, joint=at_a_joint.RIGHT)
    answer = floor.do(recall_heat, by="Q1", heat="F-90", why=WHY)
    assert answer["housings"] == answer["held"] == [bench.serial]
    assert held(bench) == [
        f"Heat F-90 (ER80S-D2) was recalled: {WHY} It is here: Left snout to tube (2 passes)."
    ]
    # The gas went through the same passes and is another lot: nothing is said of it.
    assert floor.do(recall_heat, by="Q1", heat="A-7", why=WHY, hold=False)["housings"] == [bench.serial]


def test_a_pass_that_was_taken_back_was_made_with_nothing(floor: Floor, bench: Housing) -> None:
    at_a_joint.settings(floor, bench, filler="F-90")
    at_a_joint.done(floor, bench, 1)
    at_a_joint.take_back(floor, bench, 1)
    assert floor.do(recall_heat, by="Q1", heat="F-90", why=WHY)["housings"] == []


def test_nothing_is_welded_with_a_recalled_lot(floor: Floor, bench: Housing) -> None:
    at_a_joint.settings(floor, bench, filler="F-90")
    at_a_joint.done(floor, bench, 1)
    floor.do(recall_heat, by="Q1", heat="F-90", why=WHY, hold=False)
    with pytest.raises(Refused) as refused:
        at_a_joint.done(floor, bench, 2)
    assert "heat_recalled" in {reason.code for reason in refused.value.reasons}
    with pytest.raises(Refused) as refused:
        at_a_joint.settings(floor, bench, filler="F-90")
    assert "heat_recalled" in {reason.code for reason in refused.value.reasons}
