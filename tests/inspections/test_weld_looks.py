"""Looking at welds: what was found is judged by the level of the procedure, and the gate asks for it.

That a root is looked at before the next pass covers it, and ribs before the armor does: common practice, no
source.
"""

from __future__ import annotations

from typing import Any

import pytest

from housings import gate
from housings.models import Hold, Housing, Visit
from housings.operations.taking_back import undo_arrival
from inspections.models import Nonconformance, WeldLook
from inspections.operations.nonconformances import dispose
from shopqc import ledger
from shopqc.refusals import Refused
from tests.at_the_gate import asked, come, go, leave_visit, refused, sign_off, start_at
from tests.factories import Floor
from tests.housings.at_a_joint import later, take_back, text, use
from tests.inspections.conftest import SignedIn
from tests.inspections.judging import LEFT, RIGHT, ROSETTES, UNDERCUT, look, refuse_weld, rework


@pytest.fixture
def bench(floor: Floor) -> Housing:
    """A housing at the snouts, every joint with its procedure, no rule in use; wall 1/4 in, level B."""
    floor.procedures()
    return floor.housing(until="snouts")


def next_pass(floor: Floor, joint: str = LEFT, repair: int = 0) -> Any:
    def step(situation: gate.Situation) -> gate.Step:
        found = floor.joint(situation.housing, joint).joint
        return gate.NextPass(found, floor.actor("W1"), floor.at, repair=repair)

    return step


WELD_CODES = {"welded_since_look", "nonconformance_open", "weld_not_looked_at", "weld_to_be_repaired"}


def of_welds(housing: Housing, step: Any) -> list[str]:
    """What is said against a step about its welds; the passes have moved what was measured."""
    return [code for code in asked(housing, step) if code in WELD_CODES]


def test_nothing_found_is_accepted_at_once(floor: Floor, bench: Housing) -> None:
    floor.weld(bench, LEFT, 1)
    answer = look(floor, bench, "root")
    assert (answer["accepted"], answer["findings"], answer["nonconformance"]) == (True, [], None)
    one = WeldLook.objects.get()
    assert (one.stage, one.after_pass, one.repair, one.level) == ("root", 1, 0, "B")
    assert (one.by_stamp, one.visit.station, one.done_at) == ("Q1", "snouts", floor.at)
    assert ledger.verify().faults == ()


def test_a_size_at_its_limit_stays_and_one_beyond_is_refused(floor: Floor, bench: Housing) -> None:
    """Undercut at level B: a twentieth of the thickness, here 6.35 mm: 0.3175 mm (ISO 5817, table 1)."""
    floor.weld(bench, LEFT, 3)
    with refused("finding_beyond"):
        look(floor, bench, "final", {"number": "5011", "size": "0.3176", "unit": "mm"})
    answer = look(floor, bench, "final", {"number": "5011", "size": "0.0125", "unit": "in"})
    (found,) = answer["findings"]
    assert (found["verdict"], found["name"], found["limit"]) == ("within", "continuous undercut", "0.0125 in")


@pytest.mark.parametrize("number", ["100", "101", "104", "401", "4013", "402", "4021", "601"])
def test_what_is_never_accepted_is_refused_at_any_level(floor: Floor, bench: Housing, number: str) -> None:
    """Cracks and lack of fusion are permitted at no level of ISO 5817."""
    floor.weld(bench, LEFT, 3)
    with refused("finding_never"):
        look(floor, bench, "final", {"number": number})
    refuse_weld(floor, bench, {"number": number, "where": "the journal"})
    found = Nonconformance.objects.get()
    assert found.severity == "major"


@pytest.mark.parametrize(
    ("number", "defect", "severity"),
    [("104", "crack", "major"), ("4011", "lack_of_fusion", "major"), ("5011", "other", "minor")],
)
def test_a_refused_weld_opens_its_nonconformance(
    floor: Floor, bench: Housing, number: str, defect: str, severity: str
) -> None:
    floor.weld(bench, LEFT, 3)
    assert refuse_weld(floor, bench, {"number": number, "size": "0.8", "where": "3 o'clock"}) == 1
    found = Nonconformance.objects.get()
    assert (found.defect, found.severity, found.visit.station) == (defect, severity, "snouts")
    assert "3 o'clock" in found.what and "Left snout" in found.what
    assert WeldLook.objects.get().nonconformance == found
    assert ledger.verify().faults == ()


def test_a_refusal_may_hold_the_housing(floor: Floor, bench: Housing) -> None:
    floor.weld(bench, LEFT, 3)
    refuse_weld(floor, bench, hold=True)
    assert "nonconformance 1" in Hold.objects.get().why


def test_a_refusal_says_what_is_wrong(floor: Floor, bench: Housing) -> None:
    floor.weld(bench, LEFT, 3)
    with refused("finding_needed"):
        look(floor, bench, "final", accepted=False)
    look(floor, bench, "final", accepted=False, note="porous all along, not to be measured")
    assert "porous all along" in Nonconformance.objects.get().what


def test_what_its_limit_depends_on_is_asked_for(floor: Floor, bench: Housing) -> None:
    floor.weld(bench, LEFT, 3)
    with refused("finding_needs"):
        look(floor, bench, "final", {"number": "5011"})
    with refused("finding_needs"):
        look(floor, bench, "final", {"number": "502", "size": "1.5"})
    # 1 + 0.1 x 10 = 2 mm at level B (ISO 5817, table 1).
    look(floor, bench, "final", {"number": "502", "size": "1.5", "width": "10"})


def test_without_a_level_who_looks_decides(floor: Floor) -> None:
    housing = floor.housing(until="snouts")  # no procedure is published
    floor.work(housing, "snouts")
    (found,) = look(floor, housing, "final", UNDERCUT)["findings"]
    assert (found["verdict"], found["limit"]) == ("seen", "")
    with refused("finding_never"):
        look(floor, housing, "final", {"number": "100"})


def test_bad_input_is_refused_with_the_field(floor: Floor, bench: Housing) -> None:
    floor.weld(bench, LEFT, 1)
    cases: list[tuple[str, dict[str, Any], str]] = [
        ("imperfection_unknown", {"findings": [{"number": "999"}]}, "/findings/0/number"),
        ("imperfection_unknown", {"findings": [{"number": "602"}, {}]}, "/findings/1/number"),
        ("finding_size_wrong", {"findings": [{"number": "602", "size": "-1"}]}, "/findings/0/size"),
        ("finding_size_wrong", {"findings": [{"number": "602", "size": "much"}]}, "/findings/0/size"),
        ("finding_size_wrong", {"findings": [{"number": "602", "size": "1e9"}]}, "/findings/0/size"),
        ("choice_unknown", {"findings": [{"number": "602", "unit": "ft"}]}, "/findings/0/unit"),
        ("field_unknown", {"findings": [{"number": "602", "depth": "1"}]}, "/findings/0/depth"),
        ("findings_number", {"findings": [{"number": "602"}] * 21}, "/findings"),
        ("seen_in_future", {"done_at": text(later(floor, 1))}, "/done_at"),
        ("seen_before_weld", {"done_at": text(later(floor, -1))}, "/done_at"),
        ("no_repair_open", {"stage": "cavity"}, "/stage"),
        ("repair_not_begun", {"repair": 1}, "/repair"),
        ("choice_unknown", {"stage": "glance"}, "/stage"),
    ]
    for code, inputs, pointer in cases:
        given = {"stage": "root", "findings": [], **inputs}
        stage, findings = given.pop("stage"), given.pop("findings")
        with pytest.raises(Refused) as error:
            look(floor, bench, stage, *findings, **given)
        assert [(one.code, one.field) for one in error.value.reasons] == [(code, pointer)], inputs
    assert not WeldLook.objects.exists()


def test_there_must_be_something_to_look_at(floor: Floor, bench: Housing) -> None:
    with refused("nothing_welded"):
        look(floor, bench, "final")
    with refused("not_found"):
        look(floor, bench, "final", joint="snout_middle")
    released = floor.housing()
    with refused("weld_nowhere"):
        look(floor, released, "final")


def test_the_next_pass_waits_for_the_look_at_the_root(floor: Floor, bench: Housing) -> None:
    use(floor, "root_seen")
    assert asked(bench, next_pass(floor)) == []
    floor.weld(bench, LEFT, 1)
    assert asked(bench, next_pass(floor)) == ["root_not_seen"]
    look(floor, bench, "root")
    assert asked(bench, next_pass(floor)) == []
    floor.weld(bench, LEFT, 1)
    assert asked(bench, next_pass(floor)) == []  # the procedure names the root alone
    # The other side has a root of its own.
    floor.weld(bench, RIGHT, 1)
    assert asked(bench, next_pass(floor, RIGHT)) == ["root_not_seen"]


def test_a_refused_root_is_not_covered(floor: Floor, bench: Housing) -> None:
    use(floor, "root_seen")
    floor.weld(bench, LEFT, 1)
    refuse_weld(floor, bench, {"number": "4021"}, stage="root")
    assert asked(bench, next_pass(floor)) == ["weld_refused"]
    rework(floor, bench, 1)
    assert asked(bench, next_pass(floor)) == ["weld_to_be_repaired"]


def test_a_root_that_was_taken_back_is_looked_at_again(floor: Floor, bench: Housing) -> None:
    use(floor, "root_seen")
    floor.weld(bench, LEFT, 1)
    look(floor, bench, "root")
    take_back(floor, bench, 1)
    floor.weld(bench, LEFT, 1)
    assert asked(bench, next_pass(floor)) == ["root_not_seen"]


def test_without_the_rule_nothing_waits(floor: Floor, bench: Housing) -> None:
    floor.weld(bench, LEFT, 2)
    assert asked(bench, next_pass(floor)) == []


def test_a_station_is_left_once_its_welds_are_looked_at(floor: Floor, bench: Housing) -> None:
    use(floor, "welds_looked_at")
    floor.work(bench, "snouts")
    floor.measure_due(bench, "snouts")
    left = leave_visit("snouts")
    assert asked(bench, left) == ["weld_not_looked_at"] * 4
    for joint in (LEFT, RIGHT, ROSETTES, "rosettes_right"):
        look(floor, bench, "final", joint=joint)
    assert asked(bench, left) == []
    floor.weld(bench, LEFT, 1)
    assert of_welds(bench, left) == ["welded_since_look"]
    refuse_weld(floor, bench)
    assert of_welds(bench, left) == ["nonconformance_open"]
    rework(floor, bench, 1)
    assert of_welds(bench, left) == []  # it may go where it is worked on
    floor.measure_due(bench, "snouts")
    go(floor, bench, "snouts")
    come(floor, bench, "snouts")
    again = Visit.objects.filter(housing=bench, station="snouts").latest("sequence")
    assert of_welds(bench, lambda situation: gate.Leave(again)) == ["weld_to_be_repaired"]


def test_used_as_it_is_counts_as_accepted(floor: Floor, bench: Housing) -> None:
    use(floor, "welds_looked_at")
    floor.work(bench, "snouts")
    floor.measure_due(bench, "snouts")
    for joint in (RIGHT, ROSETTES, "rosettes_right"):
        look(floor, bench, "final", joint=joint)
    refuse_weld(floor, bench)
    given = {"decision": "use_as_is", "reason": "within what the engineer allows"}
    floor.do(dispose, by="Q1", housing=bench.serial, nonconformance=1, **given)
    assert asked(bench, leave_visit("snouts")) == []


def test_the_armor_waits_for_what_it_hides(floor: Floor) -> None:
    floor.procedures()
    housing = floor.housing(until="armor")
    floor.do(undo_arrival, by="W1", housing=housing.serial, station="armor")
    use(floor, "root_seen")
    assert asked(housing, start_at("armor")) == ["would_be_hidden"] * 2
    for joint in ("center_seams", "ribs"):
        with refused("weld_nowhere"):
            look(floor, housing, "covered", joint=joint)


def test_the_armor_comes_once_seams_and_ribs_were_seen(floor: Floor) -> None:
    floor.procedures()
    housing = floor.housing(until="truss")
    floor.weld(housing, "ribs", 12)
    look(floor, housing, "covered", joint="ribs")
    floor.weld(housing, "center_seams", 1)
    floor.finish(housing, floor_visit(housing, "truss"))
    floor.walk(housing, "armor")
    use(floor, "root_seen")
    floor.do(undo_arrival, by="W1", housing=housing.serial, station="armor")
    assert asked(housing, start_at("armor")) == ["would_be_hidden"]


def floor_visit(housing: Housing, station: str) -> Any:
    return next(visit for visit in gate.Situation(housing).visits if visit.station == station)


def test_nobody_signs_while_a_refused_weld_is_not_accepted(floor: Floor) -> None:
    """Whatever rules are in use."""
    floor.procedures()
    housing = floor.housing(until="final_inspection")
    refuse_weld(floor, housing)
    rework(floor, housing, 1, "snouts")
    assert "weld_to_be_repaired" in asked(housing, sign_off)


def test_who_looked_does_not_sign(floor: Floor) -> None:
    floor.procedures()
    housing = floor.housing(until="final_inspection")
    look(floor, housing, "final", by="Q1")
    floor.finish(housing, floor_visit(housing, "final_inspection"))
    with refused("signer_not_independent"):
        floor.sign(housing, by="Q1")


def test_an_arrival_with_a_look_stays(floor: Floor, bench: Housing) -> None:
    floor.work(bench, "snouts")
    look(floor, bench, "final")
    with refused("visit_not_empty", "measured_here"):
        floor.do(undo_arrival, by="W1", housing=bench.serial, station="snouts")


def test_the_record_book_says_it_in_words(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    floor.weld(bench, LEFT, 3)
    look(floor, bench, "root")
    number = refuse_weld(floor, bench, hold=True)
    lead = signed_in("Q1")
    lead.get(f"/record-book/{bench.chain}/")
    assert "Looked at snout_left: Root, before it is covered. Accepted." in lead.page.text
    assert f"Refused: nonconformance {number} of this housing." in lead.page.text
    assert "Hold 1 was placed" in lead.page.text
