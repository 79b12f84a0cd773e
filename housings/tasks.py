"""The worker's door: paper that takes too long for a request, and what is learned of cooling joints."""

from __future__ import annotations

import logging

from celery import shared_task
from django.utils import timezone

from housings import cooling_learning, paper_jobs
from housings.models import PaperJob
from shopqc import dispatch

log = logging.getLogger(__name__)


@shared_task(name=PaperJob.task)
def make_paper(job: int) -> None:
    """Take the job, draw the next few travelers, ring for the rest.

    May be rung for any number of times and by several workers at once: the lease lets one of them work.
    """
    token = PaperJob.take(job, timezone.now())
    if token is None:
        return
    try:
        if not paper_jobs.go_on(job, token, timezone.now):
            dispatch.ring(PaperJob.task, job)
    except paper_jobs.LeaseLost:
        log.warning("Another worker makes the paper of job %s.", job)
    except Exception as error:  # whatever it was, it must stand where somebody reads it
        log.exception("The paper of job %s could not be made.", job)
        PaperJob.give_back(job, token, f"{type(error).__name__}: {error}", timezone.now())


@shared_task(name="housings.paper_pack_tonight")
def paper_pack_tonight() -> None:
    """Ask for the pack of the day once its hour has come."""
    paper_jobs.pack_of_tonight(timezone.now())


@shared_task(name="housings.learn_cooling")
def learn_cooling() -> None:
    """Learn how joints cool from those that were finished since; asked often, and mostly there is nothing."""
    cooling_learning.learn_what_is_new(timezone.now())
