"""Readings copied from paper: who measured, when, and a photograph of the page."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import Any

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile

from housings.models import Housing
from inspections.models import Reading
from shopqc import files
from shopqc.canonical import digest
from tests.factories import AT, GAUGE, Floor
from tests.housings import at_a_joint as bench
from tests.inspections.conftest import SignedIn
from tests.inspections.sending import form_of, send

STATION = "face_and_drill"
JPEG = b"\xff\xd8\xff\xe0 a page of figures"
PAGE = digest(JPEG)
# The work of the station is recorded at 9:30, the page written after that, and copied at noon.
EARLIER, BEFORE_THE_WORK = "2026-05-04T09:45", "2026-05-04T07:15"
NOON = AT + datetime.timedelta(hours=2, minutes=30)


@pytest.fixture
def housing(floor: Floor) -> Iterator[Housing]:
    """A housing whose face was cut and measured on paper; it is noon."""
    found = floor.housing(until=STATION)
    floor.work(found, STATION)
    with time_machine.travel(NOON, tick=False):
        yield found


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
    # The shop's clock runs in UTC here.
    assert reading.done_at == AT + datetime.timedelta(minutes=15)
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
    assert (measured.paper, measured.measured_by, measured.done_at) == ("", "", NOON)
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


def test_a_photograph_is_not_asked_for_twice(housing: Housing, signed_in: SignedIn) -> None:
    """What comes back with a question or an error keeps the page that was sent with it."""
    lead = signed_in("Q1")
    lead.get(at(housing, "width"))
    typed = {"value": "two", "gauge": GAUGE, "measured_by": "M1", "done_at": EARLIER}
    assert send(lead, photo=photo(), **typed).status_code == 422
    assert form_of(lead).values["same_page"] == ["on"]
    assert send(lead, value="6.0").status_code == 200
    lead.press("meant", "other")
    assert Reading.objects.get(characteristic__code="width").paper == PAGE


def test_a_page_is_offered_for_its_own_visit_only(
    housing: Housing, floor: Floor, signed_in: SignedIn
) -> None:
    lead = signed_in("Q1")
    lead.get(at(housing, "width"))
    send(lead, value="60.001", gauge=GAUGE, measured_by="M1", done_at=EARLIER, photo=photo())
    other = floor.housing(until=STATION)
    lead.get(at(other, "width"))
    assert "same_page" not in form_of(lead).values and form_of(lead).values["measured_by"] == ""


@pytest.mark.parametrize(("answer", "stands"), [("before", False), ("after", True)])
def test_a_page_from_before_the_work_asks_when_it_was_measured(
    housing: Housing, floor: Floor, signed_in: SignedIn, answer: str, stands: bool
) -> None:
    """The work was recorded at 9:30 and the page says 7:15: clocks only ask, the person says."""
    lead = signed_in("Q1")
    lead.get(at(housing, "pilot_bore"))
    typed = {"value": "7.2501", "gauge": GAUGE, "measured_by": "M1", "done_at": BEFORE_THE_WORK}
    assert send(lead, photo=photo(), **typed).status_code == 409
    assert "Before it or after it?" in lead.page.text
    lead.press("measured", answer)
    reading = Reading.objects.get(characteristic__code="pilot_bore")
    assert reading.paper == PAGE
    standing = floor.measured(housing).standings[reading.characteristic_id]
    assert (standing.state == "pass") is stands, standing.state


def test_a_correction_does_not_put_the_page_away(housing: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(at(housing, "width"))
    typed = {"value": "60.001", "gauge": GAUGE, "measured_by": "M1", "done_at": EARLIER}
    assert send(lead, photo=photo(), **typed).status_code == 302
    first = Reading.objects.get(characteristic__code="width")
    lead.get(f"{at(housing, 'width')}?replaces={first.pk}")
    assert send(lead, value="60.002", reason="A slip of the pen.").status_code == 302
    lead.get(at(housing, "pilot_bore"))
    assert form_of(lead).values["same_page"] == ["on"]


def test_a_page_from_before_a_weld_pass_is_asked_about(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="armor")
    bench.done(floor, housing, 1, joint="armor_back")
    lead = signed_in("Q1")
    with time_machine.travel(NOON, tick=False):
        lead.get(at(housing, "armor_welds"))
        typed = {"result": "go", "measured_by": "M1", "done_at": BEFORE_THE_WORK, "photo": photo()}
        assert send(lead, **typed).status_code == 409
        assert "Before it or after it?" in lead.page.text
        assert not Reading.objects.filter(characteristic__code="armor_welds").exists()
