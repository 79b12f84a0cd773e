"""Qualifications, confirmed uses and doubts on a person's chain: bad input, who may, nothing half done."""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import ProcessUse, Qualification, QualificationEnd, WelderDoubt
from housings.operations.welders import (
    add_qualification,
    answer_welder_doubt,
    confirm_process_use,
    doubt_welder,
    end_qualification,
)
from shopqc import files, ledger
from shopqc.models import LedgerEntry
from shopqc.record_book import lines_of, read
from shopqc.refusals import Refused
from tests.at_the_gate import refused
from tests.factories import Floor
from tests.housings.welding_people import TIG, days_ago, qualify

GOOD: dict[str, Any] = {
    "stamp": "W1",
    "kind": "welding",
    "reference": "W1-T",
    "ranges": dict(TIG),
    "tested_on": days_ago(30),
}


def add(floor: Floor, **changes: Any) -> dict[str, Any]:
    return floor.do(add_qualification, by=changes.pop("by", "Q1"), **{**GOOD, **changes})


def test_a_qualification_stands_on_the_persons_chain_with_its_paper(floor: Floor) -> None:
    paper = files.store(b"%PDF-1.4\n% qualification record, invented\n")
    add(floor, document=paper, valid_until="2028-04-04", examiner="An examiner, invented")
    row = Qualification.objects.get()
    assert (row.person.stamp, row.document, row.valid_until.isoformat()) == ("W1", paper, "2028-04-04")
    line = lines_of(floor.person("W1").chain)[0]
    assert read(line).facts == 1 and "W1-T" in read(line).sentence
    assert ledger.verify().faults == ()


@pytest.mark.parametrize(
    ("changes", "code", "field"),
    [
        ({"reference": " "}, "field_missing", "/reference"),
        ({"reference": "x" * 61}, "too_long", "/reference"),
        ({"examiner": "x" * 121}, "too_long", "/examiner"),
        ({"kind": "sewing"}, "choice_unknown", "/kind"),
        ({"tested_on": ""}, "field_missing", "/tested_on"),
        ({"tested_on": "2026-02-30"}, "day_wrong", "/tested_on"),
        ({"tested_on": "last spring"}, "day_wrong", "/tested_on"),
        ({"tested_on": "2026-05-05"}, "day_in_future", "/tested_on"),
        ({"tested_on": "0206-05-05"}, "day_long_ago", "/tested_on"),
        ({"valid_until": days_ago(30)}, "qualification_dates", "/valid_until"),
        ({"valid_until": "x"}, "day_wrong", "/valid_until"),
        ({"document": "0" * 64}, "document_not_filed", "/document"),
        ({"document": "../x"}, "document_not_filed", "/document"),
        ({"ranges": {**TIG, "process": "TIG"}}, "qualification_wrong", "/ranges/process"),
        ({"ranges": {**TIG, "thickness": {"least": "x"}}}, "qualification_wrong", "/ranges/thickness/least"),
        ({"ranges": {**TIG, "color": "red"}}, "qualification_wrong", "/ranges/color"),
    ],
)
def test_what_is_wrong_is_said_of_its_field(
    floor: Floor, changes: dict[str, Any], code: str, field: str
) -> None:
    with pytest.raises(Refused) as error:
        add(floor, **changes)
    assert [(reason.code, reason.field) for reason in error.value.reasons] == [(code, field)]
    assert error.value.status == 422 and "%(" not in error.value.sentences[0]
    assert not Qualification.objects.exists()


def test_every_reason_is_said_at_once(floor: Floor) -> None:
    with refused("qualification_wrong", "field_missing", "day_in_future"):
        add(floor, ranges={**TIG, "backing": "paper"}, reference="", tested_on="2027-01-01")


def test_the_same_one_twice_is_refused_and_another_of_that_reference_is_not(floor: Floor) -> None:
    add(floor)
    with refused("qualification_exists"):
        add(floor)
    add(floor, tested_on=days_ago(3))
    assert Qualification.objects.count() == 2


def test_the_same_request_again_does_nothing_twice(floor: Floor) -> None:
    assert add(floor, key="once") == add(floor, key="once")
    assert Qualification.objects.count() == 1


def test_a_qualification_is_withdrawn_once_with_a_reason(floor: Floor) -> None:
    held = qualify(floor)
    with refused("reason_needed"):
        floor.do(end_qualification, by="Q1", qualification=held, why=" ")
    floor.do(end_qualification, by="Q1", qualification=held, why="Failed the bend test of its renewal.")
    with refused("qualification_ended"):
        floor.do(end_qualification, by="Q1", qualification=held, why="Again.")
    with refused("not_found"):
        floor.do(end_qualification, by="Q1", qualification=held + 1, why="None.")
    assert QualificationEnd.objects.count() == 1 and Qualification.objects.count() == 1


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"process": "TIG"}, "process_unknown"),
        ({"process": ""}, "process_unknown"),
        ({"used_on": "2026-05-05"}, "day_in_future"),
        ({"used_on": "x"}, "day_wrong"),
        ({"what": ""}, "field_missing"),
        ({"what": "x" * 201}, "too_long"),
    ],
)
def test_a_use_is_confirmed_with_process_day_and_what(
    floor: Floor, changes: dict[str, Any], code: str
) -> None:
    good = {"stamp": "W1", "process": "141", "used_on": days_ago(5), "what": "A cage."}
    with refused(code):
        floor.do(confirm_process_use, by="Q1", **{**good, **changes})
    floor.do(confirm_process_use, by="Q1", **good)
    with refused("use_known"):
        floor.do(confirm_process_use, by="Q1", **good)
    assert ProcessUse.objects.count() == 1


def test_a_doubt_is_answered_once(floor: Floor) -> None:
    with refused("reason_needed"):
        floor.do(doubt_welder, by="Q1", stamp="W1", why="")
    with refused("process_unknown"):
        floor.do(doubt_welder, by="Q1", stamp="W1", why="Porous.", process="9")
    doubt = floor.do(doubt_welder, by="Q1", stamp="W1", why="Porous.")["doubt"]
    with refused("field_missing"):
        floor.do(answer_welder_doubt, by="Q1", doubt=doubt, answer="")
    floor.do(answer_welder_doubt, by="Q1", doubt=doubt, answer="The gas bottle was empty.")
    with refused("doubt_answered"):
        floor.do(answer_welder_doubt, by="Q1", doubt=doubt, answer="Again.")
    with refused("not_found"):
        floor.do(answer_welder_doubt, by="Q1", doubt=doubt + 1, answer="None.")
    said = [read(line).sentence for line in lines_of(floor.person("W1").chain)[:2]]
    assert said == [
        "The doubt was answered: The gas bottle was empty.",
        "The welding was put in doubt, in every process: Porous.",
    ]
    assert WelderDoubt.objects.count() == 1 and ledger.verify().faults == ()


def test_nobody_is_there_with_that_stamp(floor: Floor) -> None:
    with refused("not_found"):
        add(floor, stamp="X9")
    with refused("not_found"):
        floor.do(doubt_welder, by="Q1", stamp="X9", why="Porous.")


@pytest.mark.parametrize("stamp", ["W1", "O1"])
def test_station_workers_and_owners_do_not_qualify_anybody(floor: Floor, stamp: str) -> None:
    before = LedgerEntry.objects.count()
    for operation, inputs in (
        (add_qualification, GOOD),
        (confirm_process_use, {"stamp": "W1", "process": "141", "used_on": days_ago(5), "what": "A cage."}),
        (doubt_welder, {"stamp": "M1", "why": "Porous."}),
    ):
        with refused("not_allowed"):
            floor.do(operation, by=stamp, **inputs)
    assert LedgerEntry.objects.count() == before
