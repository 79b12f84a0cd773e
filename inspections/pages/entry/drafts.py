"""Keeping an unfinished entry, and dropping it."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from housings import gate, queries
from inspections import drafts
from inspections.bench import Bench
from inspections.measuring import Measuring
from inspections.pages.entry.asking import measuring_at
from inspections.standing import last_move
from shopqc.doors import actor_at, for_roles, person_at
from shopqc.whole_numbers import whole

# Part of the page and not of what somebody typed, or not to be kept.
NOT_TYPED = frozenset({"csrfmiddlewaretoken", "sent_key", "seen_position", "visit", "do", "photo"})


@for_roles()
@require_POST
def draft(request: HttpRequest, serial: str, code: str) -> HttpResponse:
    """Keep what was typed so far, or drop what was kept (``do=drop``); ``quiet`` asks for no page."""
    actor = actor_at(request)
    actor.check_may("record_readings")
    bench = Bench(gate.Situation(queries.housing_by_serial(actor, serial)), actor)
    measuring = measuring_at(request, bench, code, [])
    quiet = "quiet" in request.POST
    if measuring is None or measuring.replaces:
        return HttpResponse(status=204) if quiet else redirect("entry", serial=serial)
    if request.POST.get("do") == "drop":
        drafts.drop(measuring.visit, measuring.code, person_at(request))
        return HttpResponse(status=204) if quiet else redirect("entry-one", serial=serial, code=code)
    kept = keep(request, bench, measuring)
    if quiet:
        return HttpResponse(status=204 if kept else 413)
    if kept:
        said = _("What you typed of %(name)s is kept. It is offered again when you come back to it.")
        messages.success(request, said % {"name": measuring.name})
    else:
        messages.error(request, _("This is too much to keep. Record it, or copy it to somewhere else."))
    return redirect("entry", serial=serial)


def keep(request: HttpRequest, bench: Bench, measuring: Measuring) -> bool:
    """Keep what the form holds, in place of what was kept; False if it is too much."""
    typed = {
        name: values[-1] for name, values in request.POST.lists() if name not in NOT_TYPED and name != "quiet"
    }
    seen = whole(request.POST.get("seen_position", ""))
    position = bench.measured.housing.record_position
    return drafts.keep(
        bench.measured.housing,
        measuring.visit,
        measuring.code,
        person_at(request),
        typed=typed,
        seen_position=position if seen is None else min(seen, position),
        address=urlencode({name: request.GET[name] for name in ("points", "way") if request.GET.get(name)}),
        at=timezone.now(),
    )


def offered(request: HttpRequest, bench: Bench, measuring: Measuring) -> dict[str, Any] | None:
    """The unfinished entry that is offered, with what has happened since."""
    if measuring.replaces:
        return None
    found = drafts.kept_for(measuring.visit, measuring.code, person_at(request))
    if found is None:
        return None
    situation = bench.situation
    moves = [last_move(c, situation.moves, situation.visits) for c in measuring.characteristics]
    moved = [move for move in moves if move is not None and move.record_position > found.seen_position]
    return {
        "draft": found,
        "moved_by": moved[0].visit.at.name if moved else "",
        "went_on": bench.measured.housing.record_position > found.seen_position,
        "is_old": found.is_old(timezone.now()),
        "is_new": found.is_new(timezone.now()),
        "address": f"{found.address}&draft=1" if found.address else "draft=1",
    }
