"""A gauge found wrong: which verdicts change is looked at first, then recorded; what a gauge was used for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from housings.engineering.stations import STATIONS
from inspections import found_wrong, states, wording
from inspections.forms.gauges import WrongForm
from inspections.models import Calibration, Gauge, Reading, ReadingDoubt
from inspections.operations.gauges import record_calibration, unsaved_check
from inspections.pages.gauges import gauge_at
from inspections.pages.showing import attempt, page_of, sentences, show
from inspections.standing import corrected
from shopqc.doors import actor_at, for_roles, may
from shopqc.refusals import Refused, refuse
from shopqc.rules import the_shop

MOST_SHOWN = 200


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def wrong(request: HttpRequest, pk: int) -> HttpResponse:
    """By how much a gauge is wrong; then what that changes; then it is recorded."""
    gauge = gauge_at(pk)
    form = WrongForm(gauge, request.POST or None, initial={"done_on": timezone.localdate()})
    against = sentences(actor_at(request).reasons_against("record_calibration"))
    examined = None
    if request.method == "POST" and form.is_valid():
        if request.POST.get("do") == "record" and form.cleaned_data["seen"]:
            inputs = {**form.inputs(), "seen": form.cleaned_data["seen"]}
            answer = attempt(request, form, record_calibration, gauge=gauge.code, **inputs)
            if answer:
                messages.success(request, _said(answer))
                return redirect("gauge-doubted", pk=pk, check=gauge.calibrations.latest("record_position").pk)
        if not against:
            examined = _looked_at(gauge, form)
    context = {
        "gauge": gauge,
        "form": form,
        "against": against,
        "examined": examined,
        "rows": [_change_row(change) for change in examined.changes[:MOST_SHOWN]] if examined else [],
        "more": max(len(examined.changes) - MOST_SHOWN, 0) if examined else 0,
        "worse": examined.worse if examined else [],
        "seen": examined.digest if examined else "",
    }
    return show(request, "gauge_wrong.html", context, form=form)


def _looked_at(gauge: Gauge, form: WrongForm) -> found_wrong.Examined | None:
    """What recording it would change; nothing is written. What cannot be recorded says so in the form."""
    try:
        check = unsaved_check(gauge, timezone.now(), **form.inputs())
    except Refused as refused:
        form.take(refused)
        return None
    span = found_wrong.span_of(gauge.calibrations.all(), found_wrong.moment_of(check.done_on, check.done_at))
    return found_wrong.examine(found_wrong.error_of(check), span, the_shop())


def _said(answer: Mapping[str, Any]) -> str:
    changed = len(answer["changes"])
    return ngettext(
        "Recorded. The gauge is out of use; one verdict changed.",
        "Recorded. The gauge is out of use; %(changed)d verdicts changed.",
        changed,
    ) % {"changed": changed}


def _change_row(change: found_wrong.Change) -> dict[str, Any]:
    row = _row(change.reading, change.value, change.verdict, change.probability)
    return {**row, "before": change.verdict_before, "counts": change.counts}


def _row(reading: Reading, value: str, verdict: str, probability: str) -> dict[str, Any]:
    characteristic = reading.characteristic
    now = corrected(reading, value, verdict)
    return {
        "reading": reading,
        "housing": reading.housing,
        "name": characteristic.name,
        "code": characteristic.code,
        "station": STATIONS[reading.station].name,
        "was": wording.figure_with_unit(reading, characteristic),
        "before": reading.verdict,
        "now": wording.figure_with_unit(now, characteristic) if value else _("cannot be worked out"),
        "limit": wording.limit_words(reading.lower, reading.upper, characteristic.unit),
        "verdict": verdict,
        "probability": _percent(probability),
    }


def _percent(probability: str) -> str:
    """A probability for the eye: never surer than it is."""
    if not probability:
        return ""
    value = float(probability) * 100
    if 0 < value < 1:
        return _("under 1 %")
    if 99 < value < 100:
        return _("over 99 %")
    return f"{value:.0f} %"


@for_roles()
@require_safe
def doubted(request: HttpRequest, pk: int, check: int) -> HttpResponse:
    """What came of a check that found a gauge wrong: the readings whose verdict changed."""
    gauge = gauge_at(pk)
    found = (
        Calibration.objects.filter(gauge=gauge, pk=check, found_right=False).select_related("doubt").first()
    )
    if found is None:
        raise refuse("page_not_found")
    doubts = ReadingDoubt.objects.filter(doubt=found.doubt).select_related(
        "reading__housing", "reading__characteristic"
    )
    page = page_of(request, doubts.order_by("pk"))
    context = {
        "gauge": gauge,
        "check": found,
        "page": page,
        "rows": [_row(doubt.reading, doubt.value, doubt.verdict, doubt.probability) for doubt in page],
        "may_raise": may(request, "raise_nonconformance"),
    }
    return show(request, "gauge_doubted.html", context)


@for_roles()
@require_safe
def used(request: HttpRequest, pk: int) -> HttpResponse:
    """What was measured with a gauge, or with it taking part; the newest first."""
    gauge = gauge_at(pk)
    readings = found_wrong.readings_with(gauge, found_wrong.Span(None, None))
    page = page_of(
        request, readings.select_related("housing", "characteristic").order_by("-done_at", "-record_position")
    )
    rows = [
        {
            "reading": reading,
            "housing": reading.housing,
            "name": reading.characteristic.name,
            "figure": wording.figure_with_unit(reading, reading.characteristic),
            "station": STATIONS[reading.station].name,
            "word": states.STANDING_WORDS.get(reading.verdict, reading.verdict),
        }
        for reading in page
    ]
    return show(request, "gauge_used.html", {"gauge": gauge, "page": page, "rows": rows})
