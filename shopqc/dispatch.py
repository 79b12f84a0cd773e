"""Starting background work: rows are the truth, the broker is only a bell.

Work to be done is a row of a job table, written in the same transaction as
what asked for it. After the commit a message rings for it. A bell that is
not heard costs time and nothing else: the sweep, which the worker runs every
few seconds, rings again for each row that waits or whose lease ran out.
"""

from __future__ import annotations

import datetime
import logging
import threading
import time
import uuid
from collections.abc import Callable, Iterable

from celery import current_app
from django.conf import settings
from django.db import models, transaction
from django.db.models import F, Q

log = logging.getLogger(__name__)

QUIET_SECONDS = 30.0
# Fewer than a worker does between two sweeps, so that bells for the same job do not pile up.
SWEPT_AT_ONCE = 20
_quiet = threading.Lock()
_quiet_until = 0.0


def after_commit(task: str, *ids: int | str) -> None:
    """Send ``task`` with ``ids`` when the transaction has committed."""
    transaction.on_commit(lambda: ring(task, *ids), robust=True)


def ring(task: str, *ids: int | str) -> bool:
    """Send a message; ``False`` if the broker did not take it.

    After a failed send nothing is tried for 30 s, so that a broker that is
    down or silent costs one request a second and the others nothing.
    """
    global _quiet_until
    with _quiet:
        if time.monotonic() < _quiet_until:
            return False
    try:
        current_app.send_task(task, args=list(ids), retry=False)
    except Exception as error:  # every transport has errors of its own, and none may reach the request
        with _quiet:
            _quiet_until = time.monotonic() + QUIET_SECONDS
        log.warning("The broker did not take %s %s (%s); the sweep will ring again.", task, ids, error)
        return False
    return True


class Job(models.Model):
    """Work for the worker, one row each.

    A worker takes a job by a lease with a fencing token: the token grows with
    each taking, and only the holder of the newest may finish the job.
    """

    WAITING, TAKEN, DONE, ASIDE = "waiting", "taken", "done", "set aside"

    state = models.CharField(max_length=10, default=WAITING)
    token = models.PositiveIntegerField(default=0)
    attempts = models.PositiveIntegerField(default=0)
    lease_until = models.DateTimeField(null=True)
    not_before = models.DateTimeField(null=True)
    last_error = models.TextField(blank=True)

    task: str
    # After so many attempts somebody has to look.
    tries = 6

    class Meta:
        abstract = True

    @classmethod
    def open_at(cls, at: datetime.datetime) -> Q:
        """Which jobs may be taken at a moment."""
        waiting = Q(state=cls.WAITING) & (Q(not_before=None) | Q(not_before__lte=at))
        return waiting | Q(state=cls.TAKEN, lease_until__lte=at)

    @classmethod
    def take(cls, pk: int, at: datetime.datetime) -> int | None:
        """Take a job; its new token, or ``None`` if somebody else has it or it is done.

        The attempt is counted before it is made, so that one which kills its
        process is counted too.
        """
        taken = cls._default_manager.filter(cls.open_at(at), pk=pk).update(
            state=cls.TAKEN,
            token=F("token") + 1,
            attempts=F("attempts") + 1,
            lease_until=at + settings.LEASE_FOR,
        )
        return cls._default_manager.values_list("token", flat=True).get(pk=pk) if taken else None

    @classmethod
    def give_back(cls, pk: int, token: int, error: str, at: datetime.datetime) -> None:
        """After a failed attempt: wait longer each time, set aside after ``tries``."""
        mine = cls._default_manager.filter(pk=pk, token=token, state=cls.TAKEN)
        attempts = mine.values_list("attempts", flat=True).first()
        if attempts is None:
            return
        wait = datetime.timedelta(seconds=min(600, 5 * 2 ** (attempts - 1)))
        state = cls.ASIDE if attempts >= cls.tries else cls.WAITING
        mine.update(state=state, lease_until=None, not_before=at + wait, last_error=error[:2000])

    @classmethod
    def set_aside_deadly(cls, at: datetime.datetime) -> None:
        """Set aside what ended its worker each time: nobody was left to give it back."""
        lapsed = cls._default_manager.filter(state=cls.TAKEN, lease_until__lte=at, attempts__gte=cls.tries)
        lapsed.update(
            state=cls.ASIDE, lease_until=None, last_error="The worker ended in the middle each time."
        )

    @classmethod
    def finish(cls, pk: int, token: int) -> bool:
        """Mark a job done, if ``token`` is still the newest. Runs inside the operation that did the work."""
        finished = cls._default_manager.filter(pk=pk, token=token, state=cls.TAKEN)
        return finished.update(state=cls.DONE, lease_until=None, last_error="") == 1


def job_models() -> Iterable[type[Job]]:
    """Every table of jobs."""
    from django.apps import apps

    return [model for model in apps.get_models() if issubclass(model, Job)]


def sweep(at: datetime.datetime, send: Callable[..., bool] = ring) -> int:
    """Ring for every job that waits or whose lease ran out; how many that were."""
    rung = 0
    for model in job_models():
        model.set_aside_deadly(at)
        waiting = model._default_manager.filter(model.open_at(at)).order_by("pk")
        for pk in waiting.values_list("pk", flat=True)[:SWEPT_AT_ONCE]:
            rung += send(model.task, pk)
    return rung


def new_key() -> str:
    """A key for a request that nobody will repeat."""
    return uuid.uuid4().hex
