"""Procedures are published and welders doubted by two at once, on real transactions, made to overlap."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from housings.engineering.ready_procedures import READY_PROCEDURES
from housings.models import ProcedureRevision, Qualification, WelderDoubt, WeldPass
from housings.operations.passes import record_pass
from housings.operations.procedures import publish_procedure
from housings.operations.welders import add_qualification, answer_welder_doubt, doubt_welder
from shopqc import ledger
from shopqc.refusals import Refused
from tests.factories import AT, Floor
from tests.harness.overlap import Meeting
from tests.harness.threads import Outcome, at_once
from tests.housings.welding_people import TIG, days_ago, publish

pytestmark = pytest.mark.django_db(transaction=True)
NAME = "snout-4140-250"


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    return Floor(AT)


def codes(outcomes: list[Outcome]) -> list[str]:
    """What each call was refused for, one code each; an answer is ''."""
    found = []
    for outcome in outcomes:
        assert outcome.ok or isinstance(outcome.error, Refused), repr(outcome.error)
        found.append("" if outcome.ok else outcome.error.reasons[0].code)  # type: ignore[union-attr]
    return found


def published(floor: Floor, stamp: str, **changes: Any) -> Callable[[], object]:
    data = {**READY_PROCEDURES[NAME].data, **changes}
    return lambda: floor.do(publish_procedure, by=stamp, name=NAME, data=data)


def test_two_revisions_at_once_are_counted_one_after_the_other(floor: Floor) -> None:
    meeting = Meeting('INSERT INTO "housings_procedurerevision"', patience=0.7)
    calls = [published(floor, "Q1", preheat_least="410"), published(floor, "E1", preheat_least="420")]
    assert codes(at_once(*calls, wrapped=[meeting])) == ["", ""]
    assert sorted(ProcedureRevision.objects.values_list("number", flat=True)) == [1, 2]
    assert ledger.verify().faults == ()


def test_of_two_who_publish_the_same_one_does(floor: Floor) -> None:
    meeting = Meeting('INSERT INTO "housings_procedurerevision"', patience=0.7)
    outcomes = at_once(published(floor, "Q1"), published(floor, "E1"), wrapped=[meeting])
    assert sorted(codes(outcomes)) == ["", "procedure_unchanged"]
    assert ProcedureRevision.objects.count() == 1


def test_the_same_qualification_from_two_desks_is_on_file_once(floor: Floor) -> None:
    given = {"stamp": "W1", "kind": "welding", "reference": "W1-T", "ranges": dict(TIG)}

    def add(stamp: str) -> Callable[[], object]:
        return lambda: floor.do(add_qualification, by=stamp, tested_on=days_ago(9), **given)

    meeting = Meeting('INSERT INTO "housings_qualification"', patience=0.7)
    outcomes = at_once(add("Q1"), add("E1"), wrapped=[meeting])
    assert sorted(codes(outcomes)) == ["", "qualification_exists"]
    assert Qualification.objects.count() == 1 and ledger.verify().faults == ()


def test_a_doubt_is_answered_by_one_of_two(floor: Floor) -> None:
    doubt = floor.do(doubt_welder, by="Q1", stamp="W1", why="Porous.")["doubt"]

    def answer(stamp: str) -> Callable[[], object]:
        return lambda: floor.do(answer_welder_doubt, by=stamp, doubt=doubt, answer=f"{stamp}: sound.")

    meeting = Meeting('UPDATE "housings_welderdoubt"', patience=0.7)
    outcomes = at_once(answer("Q1"), answer("E1"), wrapped=[meeting])
    assert sorted(codes(outcomes)) == ["", "doubt_answered"]
    row = WelderDoubt.objects.get()
    assert row.answer == f"{row.answered_by}: sound." and ledger.verify().faults == ()


def test_a_pass_beside_a_doubt_stands_before_it_or_is_refused(floor: Floor) -> None:
    publish(floor)
    housing = floor.housing(until="snouts")

    def weld() -> object:
        return floor.do(record_pass, by="W1", housing=housing.serial, joint="snout_left", number=1)

    def doubt() -> object:
        return floor.do(doubt_welder, by="Q1", stamp="W1", why="Porous.")

    meeting = Meeting('INSERT INTO "housings_weld', patience=0.7)
    welded, doubted = codes(at_once(weld, doubt, wrapped=[meeting]))
    assert doubted == "" and welded in ("", "welder_doubted")
    assert WeldPass.objects.count() == (welded == "")
    assert ledger.verify().faults == ()
