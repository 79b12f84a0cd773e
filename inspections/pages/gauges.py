"""Gauges: which there are, when each is due, its checks; putting one on file, recording a check."""

from __future__ import annotations

import datetime
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from inspections.forms.gauges import CalibrationForm, GaugeForm
from inspections.models import Gauge
from inspections.operations.gauges import add_gauge, record_calibration
from inspections.pages.showing import attempt, page_of, sentences, show
from shopqc.doors import actor_at, for_roles, may
from shopqc.refusals import refuse
from shopqc.templatetags.shop_look import day

ROWS = 50
SOON = datetime.timedelta(days=14)


def state_of(gauge: Gauge, today: datetime.date) -> dict[str, str]:
    """How a gauge stands with its check: a shape and a word."""
    if gauge.withdrawn_at:
        return {"mark": "fail", "word": _("withdrawn: %(why)s") % {"why": gauge.withdrawn_why}}
    if gauge.calibration_due is None:
        return {"mark": "open", "word": _("no check due by date")}
    facts = {"due": day(gauge.calibration_due)}
    if gauge.calibration_due < today:
        return {"mark": "fail", "word": _("check overdue since %(due)s") % facts}
    if gauge.calibration_due - today <= SOON:
        return {"mark": "undecided", "word": _("check due soon, on %(due)s") % facts}
    return {"mark": "pass", "word": _("in date until %(due)s") % facts}


@for_roles()
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    """Every gauge; what is due first stands first."""
    page = page_of(request, Gauge.objects.order_by("calibration_due", "code"), count=ROWS)
    today = timezone.localdate()
    rows = [{"gauge": gauge, **state_of(gauge, today)} for gauge in page]
    return show(request, "gauges.html", {"page": page, "rows": rows, "may_add": may(request, "add_gauge")})


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Put a gauge on file."""
    form = GaugeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        answer = attempt(request, form, add_gauge, **form.inputs())
        if answer:
            messages.success(request, _("Gauge %(gauge)s is on file.") % answer)
            return redirect("gauges")
    against = [] if form.is_bound else sentences(actor_at(request).reasons_against("add_gauge"))
    return show(request, "gauge_new.html", {"form": form, "against": against}, form=form)


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def one(request: HttpRequest, pk: int) -> HttpResponse:
    """One gauge with its checks; recording another."""
    gauge = Gauge.objects.filter(pk=pk).first()
    if gauge is None:
        raise refuse("page_not_found")
    today = timezone.localdate()
    initial: dict[str, Any] = {"done_on": today, "uncertainty": gauge.uncertainty}
    form = CalibrationForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        answer = attempt(request, form, record_calibration, gauge=gauge.code, **form.inputs())
        if answer:
            words = _("The check is recorded; the next one is due %(due)s.")
            messages.success(request, words % {"due": day(answer["due"])})
            return redirect("gauge", pk=pk)
    context = {
        "gauge": gauge,
        **state_of(gauge, today),
        "page": page_of(request, gauge.calibrations.order_by("-record_position")),
        "form": form,
        "against": []
        if form.is_bound
        else sentences(actor_at(request).reasons_against("record_calibration")),
    }
    return show(request, "gauge.html", context, form=form)
