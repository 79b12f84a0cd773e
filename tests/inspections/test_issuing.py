"""Making a certificate's file: whatever is rung twice, late or in vain, it is issued once."""

from __future__ import annotations

import datetime
import threading
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest
from django.conf import settings
from django.utils import timezone

from inspections import tasks
from inspections.certificate import render
from inspections.models import Certificate, CertificateEvent, IssueJob
from inspections.models.certificates import ISSUED
from inspections.operations.certificates import issue_certificate, reissue_certificate
from shopqc import dispatch, files, ledger
from shopqc.refusals import Refused
from tests.factories import AT, Floor
from tests.harness.overlap import Meeting
from tests.harness.threads import at_once, start

pytestmark = pytest.mark.django_db(transaction=True)


class Counted:
    """Rendering, counted and quick; a call can be kept waiting or fail."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.calls = 0
        self.before: Callable[[int], None] = lambda number: None
        self._lock = threading.Lock()
        monkeypatch.setattr(render, "render", self)

    def __call__(self, facts: Any) -> bytes:
        with self._lock:
            self.calls += 1
            number = self.calls
        self.before(number)
        return f"%PDF of {facts['number']}".encode()


@pytest.fixture
def rendering(monkeypatch: pytest.MonkeyPatch) -> Counted:
    return Counted(monkeypatch)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """What the worker takes for now; it goes on when the test says so."""
    moment = SimpleNamespace(now=AT)
    monkeypatch.setattr(tasks, "timezone", SimpleNamespace(now=lambda: moment.now))
    return moment


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    return Floor()


@pytest.fixture
def job(floor: Floor) -> IssueJob:
    """The making of the certificate of a housing that was just signed off."""
    floor.housing(until="signed")
    return IssueJob.objects.get()


def issued() -> list[CertificateEvent]:
    return list(CertificateEvent.objects.filter(kind=ISSUED))


def test_the_same_message_twice_at_once_is_work_for_one(job: IssueJob, rendering: Counted) -> None:
    outcomes = at_once(
        *(lambda: tasks.issue_certificate(job.pk) for _ in range(2)),
        wrapped=[Meeting('UPDATE "inspections_issuejob"', patience=0.7)],
    )
    assert [outcome.error for outcome in outcomes] == [None, None]
    assert rendering.calls == 1
    assert len(issued()) == 1
    job.refresh_from_db()
    assert (job.state, job.attempts, job.token) == (IssueJob.DONE, 1, 1)
    assert ledger.verify().faults == ()


def test_a_message_that_comes_again_later_does_nothing(job: IssueJob, rendering: Counted) -> None:
    for _ in range(3):
        tasks.issue_certificate(job.pk)
    assert rendering.calls == len(issued()) == 1


def test_a_message_about_nothing_does_nothing(job: IssueJob, rendering: Counted) -> None:
    tasks.issue_certificate(job.pk + 1)
    assert rendering.calls == len(issued()) == 0


@pytest.mark.parametrize("first_to_end", ["the second", "the late one"])
def test_a_worker_whose_lease_ran_out_cannot_issue(
    job: IssueJob, rendering: Counted, first_to_end: str
) -> None:
    reached, go = (threading.Event(), threading.Event()), (threading.Event(), threading.Event())

    def wait(number: int) -> None:
        reached[number - 1].set()
        assert go[number - 1].wait(30)

    rendering.before = wait
    late = start(lambda: tasks.issue_certificate(job.pk))
    assert reached[0].wait(30)
    IssueJob.objects.update(lease_until=timezone.now() - datetime.timedelta(seconds=1))
    second = start(lambda: tasks.issue_certificate(job.pk))
    assert reached[1].wait(30)
    in_order = [(go[1], second), (go[0], late)]
    for gate, running in in_order if first_to_end == "the second" else reversed(in_order):
        gate.set()
        assert running.outcomes()[0].ok
        if running is late and first_to_end == "the late one":
            assert issued() == []
            job.refresh_from_db()
            # It gave nothing back either: the job is the second's.
            assert (job.state, job.token, job.last_error) == (IssueJob.TAKEN, 2, "")
    assert len(issued()) == 1
    job.refresh_from_db()
    assert (job.state, job.token, job.last_error) == (IssueJob.DONE, 2, "")
    assert ledger.verify().faults == ()


def test_a_token_that_is_not_the_newest_is_refused(floor: Floor, job: IssueJob) -> None:
    token = IssueJob.take(job.pk, AT)
    assert token == 1
    file = files.store(b"%PDF by nobody")
    number = Certificate.objects.get().number
    for old in (0, 2):
        with pytest.raises(Refused) as refused:
            floor.do(issue_certificate, certificate=number, job=job.pk, token=old, file=file)
        assert [reason.code for reason in refused.value.reasons] == ["lease_lost"]
    assert issued() == []
    floor.do(issue_certificate, certificate=number, job=job.pk, token=1, file=file)
    assert len(issued()) == 1


def test_it_waits_longer_each_time_and_is_set_aside_after_six(
    job: IssueJob, rendering: Counted, clock: SimpleNamespace
) -> None:
    def fail(number: int) -> None:
        raise ValueError(f"no font for try {number}")

    rendering.before = fail
    waits = []
    for number in range(1, IssueJob.tries + 1):
        tasks.issue_certificate(job.pk)
        job.refresh_from_db()
        assert job.attempts == number
        assert job.last_error == f"ValueError: no font for try {number}"
        assert job.not_before is not None
        if number < IssueJob.tries:
            assert job.state == IssueJob.WAITING
            waits.append((job.not_before - clock.now).total_seconds())
            clock.now = job.not_before - datetime.timedelta(seconds=1)
            tasks.issue_certificate(job.pk)
            assert rendering.calls == number
            clock.now = job.not_before
    assert waits == [5, 10, 20, 40, 80]
    assert job.state == IssueJob.ASIDE
    clock.now += datetime.timedelta(days=30)
    tasks.issue_certificate(job.pk)
    assert rendering.calls == IssueJob.tries
    assert issued() == []


def test_what_ends_its_worker_every_time_is_set_aside_too(job: IssueJob, clock: SimpleNamespace) -> None:
    for number in range(1, IssueJob.tries + 1):
        assert IssueJob.take(job.pk, clock.now) == number  # and the process is gone: nobody gives it back
        clock.now += settings.LEASE_FOR
        dispatch.sweep(clock.now, send=lambda *_: True)
        job.refresh_from_db()
        assert job.state == (IssueJob.ASIDE if number == IssueJob.tries else IssueJob.TAKEN)
    assert IssueJob.take(job.pk, clock.now) is None
    assert "ended in the middle" in job.last_error


def test_the_sweep_rings_for_the_oldest_first_and_not_for_all_at_once(
    job: IssueJob, monkeypatch: pytest.MonkeyPatch
) -> None:
    rung: list[Any] = []
    monkeypatch.setattr(dispatch, "SWEPT_AT_ONCE", 0)
    assert dispatch.sweep(AT, send=lambda *what: rung.append(what) or True) == 0
    monkeypatch.setattr(dispatch, "SWEPT_AT_ONCE", 1)
    assert dispatch.sweep(AT, send=lambda *what: rung.append(what) or True) == 1
    assert rung == [(IssueJob.task, job.pk)]


def test_what_was_set_aside_is_shown_and_made_when_somebody_says_again(
    floor: Floor, job: IssueJob, rendering: Counted, client: Any
) -> None:
    IssueJob.objects.update(state=IssueJob.ASIDE, attempts=6, last_error="ValueError: no font")
    certificate = Certificate.objects.get()
    client.force_login(floor.person("Q1"))
    listed, shown = client.get("/certificates/"), client.get(f"/certificates/{certificate.number}/")
    for page in (listed, shown):
        assert page.status_code == 200
        assert "ValueError: no font" in page.content.decode()
    floor.do(reissue_certificate, by="Q1", certificate=certificate.number)
    job.refresh_from_db()
    assert (job.state, job.attempts, job.last_error) == (IssueJob.WAITING, 0, "")
    tasks.issue_certificate(job.pk)
    (event,) = issued()
    assert files.read(event.file) == f"%PDF of {certificate.number}".encode()


def test_what_is_not_set_aside_is_not_made_again(job: IssueJob, rendering: Counted) -> None:
    tasks.issue_certificate(job.pk)
    floor_of_job = Floor.__new__(Floor)
    with pytest.raises(Refused):
        reissue_certificate(
            by=Floor.actor(floor_of_job, "Q1"),
            at=AT,
            key="again",
            certificate=Certificate.objects.get().number,
        )
    assert len(issued()) == 1
