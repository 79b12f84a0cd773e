"""Paper that the worker makes: many travelers at once, and the paper pack for the day the system is down.

Bookkeeping, not facts: nobody decides anything from it, so it leaves no line in the record book. A job is
made part by part, each traveler kept as soon as it is drawn; a worker that was killed loses one of them.
"""

from __future__ import annotations

import datetime
import logging
from collections.abc import Callable, Sequence
from typing import Any

from celery.exceptions import SoftTimeLimitExceeded
from django.conf import settings
from django.utils.timezone import localtime

from housings import states
from housings.models import Housing, PaperJob
from housings.paper_pack import cover_of
from housings.traveler import Printing
from shopqc import dispatch, files, paper
from shopqc.models import Shop
from shopqc.people import PROGRAM
from shopqc.rules import the_shop

log = logging.getLogger(__name__)

# A traveler takes one to three seconds on a plain machine, and a web server gives a request thirty.
IN_THE_REQUEST = 6
MOST_AT_ONCE = 50
# So few that one taking ends well within its lease, also on a slow machine.
A_STEP = 3
PACKS_KEPT = 7
OLD_AFTER = datetime.timedelta(hours=26)
TRAVELERS_KEPT_FOR = datetime.timedelta(days=1)

Clock = Callable[[], datetime.datetime]


class LeaseLost(Exception):
    """Another worker has this job now."""


def ask_for_travelers(
    serials: Sequence[str], *, name: str, sheets: bool, fresh_sheets: bool, by: str, at: datetime.datetime
) -> PaperJob:
    """Have travelers made; the same ``name`` again is the same job."""
    asked = {"serials": list(serials), "sheets": sheets, "fresh_sheets": fresh_sheets}
    return _ask(PaperJob.TRAVELERS, f"travelers {name}"[:100], asked, by, at)


def ask_for_pack(*, name: str, by: str, at: datetime.datetime) -> PaperJob:
    """Have the paper pack made now; one that is being made already is taken instead."""
    unfinished = PaperJob.objects.filter(kind=PaperJob.PACK, state__in=[PaperJob.WAITING, PaperJob.TAKEN])
    waiting = unfinished.order_by("-pk").first()
    return waiting or _ask(PaperJob.PACK, f"pack {name}"[:100], {}, by, at)


def pack_of_tonight(at: datetime.datetime) -> PaperJob | None:
    """The pack of the shop's day, asked for once, at its hour or as soon after as something runs."""
    hour = settings.PAPER_PACK_HOUR
    local = localtime(at)
    if hour is None or local.hour < hour or not Shop.objects.exists():
        return None
    return _ask(PaperJob.PACK, f"pack {local.date().isoformat()}", {}, PROGRAM.stamp, at)


def _ask(kind: str, name: str, asked: dict[str, Any], by: str, at: datetime.datetime) -> PaperJob:
    job, is_new = PaperJob.objects.get_or_create(
        name=name, defaults={"kind": kind, "asked": asked, "asked_at": at, "asked_by": by}
    )
    if is_new:
        dispatch.after_commit(PaperJob.task, job.pk)
    return job


def go_on(pk: int, token: int, now: Clock) -> bool:
    """Draw the next few travelers of a job; true when the whole of it is made.

    Raises
    ------
    LeaseLost
        Another worker has taken the job meanwhile.
    """
    job = PaperJob.objects.get(pk=pk)
    if job.kind == PaperJob.PACK and "serials" not in job.asked:
        in_work = Housing.objects.filter(state__in=[states.RELEASED, states.IN_WORK]).order_by("pk")
        serials = list(in_work.values_list("serial", flat=True))
        job.asked = {"serials": serials, "sheets": True, "fresh_sheets": True}
        _keep(job, token, asked=job.asked)
    printing = Printing(the_shop(), now(), dict(job.asked.get("densities", {})))
    for serial in job.asked["serials"][len(job.parts) :][:A_STEP]:
        job.parts = [*job.parts, _part(job, serial, printing)]
        job.asked = {**job.asked, "densities": printing.densities}
        _keep(job, token, parts=job.parts, asked=job.asked, lease_until=now() + settings.LEASE_FOR)
    if len(job.parts) < len(job.asked["serials"]):
        # What went well does not count against the next step.
        _keep(job, token, state=PaperJob.WAITING, lease_until=None, attempts=0)
        return False
    try:
        drawn = [files.read_upload(part["file"]) for part in job.parts if part["file"]]
    except FileNotFoundError:
        # The parts lay longer than they are kept: begin again.
        _keep(job, token, state=PaperJob.WAITING, lease_until=None, parts=[])
        return False
    _finish(job, token, drawn, printing)
    return True


def _part(job: PaperJob, serial: str, printing: Printing) -> dict[str, str]:
    """One traveler; why it could not be drawn, if it could not: the others are worth having all the same."""
    housing = Housing.objects.select_related("order__customer", "spec", "route").get(serial=serial)
    try:
        drawn = printing.traveler(housing, sheets=job.asked["sheets"])
    except SoftTimeLimitExceeded:
        raise
    except Exception as error:  # whatever it was, it must stand where somebody reads it
        log.exception("The traveler of %s could not be drawn.", serial)
        return {"serial": serial, "file": "", "why": f"{type(error).__name__}: {error}"[:500]}
    return {"serial": serial, "file": files.keep_upload(drawn)}


def _finish(job: PaperJob, token: int, drawn: list[bytes], printing: Printing) -> None:
    failed = [part["serial"] for part in job.parts if not part["file"]]
    at, shop = printing.printed_at, printing.shop
    if job.kind == PaperJob.PACK:
        drawn.insert(0, paper.pdf("housings/paper_pack.html", cover_of(shop, at, failed), shop.paper))
    if not drawn:
        raise ValueError("None of the travelers could be drawn.")
    made = paper.joined(drawn, fresh_sheets=job.asked["fresh_sheets"], title=f"{shop.name}: {job.name}")
    # A pack is kept until newer ones have come; travelers are printed and done with.
    file = files.store(made) if job.kind == PaperJob.PACK else files.keep_upload(made)
    facts = {"count": len(job.parts), "failed": failed, "bytes": len(made)}
    _keep(job, token, file=file, facts=facts, made_at=at, parts=[])
    if not PaperJob.finish(job.pk, token):
        raise LeaseLost
    forget_old(at)


def _keep(job: PaperJob, token: int, **values: Any) -> None:
    mine = PaperJob.objects.filter(pk=job.pk, token=token, state=PaperJob.TAKEN)
    if mine.update(**values) != 1:
        raise LeaseLost


def forget_old(at: datetime.datetime) -> None:
    """Only the last packs are kept, and travelers for a day."""
    packs = PaperJob.objects.filter(kind=PaperJob.PACK, state=PaperJob.DONE).order_by("-made_at", "-pk")
    kept = list(packs[:PACKS_KEPT])
    for old in packs[PACKS_KEPT:]:
        old.delete()
        if old.file not in {pack.file for pack in kept}:
            files.forget(old.file)
    before = at - TRAVELERS_KEPT_FOR
    PaperJob.objects.filter(kind=PaperJob.TRAVELERS, asked_at__lt=before).delete()
    newest = packs.first()
    if newest:
        # A failure that was followed by a pack is of no use to anybody.
        failed = PaperJob.objects.filter(kind=PaperJob.PACK, state=PaperJob.ASIDE)
        failed.filter(asked_at__lt=newest.asked_at).delete()


def file_of(job: PaperJob) -> bytes:
    """What a job has made; ``OSError`` or ``ValueError`` if it is not kept any more."""
    return files.read(job.file) if job.kind == PaperJob.PACK else files.read_upload(job.file)


def packs() -> list[PaperJob]:
    """The packs that can be fetched, newest first."""
    made = PaperJob.objects.filter(kind=PaperJob.PACK, state=PaperJob.DONE)
    return list(made.order_by("-made_at", "-pk")[:PACKS_KEPT])


def pack_being_made() -> PaperJob | None:
    """The newest pack that is not made: it waits, is being made, or could not be."""
    unmade = PaperJob.objects.filter(kind=PaperJob.PACK).exclude(state=PaperJob.DONE)
    return unmade.order_by("-pk").first()
