"""An interrupted entry is kept, offered again with its age, and dropped when it is recorded."""

from __future__ import annotations

import datetime

import pytest
import time_machine

from housings.models import Housing
from inspections.models import EntryDraft, Reading
from shopqc.models import LedgerEntry
from tests.factories import AT, GAUGE, Floor
from tests.inspections.conftest import SignedIn
from tests.inspections.sending import form_of, send
from tests.visitor import Visitor

STATION = "face_and_drill"
CODE = "width"


@pytest.fixture
def housing(floor: Floor) -> Housing:
    """A housing whose face was cut and is to be measured."""
    found = floor.housing(until=STATION)
    floor.work(found, STATION)
    return found


def at(housing: Housing, code: str = CODE) -> str:
    return f"/h/{housing.serial}/readings/{code}/"


def keep(visitor: Visitor, housing: Housing, code: str = CODE, **typed: str) -> None:
    """Type something and press "Keep it for later"."""
    visitor.get(at(housing, code))
    visitor.post(at(housing, code) + "draft/", {**form_of(visitor).values, "gauge": GAUGE, **typed})
    assert visitor.response is not None and visitor.response.status_code == 302


def test_what_was_typed_is_offered_again(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    lines = LedgerEntry.objects.count()
    keep(worker, housing, value="60.0", temperature="71")
    worker.follow()
    assert "What you typed of Width over the ends is kept." in worker.page.text
    # Bookkeeping and no fact: the record book does not know of it.
    assert LedgerEntry.objects.count() == lines and not Reading.objects.filter(visit__number=99).exists()
    worker.get(at(housing))
    assert "You typed part of this" in worker.page.text and "did not record it" in worker.page.text
    worker.get(next(link for link in worker.page.links if "draft=1" in link))
    values = form_of(worker).values
    assert (values["value"], values["temperature"], values["gauge"]) == ("60.0", "71", GAUGE)
    assert send(worker, value="60.001").status_code == 302
    assert not EntryDraft.objects.exists()


def test_it_is_offered_to_nobody_else(housing: Housing, signed_in: SignedIn) -> None:
    keep(signed_in("W1"), housing, value="60.0")
    other = signed_in("M1")
    other.get(at(housing))
    assert "You typed part of this" not in other.page.text


def test_a_tap_drops_it(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    keep(worker, housing, value="60.0")
    worker.get(at(housing))
    worker.press("do", "drop")
    worker.follow()
    assert "You typed part of this" not in worker.page.text and not EntryDraft.objects.exists()


def test_only_the_last_is_kept(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    keep(worker, housing, value="60.0")
    keep(worker, housing, value="60.1")
    assert EntryDraft.objects.get().typed["fields"]["value"] == "60.1"


def test_a_script_keeps_it_without_a_page(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing))
    data = {**form_of(worker).values, "value": "60.0", "quiet": "1"}
    assert worker.post(at(housing) + "draft/", data).status_code == 204
    assert "csrfmiddlewaretoken" not in EntryDraft.objects.get().typed["fields"]
    assert worker.post(at(housing) + "draft/", {**data, "value": "1" * 500_000}).status_code == 413
    assert EntryDraft.objects.get().typed["fields"]["value"] == "60.0"
    assert worker.get(at(housing) + "draft/").status_code == 405


def test_who_may_not_record_keeps_nothing(housing: Housing, signed_in: SignedIn) -> None:
    engineer = signed_in("E1")
    assert engineer.post(at(housing) + "draft/", {"value": "60"}).status_code == 403
    assert not EntryDraft.objects.exists()


def test_one_that_lay_for_a_day_says_so(housing: Housing, floor: Floor, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    keep(worker, housing, value="60.0")
    with time_machine.travel(AT + datetime.timedelta(days=1), tick=False):
        worker = signed_in("W1")
        worker.get(at(housing))
        assert "You typed part of this 1 day ago" in worker.page.text.replace("\xa0", " ")
        assert "check that nobody has touched the part since" in worker.page.text
        floor.measure_due(housing, STATION, only=["inside_clean"])
        worker.get(at(housing))
        assert "The record of this housing went on since then" in worker.page.text


def test_one_from_before_the_part_was_moved_asks_when_it_was_measured(
    housing: Housing, floor: Floor, signed_in: SignedIn
) -> None:
    worker = signed_in("W1")
    keep(worker, housing, "pilot_bore", value="7.2501")
    floor.work(housing, STATION)  # a second cut
    worker.get(at(housing, "pilot_bore"))
    assert "Since then the work of Face and drill was done, which moves it" in worker.page.text
    worker.get(next(link for link in worker.page.links if "draft=1" in link))
    assert send(worker).status_code == 409
    assert "Before it or after it?" in worker.page.text
    worker.press("measured", "before")
    reading = Reading.objects.get(characteristic__code="pilot_bore")
    assert reading.stands_from < reading.record_position
    assert not EntryDraft.objects.exists()


def test_points_typed_one_by_one_come_back_as_such(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "face_flatness") + "?points=12")
    data = {**form_of(worker).values, "x_1": "1", "y_1": "0", "z_1": "0.001"}
    worker.post(at(housing, "face_flatness") + "draft/?points=12", data)
    worker.get(at(housing, "face_flatness"))
    worker.get(next(link for link in worker.page.links if "draft=1" in link))
    assert form_of(worker).values["z_1"] == "0.001"


def test_what_cannot_be_kept_is_said(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "face_flatness"))
    data = {**form_of(worker).values, "list": "1 2 3\n" * 90_000}
    worker.post(at(housing, "face_flatness") + "draft/", data)
    worker.follow()
    assert "This is too much to keep." in worker.page.text
