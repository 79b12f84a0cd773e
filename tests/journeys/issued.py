"""What must be true of certificates however they came about, asked of the database and the file store."""

from __future__ import annotations

import datetime

from django.conf import settings
from django.utils import timezone

from inspections.models import Certificate, CertificateEvent, IssueJob
from inspections.models.certificates import ISSUED
from shopqc import files, ledger
from tests.harness.ports import wait_until

SERIES = "C"


def wait_until_all_issued(seconds: float = 60) -> None:
    """Wait until no job is open; what each says of itself is in the message if one stays open."""
    unfinished = IssueJob.objects.exclude(state=IssueJob.DONE)
    try:
        wait_until(lambda: not unfinished.exists(), what="every certificate to be made", seconds=seconds)
    except TimeoutError as error:
        error.add_note(str(list(unfinished.values())))
        raise


def lease_runs_out() -> None:
    """Let the time pass in which whoever took a job may still be at work."""
    past = timezone.now() - datetime.timedelta(seconds=1)
    IssueJob.objects.filter(state=IssueJob.TAKEN).update(lease_until=past)


def assert_issued_once(numbers: int) -> None:
    """Exactly so many certificates, numbered without a gap, each issued once with a file that reads back."""
    certificates = list(Certificate.objects.order_by("number"))
    assert [c.number for c in certificates] == [f"{SERIES}-{n:05d}" for n in range(1, numbers + 1)]
    for certificate in certificates:
        (event,) = CertificateEvent.objects.filter(certificate=certificate)
        assert event.kind == ISSUED
        assert files.read(event.file).startswith(b"%PDF")
        assert IssueJob.objects.get(certificate=certificate).state == IssueJob.DONE
    assert ledger.verify().faults == ()


def half_files() -> list[str]:
    """Names of files in the store that are not named by a digest."""
    return sorted(p.name for p in settings.FILE_STORE.rglob("*") if p.is_file() and len(p.name) != 64)


def whole_files() -> set[str]:
    """Digests of the files in the store."""
    return {p.name for p in settings.FILE_STORE.rglob("*") if p.is_file() and len(p.name) == 64}
