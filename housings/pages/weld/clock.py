"""The bench clock: which joint may be welded now, until when, and why not; a scan starts a pass."""

from __future__ import annotations

import hashlib
from typing import Any

from django.contrib import messages
from django.db.models import Max
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from housings import queries, states
from housings.fire_watch import watch_at
from housings.models import CoolingLearned, Housing
from housings.operations.arcs import begin_pass
from housings.pages.weld.rows import Row, rows_of
from housings.pages.weld.taps import PASS
from housings.weld_bench import Bench
from housings.weld_clock import clock as clock_words
from housings.weld_forms import JointForm, ScanForm
from shopqc.doors import actor_at, for_roles, may, person_at
from shopqc.models import LedgerEntry
from shopqc.refusals import Refused
from shopqc.rules import the_shop


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def clock(request: HttpRequest) -> HttpResponse:
    """The clock, or a scanned serial: it starts the pass of that housing that is proposed."""
    form = ScanForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        answer = _scanned(request, form)
        if answer is not None:
            return answer
    context = {**_context(request), "scan": form if request.method == "POST" else ScanForm()}
    status = 422 if request.method == "POST" else 200
    return render(request, "housings/weld/clock.html", context, status=status)


@for_roles()
@require_safe
def lines(request: HttpRequest) -> HttpResponseBase:
    """The lines alone, for a page that looks again every second or two; 304 while nothing has changed."""
    etag = _etag(request)
    known = get_conditional_response(request, etag=etag)
    answer = known or render(request, "housings/weld/lines.html", _context(request, etag))
    answer["ETag"], answer["Cache-Control"] = etag, "private, no-cache"
    return answer


def _etag(request: HttpRequest) -> str:
    """Changes with everything that the lines show.

    Every write leaves a line in the record book; what was learned of cooling leaves none. The heads of the
    housings at the bench are asked besides, because two writes at once may end in another order than their
    lines are numbered in. The clock moves by whole minutes.
    """
    person = person_at(request)
    here = Housing.objects.filter(visits__state=states.HERE).order_by("pk")
    said = [
        timezone.now().strftime("%Y-%m-%d %H:%M"),
        person.pk,
        person.roles,
        get_language(),
        LedgerEntry.objects.aggregate(Max("pk")),
        CoolingLearned.objects.aggregate(Max("learned_at")),
        list(here.values_list("serial", "record_head")),
    ]
    return f'"{hashlib.sha256(repr(said).encode()).hexdigest()[:32]}"'


def _context(request: HttpRequest, etag: str = "") -> dict[str, Any]:
    now = timezone.now()
    bench = Bench(actor_at(request), now)
    rows = rows_of(bench, person_at(request).stamp if may(request, "record_pass") else "")
    watch = watch_at(now, the_shop())
    return {
        "etag": etag or _etag(request),
        "bench": bench,
        "axis": bench.axis,
        "rows": [row for row in rows if row.is_whole],
        "brief": _by_housing([row for row in rows if not row.is_whole]),
        "rotation": bench.rotation,
        "watch": watch,
        "watch_until": clock_words(watch.until, now) if watch else "",
        "now_words": clock_words(now, now),
        "zone": timezone.localtime(now).strftime("%Z"),
        "is_simulated": any(row.line.forecast and row.line.forecast.is_simulated for row in rows),
        "back": JointForm.CLOCK,
        "pass": PASS,
    }


def _by_housing(rows: list[Row]) -> list[tuple[Housing, list[Row]]]:
    """What is told briefly, housing by housing."""
    found: dict[int, tuple[Housing, list[Row]]] = {}
    for row in rows:
        housing = row.line.state.housing
        found.setdefault(housing.pk, (housing, []))[1].append(row)
    return list(found.values())


def _scanned(request: HttpRequest, form: ScanForm) -> HttpResponse | None:
    """Where a scanned serial leads; ``None`` if it is none of ours, and the form says so."""
    typed = form.cleaned_data["serial"].strip()
    if not typed:
        form.add_error("serial", _("Scan or type a serial first."))
        return None
    try:
        # A scanner gives the whole address of the code, a person the serial.
        housing = queries.housing_by_serial(actor_at(request), typed.rstrip("/").rpartition("/h/")[2])
    except Refused as refused:
        form.say(reason.at("/serial") for reason in refused.reasons)
        return None
    here = Bench(actor_at(request), timezone.now()).of_housing(housing.serial)
    several = [line for line in here if line.state.joint.is_multipass]
    if not several:
        return redirect("housing-welds", serial=housing.serial)
    state = several[0].state
    page = redirect("joint", serial=housing.serial, code=state.joint.code)
    if state.arc is not None or not may(request, "begin_pass"):
        return page
    try:
        begin_pass(
            by=actor_at(request),
            at=timezone.now(),
            # Of this page and this housing: the same page scans the next one after the way back.
            key=f"{form.key} {housing.serial}",
            housing=housing.serial,
            joint=state.joint.code,
            number=state.next_number,
            seen_position=housing.record_position,
        )
    except Refused:
        messages.warning(request, _("The arc was not started. What is in the way stands below."))
    else:
        messages.success(
            request,
            _("Arc on: pass %(number)s of %(joint)s.")
            % {"number": state.next_number, "joint": state.joint.name},
        )
    return page
