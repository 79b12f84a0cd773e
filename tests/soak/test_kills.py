"""A worker that is killed again and again, at any moment, and by chance."""

import random
import time

import pytest
from django.db.models import Count

from inspections.models import Certificate, CertificateEvent, IssueJob
from inspections.models.certificates import ISSUED
from shopqc import files, ledger
from tests.factories import Floor
from tests.harness.ports import wait_until
from tests.harness.processes import worker
from tests.soak.times import rounds

SIGNED_AHEAD = 6


@pytest.mark.soak
@pytest.mark.django_db(transaction=True)
def test_every_sign_off_ends_in_one_certificate_however_often_the_worker_dies(shared_home):
    chance = random.Random(20)
    # Drawing takes seconds on a busy machine, and a lease must outlast it.
    home = shared_home.with_variables(SHOPQC_LEASE_SECONDS="40")
    floor = Floor()
    for _ in range(SIGNED_AHEAD):
        floor.housing(until="signed")
    killed_at_work = 0
    for _ in rounds():
        with worker(home, concurrency=2) as program:
            time.sleep(chance.uniform(0.5, 5))
            killed_at_work += IssueJob.objects.filter(state=IssueJob.TAKEN).exists()
            program.kill_group()
        if not IssueJob.objects.exclude(state=IssueJob.DONE).exists():
            floor.housing(until="signed")
    # An attempt that killed its process was counted; a person says: once more.
    aside = IssueJob.objects.filter(state=IssueJob.ASIDE)
    aside.update(state=IssueJob.WAITING, attempts=0, not_before=None)
    with worker(home, concurrency=2):
        open_jobs = IssueJob.objects.exclude(state=IssueJob.DONE)
        try:
            wait_until(lambda: not open_jobs.exists(), what="every certificate to be made", seconds=240)
        except TimeoutError as error:
            error.add_note(str(list(open_jobs.values("state", "attempts", "lease_until", "last_error"))))
            raise
    assert killed_at_work, "no kill hit a worker at work, so nothing was tried"
    numbers = sorted(Certificate.objects.values_list("number", flat=True))
    assert numbers == [f"C-{n:05d}" for n in range(1, len(numbers) + 1)]
    issued = CertificateEvent.objects.filter(kind=ISSUED)
    per_certificate = issued.values("certificate").annotate(times=Count("pk")).values_list("times", flat=True)
    assert list(per_certificate) == [1] * len(numbers)
    assert all(files.read(event.file).startswith(b"%PDF") for event in issued)
    assert ledger.verify().faults == ()
