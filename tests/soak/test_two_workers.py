"""Many certificates by two workers, one of which is killed again and again at any moment."""

from __future__ import annotations

import os
import random
import time

import pytest
from django.conf import settings
from django.utils import timezone

from inspections.models import CertificateEvent, IssueJob
from shopqc import files
from tests.factories import Floor
from tests.harness.homes import Home
from tests.harness.processes import worker
from tests.journeys.issued import assert_issued_once, half_files, wait_until_all_issued, whole_files

CERTIFICATES = int(os.environ.get("SHOPQC_TEST_SOAK_CERTIFICATES", "60"))
EACH_ROUND = 3


@pytest.mark.soak
@pytest.mark.django_db(transaction=True)
def test_sixty_certificates_come_out_once_each_while_workers_die(shared_home: Home) -> None:
    chance = random.Random(60)
    floor = Floor()
    # Long enough that the oldest job cannot be killed so often (`Job.tries`) that it is set aside for people.
    home = shared_home.with_variables(SHOPQC_LEASE_SECONDS="45")
    signed = hit = 0
    with worker(home) as steady:
        while signed < CERTIFICATES:
            with worker(home) as victim:
                for _ in range(min(EACH_ROUND, CERTIFICATES - signed)):
                    floor.housing(until="signed")
                    signed += 1
                time.sleep(chance.uniform(0, 0.6))
                hit += IssueJob.objects.filter(state=IssueJob.TAKEN).exists()
                victim.kill_group()
        assert steady.running
        wait_until_all_issued(seconds=240)
    assert hit, "no kill came while a certificate was being made, so nothing was tried"
    assert_issued_once(CERTIFICATES)
    hours_ago = timezone.now().timestamp() - 2 * 3600
    for path in settings.FILE_STORE.glob("pending/*"):
        os.utime(path, (hours_ago, hours_ago))
    files.sweep_pending(timezone.now())
    assert half_files() == []
    # Files of tests before this one may stand in the store as well.
    assert set(CertificateEvent.objects.values_list("file", flat=True)) <= whole_files()
