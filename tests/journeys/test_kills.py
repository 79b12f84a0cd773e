"""The worker is killed with -9 at fixed points of issuing; then there is one certificate, issued once."""

from __future__ import annotations

import datetime
import os
import signal

import pytest
from django.conf import settings
from django.utils import timezone

from inspections.models import Certificate, CertificateEvent, IssueJob
from shopqc import files, ledger
from tests.factories import Floor
from tests.harness.homes import Home
from tests.harness.processes import wait_until_paused, worker
from tests.journeys.issued import (
    assert_issued_once,
    half_files,
    lease_runs_out,
    wait_until_all_issued,
    whole_files,
)

# So long that no time limit ends a pause, or a first rendering on a slow machine; the test lets it run out.
LONG_LEASE = "300"

# Point, whether the file is whole in the store then, and whether the certificate is issued.
POINTS = {
    "before rendering": ("before inspections.certificate.render.render", False, False),
    "after rendering": ("after inspections.certificate.render.render", False, False),
    "file written, not yet renamed": ("before os.fsync", False, False),
    "file kept, not yet issued": ("before inspections.tasks.issue", True, False),
    "issued, not yet committed": ("after shopqc.ledger.append", True, False),
    "committed": ("after inspections.tasks.issue", True, True),
}


@pytest.mark.parametrize("point", POINTS)
def test_a_worker_killed_while_issuing_leaves_one_certificate(shared_home: Home, point: str) -> None:
    pause, kept, issued = POINTS[point]
    floor = Floor()
    floor.housing(until="signed")
    patient = shared_home.with_variables(SHOPQC_LEASE_SECONDS=LONG_LEASE)
    with worker(patient, pause=pause) as first:
        wait_until_paused(patient, first)
        first.kill_group()
        assert first.process.returncode == -signal.SIGKILL
    assert IssueJob.objects.get().state == (IssueJob.DONE if issued else IssueJob.TAKEN)
    assert CertificateEvent.objects.count() == int(issued)
    assert bool(whole_files()) is kept
    assert bool(half_files()) is (point == "file written, not yet renamed")
    assert ledger.verify().faults == ()

    lease_runs_out()
    for path in settings.FILE_STORE.glob("pending/*"):
        hours_ago = timezone.now().timestamp() - 2 * 3600
        os.utime(path, (hours_ago, hours_ago))
    with worker(patient) as second:
        wait_until_all_issued()
        floor.housing(until="signed")
        wait_until_all_issued()
        second.wait_until_well(lambda: not half_files(), "the sweep to remove what was half written")
    assert_issued_once(2)
    assert IssueJob.objects.order_by("pk").values_list("token", flat=True)[0] == (1 if issued else 2)
    # The same facts give the same bytes on one machine, so the killed worker's file is the second's too.
    assert whole_files() == set(CertificateEvent.objects.values_list("file", flat=True))


@pytest.mark.django_db(transaction=True)
def test_a_half_file_is_left_alone_while_its_writer_may_still_be_at_work() -> None:
    pending = settings.FILE_STORE / "pending"
    pending.mkdir(parents=True)
    young, old = pending / "pending-young", pending / "pending-old"
    for path in (young, old):
        path.write_bytes(b"half a file")
    now = timezone.now()
    hour_ago = now.timestamp() - files.PENDING_KEPT_FOR.total_seconds() - 1
    os.utime(old, (hour_ago, hour_ago))
    assert files.sweep_pending(now) == 1
    assert half_files() == ["pending-young"]
    assert files.sweep_pending(now + datetime.timedelta(hours=2)) == 1
    assert half_files() == []


@pytest.mark.django_db(transaction=True)
def test_a_job_nobody_rang_for_is_found_by_the_sweep(shared_home: Home) -> None:
    """As after a broker that lost every message: the row alone is enough."""
    floor = Floor()
    floor.housing(until="signed")
    messages = settings.BROKER_FOLDER / "messages"
    for path in messages.glob("*"):
        path.unlink()
    if shared_home.variables["SHOPQC_BROKER_URL"].startswith("redis"):
        import redis

        with redis.Redis.from_url(shared_home.variables["SHOPQC_BROKER_URL"]) as client:
            client.flushdb()
    assert Certificate.objects.count() == 1
    with worker(shared_home):
        wait_until_all_issued()
    assert_issued_once(1)
