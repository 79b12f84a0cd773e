"""Many travelers, and the paper pack: made part by part, once a day, also where a worker is killed."""

from __future__ import annotations

import datetime
import io
from typing import Any

import pytest
from django.core.exceptions import ImproperlyConfigured
from pypdf import PdfReader

from housings import paper_jobs, tasks, traveler
from housings.models import PaperJob
from housings.operations.holds import hold_housing
from shopqc import dispatch, environment, files, paper
from tests.factories import AT, Floor
from tests.housings.conftest import SignedIn


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Travelers are laid out once instead of searching for their density, which is tested elsewhere."""
    monkeypatch.setattr(paper, "DENSITIES", ("packed",))


@pytest.fixture(autouse=True)
def rung(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, Any]]:
    """The bell, heard but not answered."""
    heard: list[tuple[str, Any]] = []

    def hear(task: str, *ids: Any) -> bool:
        heard.append((task, *ids))
        return True

    monkeypatch.setattr(dispatch, "ring", hear)
    return heard


def work(job: PaperJob, most: int = 20) -> PaperJob:
    """What a worker does that hears every bell."""
    for _ in range(most):
        tasks.make_paper(job.pk)
        job.refresh_from_db()
        if job.state in {PaperJob.DONE, PaperJob.ASIDE}:
            break
    return job


def pages_of(content: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(content)).pages]


def test_a_pack_lists_every_housing_in_work_and_brings_its_traveler(floor: Floor) -> None:
    first = floor.housing(until="truss")
    second = floor.housing()
    done = floor.housing(until="signed")
    floor.do(hold_housing, by="Q1", housing=first.serial, why="the jig slipped")
    job = work(paper_jobs.ask_for_pack(name="one", by="Q1", at=AT))
    assert job.is_made and job.facts["count"] == 2 and job.facts["failed"] == []
    pages = pages_of(paper_jobs.file_of(job))
    assert "If the system is down" in pages[0] and "made 4 May 2026, 09:30 UTC" in pages[0]
    assert "at Truss" in pages[0] and "held: the jig slipped" in pages[0] and "Jig" in pages[0]
    assert done.serial_grouped not in " ".join(pages)
    # Each traveler begins on a sheet of its own: odd pages are fronts.
    starts = [number for number, text in enumerate(pages, start=1) if text.startswith("Traveler")]
    assert len(starts) == 2 and all(number % 2 for number in starts)
    for housing in (first, second):
        assert any(housing.serial_grouped in text and "Measuring sheet" in text for text in pages)
    # What is done stands on the traveler, with stamp and reading.
    mine = next(t for t in pages if t.startswith("Traveler") and first.serial_grouped in t)
    assert "W1" in mine and "4 May 09:30" in mine and "yes" in mine


def test_many_travelers_are_made_in_steps_and_a_killed_worker_loses_one_step_at_most(
    floor: Floor, rung: list[tuple[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    housings = floor.order(quantity=5)
    serials = [housing.serial for housing in housings]
    asked = {"name": "all", "sheets": False, "fresh_sheets": False, "by": "W1", "at": AT}
    job = paper_jobs.ask_for_travelers(serials, **asked)  # type: ignore[arg-type]
    assert paper_jobs.ask_for_travelers(serials, **asked).pk == job.pk  # type: ignore[arg-type]
    drawn: list[str] = []
    real = traveler.Printing.traveler

    class Killed(BaseException):
        """The process is gone: nothing below catches it."""

    def draw(self: traveler.Printing, housing: Any, **given: Any) -> bytes:
        if len(drawn) == 1 and housing.serial not in drawn:
            drawn.append("killed")
            raise Killed
        drawn.append(housing.serial)
        return real(self, housing, **given)

    monkeypatch.setattr(traveler.Printing, "traveler", draw)
    with pytest.raises(Killed):
        tasks.make_paper(job.pk)
    job.refresh_from_db()
    assert job.state == PaperJob.TAKEN and [part["serial"] for part in job.parts] == serials[:1]
    tasks.make_paper(job.pk)
    assert len(drawn) == 2, "the lease of the killed worker still holds"
    PaperJob.objects.filter(pk=job.pk).update(lease_until=AT - datetime.timedelta(seconds=1))
    work(job)
    assert [one for one in drawn if one != "killed"] == serials
    assert (PaperJob.task, job.pk) in rung
    pages = pages_of(paper_jobs.file_of(job))
    assert len(pages) == 5
    assert [housing.serial_grouped in text for housing, text in zip(housings, pages, strict=True)] == [
        True
    ] * 5


def test_a_worker_whose_lease_was_lost_changes_nothing(floor: Floor) -> None:
    (housing,) = floor.order()
    job = paper_jobs.ask_for_travelers(
        [housing.serial], name="x", sheets=False, fresh_sheets=False, by="W1", at=AT
    )
    token = PaperJob.take(job.pk, AT)
    assert token is not None
    PaperJob.objects.filter(pk=job.pk).update(token=token + 1)
    with pytest.raises(paper_jobs.LeaseLost):
        paper_jobs.go_on(job.pk, token, lambda: AT)
    job.refresh_from_db()
    assert job.state == PaperJob.TAKEN and job.parts == [] and not job.file


def test_a_traveler_that_cannot_be_drawn_is_named_and_the_others_come(
    floor: Floor, monkeypatch: pytest.MonkeyPatch
) -> None:
    bad, good = floor.order(quantity=2)
    real = traveler.Printing.traveler

    def draw(self: traveler.Printing, housing: Any, **given: Any) -> bytes:
        if housing.serial == bad.serial:
            raise ZeroDivisionError("no room")
        return real(self, housing, **given)

    monkeypatch.setattr(traveler.Printing, "traveler", draw)
    job = work(paper_jobs.ask_for_pack(name="one", by="Q1", at=AT))
    assert job.facts["failed"] == [bad.serial]
    pages = pages_of(paper_jobs.file_of(job))
    assert bad.serial in pages[0] and "could not be drawn" in pages[0]
    assert any(text.startswith("Traveler") and good.serial_grouped in text for text in pages)


def test_parts_that_were_swept_away_are_drawn_again(floor: Floor) -> None:
    serials = [housing.serial for housing in floor.order(quantity=4)]
    job = paper_jobs.ask_for_travelers(serials, name="x", sheets=False, fresh_sheets=False, by="W1", at=AT)
    tasks.make_paper(job.pk)
    job.refresh_from_db()
    assert len(job.parts) == paper_jobs.A_STEP
    files.sweep_pending(datetime.datetime(2100, 1, 1, tzinfo=datetime.UTC))
    assert work(job).is_made
    assert len(pages_of(paper_jobs.file_of(job))) == 4


@pytest.mark.parametrize(
    ("hour", "at", "is_due"),
    [
        (None, "2026-05-04T09:30:00+00:00", False),
        (2, "2026-05-04T06:59:00+00:00", False),
        (2, "2026-05-04T07:00:00+00:00", True),
        (2, "2026-05-05T03:00:00+00:00", True),
        (0, "2026-05-04T05:00:00+00:00", True),
    ],
)
def test_the_night_is_the_shops(floor: Floor, settings: Any, hour: int | None, at: str, is_due: bool) -> None:
    """US Central Daylight Time is UTC−5 in May (IANA time zone database, America/Chicago)."""
    settings.TIME_ZONE, settings.PAPER_PACK_HOUR = "America/Chicago", hour
    job = paper_jobs.pack_of_tonight(datetime.datetime.fromisoformat(at))
    assert (job is not None) == is_due
    if job:
        assert job.name == "pack 2026-05-04"


def test_one_pack_a_day_and_the_last_seven_are_kept(floor: Floor, settings: Any) -> None:
    settings.PAPER_PACK_HOUR = 2
    stored = []
    for day in range(9):
        at = AT + datetime.timedelta(days=day)
        job = paper_jobs.pack_of_tonight(at)
        assert job is not None
        again = paper_jobs.pack_of_tonight(at + datetime.timedelta(hours=3))
        assert again is not None and again.pk == job.pk
        token = PaperJob.take(job.pk, at)
        assert token is not None
        while not paper_jobs.go_on(job.pk, token, lambda at=at: at):
            token = PaperJob.take(job.pk, at) or 0
        job.refresh_from_db()
        stored.append(job.file)
    assert [job.name for job in paper_jobs.packs()] == [
        f"pack 2026-05-{4 + day:02}" for day in range(8, 1, -1)
    ]
    assert PaperJob.objects.count() == 7
    assert [files.is_kept(file) for file in stored] == [False, False, *[True] * 7]


def test_a_wrong_hour_stops_the_program(monkeypatch: pytest.MonkeyPatch) -> None:
    for value, says in (("24", "from 0 to 23"), ("two", "whole number"), ("-1", "least is 0")):
        monkeypatch.setenv("SHOPQC_PAPER_PACK_HOUR", value)
        with pytest.raises(ImproperlyConfigured, match=says):
            environment.hour("SHOPQC_PAPER_PACK_HOUR")
    monkeypatch.setenv("SHOPQC_PAPER_PACK_HOUR", "")
    assert environment.hour("SHOPQC_PAPER_PACK_HOUR") is None


def test_its_page_says_how_old_the_pack_is_and_what_failed(
    floor: Floor, signed_in: SignedIn, time_machine: Any
) -> None:
    lead = signed_in("Q1")
    lead.get("/paper-pack/")
    assert "No paper pack is made yet" in lead.page.text
    lead.press("do", "make")
    lead.follow()
    assert "waits for the worker" in lead.page.text and lead.response["Refresh"] == "3"  # type: ignore[index]
    job = work(PaperJob.objects.get())
    lead.get("/paper-pack/")
    assert "Made 4 May 2026, 09:30 UTC; housings: 0" in lead.page.text
    assert "Refresh" not in lead.response.headers  # type: ignore[union-attr]
    assert lead.get(f"/paper-pack/{job.pk}.pdf").content.startswith(b"%PDF")
    time_machine.move_to(AT + datetime.timedelta(days=2))
    worker = signed_in("W1")
    worker.get("/paper-pack/")
    assert "This pack is old" in worker.page.text and "Make it now" not in worker.page.text
    assert worker.post("/paper-pack/", {}).status_code == 403
    PaperJob.objects.create(
        kind="pack", name="later", asked_at=AT, asked_by="Q1", state=PaperJob.ASIDE, last_error="Disk full."
    )
    lead = signed_in("Q1")
    lead.get("/paper-pack/")
    assert "could not be made: Disk full." in lead.page.text and "Make it now" in lead.page.text
