"""Readings copied from paper: who measured, when, and a photograph of the page."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from housings.models import Housing
from inspections.models import Reading
from shopqc import files
from shopqc.canonical import digest
from tests.factories import AT, GAUGE, Floor
from tests.inspections.conftest import SignedIn
from tests.inspections.sending import form_of, send

STATION = "face_and_drill"
JPEG = b"\xff\xd8\xff\xe0 a page of figures"
PAGE = digest(JPEG)
EARLIER = "2026-05-04T07:15"


@pytest.fixture
def housing(floor: Floor) -> Housing:
    """A housing whose face was cut and is to be measured."""
    found = floor.housing(until=STATION)
    floor.work(found, STATION)
    return found


def at(housing: Housing, code: str) -> str:
    return f"/h/{housing.serial}/readings/{code}/"


def photo(content: bytes = JPEG, kind: str = "image/jpeg") -> SimpleUploadedFile:
    return SimpleUploadedFile("page.jpg", content, kind)


def test_a_page_is_filed_and_named_by_each_reading_from_it(housing: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(at(housing, "width"))
    typed = {"value": "60.001", "gauge": GAUGE, "measured_by": "M1", "done_at": EARLIER}
    assert send(lead, photo=photo(), **typed).status_code == 302
    reading = Reading.objects.get(characteristic__code="width")
    assert (reading.paper, reading.measured_by, reading.by_stamp) == (PAGE, "M1", "Q1")
    # The shop's clock runs in UTC here, two and a quarter hours before now.
    assert reading.done_at == AT - datetime.timedelta(hours=2, minutes=15)
    assert files.is_kept(PAGE)
    # The next figure of the same page needs no second photograph.
    lead.get(at(housing, "pilot_bore"))
    values = form_of(lead).values
    assert (values["measured_by"], values["done_at"], values["same_page"]) == ("M1", EARLIER, ["on"])
    assert send(lead, value="7.2501", gauge=GAUGE).status_code == 302
    assert Reading.objects.get(characteristic__code="pilot_bore").paper == PAGE
    # One that is measured now is not from it, and then the page is put away.
    lead.get(at(housing, "face_thickness"))
    values = form_of(lead).values
    del values["same_page"]
    assert lead.post(at(housing, "face_thickness"), {**values, "value": "0.5"}).status_code == 302
    measured = Reading.objects.get(characteristic__code="face_thickness")
    assert (measured.paper, measured.measured_by, measured.done_at) == ("", "", AT)
    lead.get(at(housing, "journal_runout_left"))
    assert "same_page" not in form_of(lead).values


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"measured_by": "M1"}, "Say when it was measured; the page says it."),
        ({"measured_by": "M1", "done_at": EARLIER}, "Take a photograph of the page"),
        ({"done_at": EARLIER}, "Type the stamp of who measured."),
        ({"measured_by": "M1", "done_at": "yesterday"}, "Write the day and the time"),
    ],
)
def test_what_is_missing_is_said_beside_its_field(
    housing: Housing, signed_in: SignedIn, given: dict[str, str], says: str
) -> None:
    lead = signed_in("Q1")
    lead.get(at(housing, "width"))
    assert send(lead, value="60.001", gauge=GAUGE, **given).status_code == 422
    assert says in lead.page.text
    assert form_of(lead).values["value"] == "60.001"
    assert not Reading.objects.filter(characteristic__code="width").exists()


@pytest.mark.parametrize(
    ("given", "says", "status"),
    [
        ({"measured_by": "X9", "photo": photo()}, "Nobody has the stamp X9.", 422),
        ({"done_at": "2026-05-05T10:00", "photo": photo()}, "This lies in the future", 422),
        ({"photo": photo(b"<svg/>", "image/svg+xml")}, "Send the body as application/pdf", 415),
        ({"photo": photo(b"GIF89a", "image/jpeg")}, "does not begin like image/jpeg", 422),
    ],
)
def test_what_is_wrong_is_refused_and_nothing_is_recorded(
    housing: Housing, signed_in: SignedIn, given: dict[str, object], says: str, status: int
) -> None:
    lead = signed_in("Q1")
    lead.get(at(housing, "width"))
    typed: dict[str, Any] = {"value": "60.001", "gauge": GAUGE, "measured_by": "M1", "done_at": EARLIER}
    assert send(lead, **(typed | given)).status_code == status
    assert says in lead.page.text
    assert not Reading.objects.filter(characteristic__code="width").exists()


def test_a_worker_copies_from_paper_too(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "width"))
    typed = {"value": "60.001", "gauge": GAUGE, "measured_by": "M1", "done_at": EARLIER}
    assert send(worker, photo=photo(), **typed).status_code == 302
    assert Reading.objects.get(characteristic__code="width").measured_by == "M1"


def test_the_history_says_so(housing: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(at(housing, "width"))
    send(lead, value="60.001", gauge=GAUGE, measured_by="M1", done_at=EARLIER, photo=photo())
    lead.get(f"/h/{housing.serial}/measured/")
    assert "measured by stamp M1, copied from paper by stamp Q1" in lead.page.text
    reading = Reading.objects.get(characteristic__code="width")
    lead.get(f"/h/{housing.serial}/measured/{reading.pk}/")
    page = next(link for link in lead.page.links if link.endswith("/paper/"))
    response = lead.get(page)
    assert b"".join(response.streaming_content) == JPEG  # type: ignore[attr-defined]
    assert response["Content-Type"] == "image/jpeg"
    assert response["Content-Disposition"].startswith("attachment")
    other = Reading.objects.exclude(characteristic__code="width").first()
    assert other is not None
    assert lead.get(f"/h/{housing.serial}/measured/{other.pk}/paper/").status_code == 404
