"""Nonconformances at a desk: what waits, who may decide what, rework with its visits, the concession."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from housings.models import Hold, Housing, Visit
from inspections.models import Disposition, Nonconformance, Reading
from tests.factories import Floor
from tests.inspections.conftest import SignedIn
from tests.inspections.sending import form_of, send

STATION = "face_and_drill"
PDF = b"%PDF-1.4\nA customer's concession, invented.\n"


@pytest.fixture
def housing(floor: Floor) -> Housing:
    """A housing with one failing reading, which is major: nonconformance 1."""
    found = floor.housing(until=STATION)
    floor.work(found, STATION)
    bore = floor.characteristic(found, "pilot_bore")
    floor.record(found, floor.reading(found, bore, STATION, raw={"value": "7.2561"}), by="W1")
    return found


def of(housing: Housing, number: int = 1) -> str:
    return f"/nonconformances/{housing.serial}/{number}/"


def test_the_list_shows_what_waits_in_the_whole_shop(
    floor: Floor, housing: Housing, signed_in: SignedIn
) -> None:
    lead = signed_in("Q1")
    lead.get("/nonconformances/")
    assert "Diameter of the pilot bore: 7.2561 in" in lead.page.text and of(housing) in lead.page.links
    lead.get(of(housing))
    send(lead, decision="scrap", reason="beyond mending")
    lead.get("/nonconformances/")
    assert "Nothing waits for a decision." in lead.page.text
    lead.get("/nonconformances/?all=1")
    assert "scrap" in lead.page.text and of(housing) in lead.page.links


def test_an_empty_list_says_how_one_comes(floor: Floor, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get("/nonconformances/")
    assert "A reading that fails opens a nonconformance by itself" in worker.page.text


@pytest.mark.parametrize("stamp", ["W1", "O1"])
def test_who_may_not_decide_is_told_so(housing: Housing, signed_in: SignedIn, stamp: str) -> None:
    visitor = signed_in(stamp)
    visitor.get(of(housing))
    assert "This needs the role QC lead or engineer." in visitor.page.text
    assert visitor.post(of(housing), {"decision": "scrap", "reason": "no"}).status_code == 403
    assert not Disposition.objects.exists()


def test_the_qc_lead_sees_why_a_major_one_is_not_hers_alone(housing: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(of(housing))
    assert "only an engineer with a credential on file may decide use as is" in lead.page.text
    assert send(lead, decision="use_as_is", reason="it will do").status_code == 409
    assert "needs the customer's concession" in lead.page.text
    assert form_of(lead).values["reason"] == "it will do"


def test_rework_shows_what_it_puts_in_between_and_puts_it_there(
    floor: Floor, housing: Housing, signed_in: SignedIn
) -> None:
    lead = signed_in("Q1")
    lead.get(of(housing))
    send(lead, look="1", decision="rework", stations=["straighten"], reason="")
    assert "These visits come next, in this order: Straighten rework" in lead.page.text
    assert "to measure again" in lead.page.text
    assert not Disposition.objects.exists()
    assert send(lead, decision="rework", stations=["straighten"], reason="pull it back").status_code == 302
    lead.follow()
    assert "rework" in lead.page.text and "pull it back" in lead.page.text
    kinds = list(
        Visit.objects.filter(housing=housing, state="ahead")
        .exclude(kind="planned")
        .values_list("kind", flat=True)
    )
    assert kinds[0] == "rework" and set(kinds[1:]) == {"measure"}


def test_deciding_needs_a_decision_a_reason_and_stations(housing: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(of(housing))
    assert send(lead, reason="").status_code == 422
    assert "Choose one." in lead.page.text and "Say it in words." in lead.page.text
    assert send(lead, decision="rework", reason="again").status_code == 422
    assert "Say at which stations it is reworked." in lead.page.text
    assert send(lead, decision="forgive", reason="again").status_code == 422
    assert send(lead, decision="rework", stations=["moon"], reason="again").status_code == 422
    assert send(lead, decision="scrap", reason="x" * 10_000).status_code == 422
    assert send(lead, decision="scrap", reason="a\x00b").status_code == 422
    assert not Disposition.objects.exists()


def test_it_is_decided_once_however_often_it_is_sent(housing: Housing, signed_in: SignedIn) -> None:
    lead, engineer = signed_in("Q1"), signed_in("E1")
    lead.get(of(housing))
    engineer.get(of(housing))
    data = {**form_of(lead).values, "decision": "scrap", "reason": "beyond mending"}
    assert [lead.post(of(housing), data).status_code for _tap in range(2)] == [302, 302]
    assert send(engineer, decision="scrap", reason="me too").status_code == 409
    assert "was decided already: scrap" in engineer.page.text
    assert Disposition.objects.count() == 1


def test_an_entry_error_names_the_reading_that_replaces_it(
    floor: Floor, housing: Housing, signed_in: SignedIn
) -> None:
    lead = signed_in("Q1")
    lead.get(of(housing))
    assert send(lead, decision="entry_error", reason="typed wrongly").status_code == 409
    assert "record it first" in lead.page.text
    wrong = Reading.objects.get(nonconformances__number=1)
    lead.get(f"/h/{housing.serial}/readings/pilot_bore/?replaces={wrong.pk}")
    send(lead, value="7.2510", reason="6 for 0")
    right = Reading.objects.get(replaces=wrong)
    lead.get(of(housing))
    assert "7.2510 in, pass" in lead.page.text
    assert send(lead, decision="entry_error", replaced_by=str(right.pk), reason="6 for 0").status_code == 302
    assert floor.measured(housing).standings[right.characteristic_id].state == "pass"


def concession(content: bytes, name: str = "concession.pdf") -> dict[str, Any]:
    return {"document": SimpleUploadedFile(name, content, "application/octet-stream")}


def test_an_engineer_accepts_with_the_concession_filed(housing: Housing, signed_in: SignedIn) -> None:
    engineer = signed_in("E1")
    engineer.get(of(housing))
    assert "File the customer's concession first, above." in engineer.page.text
    assert send(engineer, decision="use_as_is", reason="clears the carrier").status_code == 409
    engineer.get(of(housing))
    assert send(engineer, "concession/", **concession(PDF)).status_code == 302
    engineer.follow()
    assert "The concession is filed" in engineer.page.text
    form = next(f for f in engineer.page.forms if "reason" in f.values)
    sent = {**form.values, "decision": "use_as_is", "reason": "clears the carrier"}
    assert engineer.post(of(housing), sent).status_code == 302
    decision = Disposition.objects.get()
    assert decision.concession and decision.credential
    response = engineer.get(of(housing) + "document/")
    assert b"".join(response.streaming_content) == PDF  # type: ignore[attr-defined]
    assert response["Content-Disposition"].startswith("attachment")
    assert response["Content-Type"] == "application/pdf"
    assert response["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "The file is empty."),
        (b"<svg xmlns='http://www.w3.org/2000/svg' onload='x()'/>", "application/pdf"),
        (b"MZ\x90 a program", "application/pdf"),
        (PDF + b"\x00" * 10_000_000, "more than 10000000 bytes"),
    ],
)
def test_only_documents_are_filed(housing: Housing, signed_in: SignedIn, content: bytes, says: str) -> None:
    engineer = signed_in("E1")
    engineer.get(of(housing))
    response = send(engineer, "concession/", **concession(content))
    assert response.status_code in {413, 415, 422}
    assert says in engineer.page.text


def test_a_worker_files_nothing(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    assert worker.post(of(housing) + "concession/", concession(PDF)).status_code == 403


def test_anybody_on_the_floor_opens_one_and_may_hold(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="tack")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/problem/")
    assert send(worker, what="").status_code == 422
    send(worker, what="A crack at the left rib", defect="crack", hold="on")
    worker.follow()
    assert "Nonconformance 1 of this housing" in worker.page.text and "major" in worker.page.text
    assert Nonconformance.objects.get().defect == "crack"
    assert Hold.objects.filter(housing=housing, released_at=None).count() == 1


def test_the_owner_does_not_open_one(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing()
    owner = signed_in("O1")
    owner.get(f"/h/{housing.serial}/problem/")
    assert "Why you cannot open a nonconformance now" in owner.page.text
    data = {"what": "no", "defect": "other"}
    assert owner.post(f"/h/{housing.serial}/problem/", data).status_code == 403


def test_one_that_came_from_no_reading_cannot_be_an_entry_error(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="tack")
    lead = signed_in("Q1")
    lead.get(f"/h/{housing.serial}/problem/")
    send(lead, what="A scratch")
    lead.follow()
    assert "Only a nonconformance that came from a reading can be an entry error." in lead.page.text


@pytest.mark.parametrize("number", [2, 10**30])
def test_one_that_is_not_there_is_not_found(housing: Housing, signed_in: SignedIn, number: int) -> None:
    assert signed_in("Q1").get(of(housing, number)).status_code == 404
