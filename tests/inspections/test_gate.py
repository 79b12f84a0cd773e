"""Each reason of `inspections.rules`, alone, through the operation it stops and at the gate beforehand."""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Housing, Visit
from housings.operations.visits import record_work_done
from inspections import rules
from inspections.first_shop import SAMPLE_SPEC
from inspections.models import Characteristic, Gauge, Reading
from inspections.operations.gauges import add_gauge
from inspections.operations.nonconformances import dispose, raise_nonconformance
from inspections.operations.plans import publish_plan
from shopqc import files
from shopqc.operations.shop import change_shop, switch_rule
from tests.at_the_gate import asked, come, go, refused, sign_off, start_at
from tests.factories import AT, GAUGE, OVERDUE, Floor
from tests.housings import at_a_joint as bench

pytestmark = pytest.mark.django_db(transaction=True)

BAD_RUN = {"readings": ["0", "0.2", "0.1", "0.05"]}
# A twentieth of a thousandth under the upper limit, in a shop where part and gauge are equally warm.
JOURNAL = {"values": ["2.49945"] * 4}
SETTLED = {"settled": True}


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    return Floor()


def all_due_but(floor: Floor, housing: Housing, station: str, *left_out: str) -> None:
    """Measure everything due at a station but some."""
    due = [standing.characteristic.code for standing in floor.measured(housing).due_at(station)]
    assert set(left_out) <= set(due)
    floor.measure_due(housing, station, only=[code for code in due if code not in left_out])


def record(floor: Floor, housing: Housing, code: str, station: str, **changes: Any) -> dict[str, Any]:
    return floor.record(
        housing, floor.reading(housing, floor.characteristic(housing, code), station, **changes)
    )


def correct(floor: Floor, housing: Housing, code: str, station: str, **changes: Any) -> dict[str, Any]:
    """Replace the last reading of something, because it was typed wrongly."""
    before = (
        Reading.objects.filter(housing=housing, characteristic__code=code).order_by("record_position").last()
    )
    assert before is not None
    return record(
        floor,
        housing,
        code,
        station,
        replaces=str(before.pk),
        visit=before.visit.number,
        reason="Typed wrongly.",
        **changes,
    )


def decide(floor: Floor, housing: Housing, decision: str, number: int = 1, **inputs: Any) -> dict[str, Any]:
    return floor.do(
        dispose,
        by="Q1",
        housing=housing.serial,
        nonconformance=number,
        decision=decision,
        reason="As the procedure asks.",
        **inputs,
    )


def failing_tube(floor: Floor) -> Housing:
    """A housing at the truss with one tube out of its limit, everything else there measured."""
    housing = floor.housing(until="truss")
    floor.work(housing, "truss")
    all_due_but(floor, housing, "truss", "tube_runout_left")
    record(floor, housing, "tube_runout_left", "truss", raw=BAD_RUN)
    return housing


def test_a_station_is_not_left_while_something_due_is_not_measured(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    all_due_but(floor, housing, "jig", "journal_left")
    with refused("not_measured"):
        go(floor, housing, "jig")
    floor.measure_due(housing, "jig", only=["journal_left"])
    go(floor, housing, "jig")


def test_what_the_work_moved_afterwards_is_measured_again(floor: Floor) -> None:
    housing = floor.housing(until="truss")
    floor.work(housing, "truss")
    floor.measure_due(housing, "truss")
    floor.work(housing, "truss")
    with refused(*["moved_since"] * 4):
        go(floor, housing, "truss")
    floor.measure_due(housing, "truss")
    go(floor, housing, "truss")


def test_what_fails_waits_for_a_decision(floor: Floor) -> None:
    housing = failing_tube(floor)
    with refused("fails"):
        go(floor, housing, "truss")
    decide(floor, housing, "use_as_is")
    go(floor, housing, "truss")


def test_what_goes_to_rework_may_go_there_and_is_measured_again_when_it_comes_back(floor: Floor) -> None:
    housing = floor.housing(until="final_inspection")
    all_due_but(floor, housing, "final_inspection", "width")
    record(floor, housing, "width", "final_inspection", raw={"value": "61"})
    with refused("fails"):
        go(floor, housing, "final_inspection")
    decided = decide(floor, housing, "rework", stations=["non_destructive_testing"])
    assert decided["inserted"] == ["non_destructive_testing", "final_inspection"]
    assert asked(housing, sign_off) == ["visits_ahead", "to_be_reworked"]
    go(floor, housing, "final_inspection")
    come(floor, housing, "non_destructive_testing")
    go(floor, housing, "non_destructive_testing")
    come(floor, housing, "final_inspection")
    with refused("to_be_reworked"):
        go(floor, housing, "final_inspection")
    record(floor, housing, "width", "final_inspection")
    go(floor, housing, "final_inspection")
    assert floor.sign(housing)["signed"] is True


def test_what_cannot_be_decided_does_not_pass(floor: Floor) -> None:
    due = "2026-12-31"
    gauge = {"name": "Micrometer", "kind": "micrometer", "calibration_due": due}
    floor.do(add_gauge, code="MIC-7", uncertainty="0.0001", **gauge)
    floor.do(add_gauge, code="MIC-8", uncertainty="0.00001", **gauge)
    housing = floor.housing(until="jig")
    all_due_but(floor, housing, "jig", "journal_left")
    floor.do(change_shop, by="O1", changes={"decision_rule": "guarded"})
    record(floor, housing, "journal_left", "jig", raw=JOURNAL, setup=SETTLED, gauge="MIC-7")
    with refused("cannot_tell"):
        go(floor, housing, "jig")
    record(floor, housing, "journal_left", "jig", raw=JOURNAL, setup=SETTLED, gauge="MIC-8")
    go(floor, housing, "jig")


@pytest.mark.parametrize("when", ["leave", "sign"])
def test_an_open_nonconformance_stops_without_any_reading(floor: Floor, when: str) -> None:
    housing = floor.housing(until="jig" if when == "leave" else "measured")
    if when == "leave":
        floor.measure_due(housing, "jig")
    floor.do(raise_nonconformance, by="W1", housing=housing.serial, what="Spatter on the seat.")
    with refused("nonconformance_open"):
        go(floor, housing, "jig") if when == "leave" else floor.sign(housing)
    decide(floor, housing, "use_as_is")
    go(floor, housing, "jig") if when == "leave" else floor.sign(housing)


def test_what_armor_hides_for_good_stands_before_it_starts(floor: Floor) -> None:
    housing = floor.housing(until="face_and_drill")
    floor.finish(housing, Visit.objects.get(housing=housing, station="face_and_drill"))
    assert asked(housing, start_at("armor")) == []
    correct(floor, housing, "ribs", "truss", raw={"result": "no_go"})
    with refused("would_be_hidden"):
        come(floor, housing, "armor")
    assert asked(housing, start_at("armor")) == ["would_be_hidden"]
    correct(floor, housing, "ribs", "truss", raw={"result": "go"})
    assert asked(housing, start_at("armor")) == []


def test_nobody_signs_for_what_fails(floor: Floor) -> None:
    housing = floor.housing(until="measured")
    correct(floor, housing, "width", "final_inspection", raw={"value": "61"})
    with refused("fails"):
        floor.sign(housing)


def test_nobody_signs_for_what_cannot_be_decided(floor: Floor) -> None:
    housing = floor.housing(until="measured")
    floor.do(change_shop, by="O1", changes={"decision_rule": "guarded"})
    floor.do(
        add_gauge,
        code="MIC-7",
        name="Micrometer",
        kind="micrometer",
        uncertainty="0.0001",
        calibration_due="2026-12-31",
    )
    correct(floor, housing, "journal_left", "final_inspection", raw=JOURNAL, setup=SETTLED, gauge="MIC-7")
    with refused("cannot_tell"):
        floor.sign(housing)


def test_nobody_signs_for_what_was_not_measured(floor: Floor) -> None:
    housing = floor.housing(until="final_inspection")
    all_due_but(floor, housing, "final_inspection", "shaft_clearance_left")
    assert asked(housing, sign_off) == ["visits_ahead", "not_measured"]


def test_nobody_signs_for_what_was_moved_since(floor: Floor) -> None:
    """Rework that looks for leaks first and welds afterwards: each station is left well, the test is old."""
    housing = floor.housing(until="measured")
    floor.do(raise_nonconformance, by="W1", housing=housing.serial, what="A pore beside the vent.")
    decide(floor, housing, "rework", stations=["leak_test", "caps_and_fittings"])
    floor.walk(housing, until="measured")
    with refused("moved_since"):
        floor.sign(housing)


def test_without_a_plan_of_measuring_nobody_signs(floor: Floor) -> None:
    floor.do(publish_plan, by="E1", name="standard", characteristics=[], spec=SAMPLE_SPEC)
    housing = floor.housing(until="measured")
    assert not Characteristic.objects.filter(housing=housing).exists()
    with refused("nothing_planned"):
        floor.sign(housing)


@pytest.mark.parametrize("part", ["measured", "measured on paper", "worked"])
def test_who_took_part_does_not_sign_unless_the_rule_is_off(floor: Floor, part: str) -> None:
    housing = floor.housing(until="final_inspection")
    floor.measure_due(housing, "final_inspection")
    entry = floor.reading(housing, floor.characteristic(housing, "camber_left"), "final_inspection")
    if part == "measured":
        floor.record(housing, entry, by="Q1")
    elif part == "measured on paper":
        page, done_at = files.store(b"a photograph of the page"), floor.at.isoformat()
        floor.record(housing, {**entry, "paper": page, "measured_by": "Q1", "done_at": done_at}, by="M1")
    else:
        floor.do(record_work_done, by="Q1", housing=housing.serial, station="final_inspection")
        floor.measure_due(housing, "final_inspection")
    go(floor, housing, "final_inspection")
    with refused("signer_not_independent"):
        floor.sign(housing, by="Q1")
    floor.do(switch_rule, by="O1", rule=rules.INDEPENDENT_SIGNER, in_use=False)
    assert floor.sign(housing, by="Q1")["signed"] is True


def test_who_welded_a_pass_does_not_sign_also_where_somebody_else_typed_it_in(floor: Floor) -> None:
    housing = floor.housing(until="armor")
    bench.done(floor, housing, 1, joint="armor_back", by="W1", welder="Q1")
    bench.done(floor, housing, 1, joint="armor_bottom", by="W1")
    floor.finish(housing, housing.visits.get(state="here"))
    floor.walk(housing, until="measured")
    with refused("signer_not_independent"):
        floor.sign(housing, by="Q1")
    assert floor.sign(housing, by="1")["signed"] is True


def test_somebody_else_may_sign(floor: Floor) -> None:
    housing = floor.housing(until="final_inspection")
    floor.measure_due(housing, "final_inspection")
    go(floor, housing, "final_inspection")
    assert floor.sign(housing, by="1")["signed"] is True


@pytest.mark.parametrize(
    ("rule", "changes", "code"),
    [
        (rules.GAUGE_NAMED, {"gauge": None}, "gauge_needed"),
        (rules.GAUGE_IN_DATE, {"gauge": OVERDUE}, "gauge_overdue"),
        (rules.TEMPERATURE_RECORDED, {"gauge": GAUGE}, "temperature_needed"),
    ],
)
def test_each_rule_of_a_reading_is_read_from_its_switch(
    floor: Floor, rule: str, changes: dict[str, Any], code: str
) -> None:
    housing = floor.housing(until="jig")
    floor.do(switch_rule, by="O1", rule=rule, in_use=True)
    with refused(code):
        record(floor, housing, "journal_left", "jig", **changes)
    floor.do(switch_rule, by="O1", rule=rule, in_use=False)
    record(floor, housing, "journal_left", "jig", **changes)
    assert Reading.objects.filter(characteristic__code="journal_left").count() == 1


def test_a_withdrawn_gauge_is_refused_unless_the_rule_is_off(floor: Floor) -> None:
    """No operation withdraws a gauge yet, so its row is set here."""
    Gauge.objects.filter(code=GAUGE).update(withdrawn_at=AT, withdrawn_why="It fell.")
    housing = floor.housing(until="jig")
    with refused("gauge_withdrawn"):
        record(floor, housing, "journal_left", "jig")
    floor.do(switch_rule, by="O1", rule=rules.GAUGE_IN_DATE, in_use=False)
    record(floor, housing, "journal_left", "jig")
