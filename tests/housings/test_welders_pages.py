"""The page that says who may weld what until when, and the page of one person."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings.models import ProcessUse, Qualification, QualificationEnd, WelderDoubt
from housings.operations.welders import add_qualification, confirm_process_use, doubt_welder
from housings.welder_standing import standing_of
from housings.welder_words import lines_of
from tests.factories import AT, Floor
from tests.housings.conftest import SignedIn
from tests.housings.welding_people import TIG, days_ago, qualify
from tests.visitor import Visitor

TYPED: dict[str, Any] = {
    "reference": "W1-T",
    "process": "141",
    "joints": ["groove", "plug"],
    "positions": ["PA", "PH"],
    "thickness_least": "0,125",
    "thickness_most": "0.75",
    "backing": "without",
    "filler_groups": "F6, F43",
    "tested_on": days_ago(30),
    "valid_until": "2028-04-04",
    "examiner": "An examiner, invented",
}


@pytest.fixture
def lead(floor: Floor, signed_in: SignedIn) -> Visitor:
    """The QC lead at the page of a welder."""
    visitor = signed_in("Q1")
    visitor.get("/welders/W1/")
    return visitor


def test_on_day_one_the_page_says_how_to_begin(floor: Floor, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get("/welders/")
    assert "No qualification is on file yet." in lead.page.text
    assert "No qualification on file Mara Lindqvist stamp M1" in lead.page.text
    assert "/welders/W1/" in lead.page.links


def test_a_qualification_is_entered_and_stands_in_the_list(lead: Visitor) -> None:
    record = SimpleUploadedFile("record.pdf", b"%PDF-1.4\n% qualification, invented\n")
    assert lead.press("do", "qualify", **TYPED, document=record).status_code == 302
    lead.follow()
    assert "The qualification is on file." in lead.page.text
    row = Qualification.objects.get()
    assert row.ranges["thickness"] == {"least": "0.125", "most": "0.75"}
    assert row.ranges["filler_groups"] == ["F6", "F43"] and len(row.document) == 64
    # Tested on 4 April and six months: by use, before the end of the record.
    assert "TIG (141) current until 4 Oct 2026" in lead.page.text
    paper = lead.get(f"/qualifications/{row.pk}/document/")
    assert paper["Content-Type"] == "application/pdf"
    assert b"".join(paper.streaming_content).startswith(b"%PDF")  # type: ignore[attr-defined]
    lead.get("/welders/")
    text = lead.page.text
    assert (
        "Wes Tandy stamp W1 TIG (141) current 4 Oct 2026 W1-T: groove welds, plug and rosette welds" in text
    )
    assert "open root; wall 0.125 to 0.75 in; F6, F43" in text


def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(lead: Visitor) -> None:
    wrong = {**TYPED, "thickness_least": "0.9", "tested_on": "2026-05-05"}
    assert lead.press("do", "qualify", **wrong).status_code == 422
    text = lead.page.text
    assert "thickness: the least, 0.9, is above the most, 0.75." in text.lower()
    assert "This lies in the future." in text
    form = next(form for form in lead.page.forms if form.button("do", "qualify"))
    assert (form.values["reference"], form.values["thickness_least"]) == ("W1-T", "0.9")
    assert lead.press("do", "qualify", **{**TYPED, "joints": [], "reference": ""}).status_code == 422
    assert "This is needed." in lead.page.text
    assert not Qualification.objects.exists()


def test_a_tester_is_entered_with_method_and_level(lead: Visitor) -> None:
    typed = {"reference": "MT 2", "method": "MT", "level": "2", "tested_on": days_ago(10)}
    lead.press("do", "tester", **typed)
    lead.follow()
    assert "magnetic particle testing current no end is set" in lead.page.text
    assert "MT 2: level 2" in lead.page.text


def test_a_use_is_confirmed_and_carries_it_on(floor: Floor, lead: Visitor) -> None:
    qualify(floor, tested=400)
    lead.get("/welders/W1/")
    assert "TIG (141) not current until 30 Sep 2025" in lead.page.text
    lead.press("do", "use", process="141", used_on=days_ago(3), what="A cage.")
    lead.follow()
    assert ProcessUse.objects.get().what == "A cage."
    assert "TIG (141) current until 1 Nov 2026" in lead.page.text and "A cage." in lead.page.text


def test_a_doubt_is_recorded_and_answered(floor: Floor, lead: Visitor) -> None:
    qualify(floor)
    lead.get("/welders/W1/")
    lead.press("do", "doubt", why="Two open roots.")
    lead.follow()
    assert "in doubt" in lead.page.text and "every process" in lead.page.text
    assert lead.press("do", "answer", answer="").status_code == 422
    lead.press("do", "answer", answer="A coupon was sound.")
    lead.follow()
    assert "Answered: A coupon was sound." in lead.page.text and "current" in lead.page.text
    assert WelderDoubt.objects.get().answered_by == "Q1"
    assert not lead.page.has_button("do", "answer")


def test_a_qualification_is_withdrawn_with_a_reason(floor: Floor, lead: Visitor) -> None:
    qualify(floor)
    lead.get("/welders/W1/")
    assert lead.press("do", "end", why="").status_code == 422
    lead.press("do", "end", why="For another person.")
    lead.follow()
    assert "Withdrawn: For another person." in lead.page.text
    assert "Nothing counts at the moment." in lead.page.text
    assert QualificationEnd.objects.count() == 1


def test_a_double_click_enters_it_once(lead: Visitor) -> None:
    form = lead.page.form_with("do", "use")
    assert form is not None
    sent = {**form.values, "do": "use", "process": "141", "used_on": days_ago(3), "what": "A cage."}
    assert [lead.post("/welders/W1/", sent).status_code for _twice in range(2)] == [302, 302]
    assert ProcessUse.objects.count() == 1


def test_late_comes_first(floor: Floor, signed_in: SignedIn) -> None:
    qualify(floor, "W1", tested=10)
    qualify(floor, "M1", tested=400)
    qualify(floor, "Q1", tested=170)
    qualify(floor, "E1", tested=10, reference="doubted")
    floor.do(doubt_welder, by="Q1", stamp="E1", why="Porous.")
    worker = signed_in("W1")
    worker.get("/welders/")
    text = worker.page.text
    places = [text.index(name) for name in ("Edith Solberg", "Mara Lindqvist", "Quinn Abara")]
    # Their own name stands in the head of the page too.
    assert [*places, text.rindex("Wes Tandy")] == sorted([*places, text.rindex("Wes Tandy")])
    assert "ends soon Any weld with this process on record before that day carries it on." in text
    assert "last used TIG on 2025-03-30" in text


def test_what_ends_first_is_said(floor: Floor) -> None:
    qualify(floor, valid_until="2026-05-20")
    (line,) = lines_of(standing_of(floor.person("W1"), AT), AT.date(), 6)
    assert (line.state, line.until) == ("undecided", datetime.date(2026, 5, 20))
    assert line.said == "It ends soon; a new test is needed."
    later = AT + datetime.timedelta(days=17)
    (line,) = lines_of(standing_of(floor.person("W1"), later), later.date(), 6)
    assert (line.state, line.said) == ("fail", "No qualification is in date; a new test is needed.")


def test_a_worker_sees_the_list_and_their_own_page_only(floor: Floor, signed_in: SignedIn) -> None:
    qualify(floor)
    worker = signed_in("W1")
    assert worker.get("/welders/").status_code == 200 and "/welders/M1/" not in worker.page.links
    assert worker.get("/welders/W1/").status_code == 200
    assert not worker.page.has_button("do", "doubt") and not worker.page.has_button("do", "end")
    assert worker.get("/welders/M1/").status_code == 403
    assert worker.post("/welders/W1/", {"do": "use", **USE}).status_code == 403
    assert not ProcessUse.objects.exists()


USE = {"process": "141", "used_on": days_ago(3), "what": "A cage."}


@pytest.mark.parametrize("do", ["", "burn", "answer", "end"])
def test_what_a_page_never_sends_is_refused(lead: Visitor, do: str) -> None:
    sent = {"do": do, "doubt": "99", "qualification": "99", "answer": "x", "why": "x"}
    assert lead.post("/welders/W1/", sent).status_code in (404, 422)
    assert lead.get("/welders/X9/").status_code == 404
    assert lead.get("/qualifications/99/document/").status_code == 404


def test_the_pages_ask_the_database_a_fixed_number_of_times(floor: Floor, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")

    def queries(url: str) -> int:
        with CaptureQueriesContext(connection) as seen:
            assert lead.get(url).status_code == 200
        return len(seen)

    qualify(floor)
    before = [queries(url) for url in ("/welders/", "/welders/W1/")]
    for stamp in ("W1", "M1", "E1", "Q1"):
        for number in range(3):
            ranges = {**TIG, "process": ("141", "135", "111")[number]}
            inputs = {"kind": "welding", "reference": f"{stamp} {number}", "tested_on": days_ago(9)}
            floor.do(add_qualification, by="Q1", stamp=stamp, ranges=ranges, **inputs)
            floor.do(
                confirm_process_use,
                by="Q1",
                stamp=stamp,
                process="141",
                used_on=days_ago(number),
                what="A cage.",
            )
    assert [queries(url) for url in ("/welders/", "/welders/W1/")] == before
