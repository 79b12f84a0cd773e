"""The worker's door: making the file of a certificate."""

from __future__ import annotations

import json
import logging

from celery import shared_task
from django.utils import timezone

from inspections.certificate import render
from inspections.models import IssueJob
from inspections.operations.certificates import issue_certificate as issue
from shopqc import files
from shopqc.people import PROGRAM
from shopqc.refusals import Refused

log = logging.getLogger(__name__)


@shared_task(name=IssueJob.task)
def issue_certificate(job: int) -> None:
    """Take the job, render from the frozen facts alone, keep the file, issue.

    May be rung for any number of times and by several workers at once: the
    lease lets one of them work, its token lets only the newest finish.
    """
    token = IssueJob.take(job, timezone.now())
    if token is None:
        return
    certificate = IssueJob.objects.select_related("certificate__sign_off").get(pk=job).certificate
    try:
        made = render.render(json.loads(certificate.sign_off.facts))
        file = files.store(made)
        issue(
            certificate=certificate.number,
            job=job,
            token=token,
            file=file,
            by=PROGRAM,
            at=timezone.now(),
            key=f"issue {certificate.number} {token}",
        )
    except Refused as refused:
        # Somebody else has it now, or the database was busy; the sweep comes back if neither finishes.
        log.warning("Certificate %s: %s", certificate.number, refused)
        IssueJob.give_back(job, token, str(refused), timezone.now())
    except Exception as error:  # whatever it was, it must stand where the QC lead reads it
        log.exception("Certificate %s could not be made.", certificate.number)
        IssueJob.give_back(job, token, f"{type(error).__name__}: {error}", timezone.now())
