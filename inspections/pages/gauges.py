"""Gauges and other equipment: what there is, when each is due; one with its checks; what is done to it."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db.models import F, Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inspections import found_wrong
from inspections.forms.gauges import (
    CalibrationForm,
    ChangeGaugeForm,
    GaugeForm,
    WhyForm,
    kind_choices,
)
from inspections.metrology.equipment import KINDS, kind_of
from inspections.models import Gauge
from inspections.operations.gauges import (
    add_gauge,
    change_gauge,
    record_calibration,
    return_gauge,
    withdraw_gauge,
)
from inspections.pages.showing import attempt, page_of, sentences, show
from shopqc.doors import actor_at, for_roles, may
from shopqc.refusals import refuse
from shopqc.scan_codes import square
from shopqc.templatetags.shop_look import day

ROWS = 50
LABELS = 60
SOON = datetime.timedelta(days=14)
READ_OR_SEND = require_http_methods(["GET", "HEAD", "POST"])


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


def standing_choices() -> list[tuple[str, str]]:
    """How a gauge may stand, as the list is narrowed to it."""
    return [
        ("overdue", _("check overdue")),
        ("soon", _("check due soon")),
        ("in_date", _("in date")),
        ("withdrawn", _("withdrawn")),
    ]


def _narrowed(gauges: QuerySet[Gauge], stands: str, today: datetime.date) -> QuerySet[Gauge]:
    in_use = gauges.filter(withdrawn_at=None)
    match stands:
        case "overdue":
            return in_use.filter(calibration_due__lt=today)
        case "soon":
            return in_use.filter(calibration_due__gte=today, calibration_due__lte=today + SOON)
        case "in_date":
            return in_use.filter(Q(calibration_due=None) | Q(calibration_due__gte=today))
        case "withdrawn":
            return gauges.filter(withdrawn_at__isnull=False)
    return gauges


def _asked_for(request: HttpRequest) -> tuple[QuerySet[Gauge], dict[str, str]]:
    """The gauges that an address asks for, what is due first standing first, and what it asks."""
    wanted = {name: request.GET.get(name, "").strip()[:40] for name in ("find", "stands", "kind")}
    found = _narrowed(Gauge.objects.all(), wanted["stands"], timezone.localdate())
    if wanted["kind"] in KINDS:
        found = found.filter(kind=wanted["kind"])
    if text := wanted["find"]:
        found = found.filter(Q(code__icontains=text) | Q(name__icontains=text) | Q(place__icontains=text))
    return found.order_by(F("calibration_due").asc(nulls_last=True), "code"), wanted


@for_roles()
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    """Every gauge; what is due first stands first. A scanned code opens its gauge."""
    found, wanted = _asked_for(request)
    if text := wanted["find"]:
        scanned = Gauge.objects.filter(code__iexact=text)[:2]
        if len(scanned) == 1:
            return redirect("gauge", pk=scanned[0].pk)
    page = page_of(request, found, count=ROWS)
    today = timezone.localdate()
    context = {
        "page": page,
        "rows": [{"gauge": one, "kind": _(kind_of(one.kind).name), **state_of(one, today)} for one in page],
        "wanted": wanted,
        "narrowed": any(wanted.values()),
        "stands": standing_choices(),
        "kinds": kind_choices(),
        "may_add": may(request, "add_gauge"),
    }
    return show(request, "gauges.html", context)


@for_roles()
@require_safe
def labels(request: HttpRequest) -> HttpResponse:
    """A label for each gauge, to print and stick on: its code, to read and to scan."""
    found, _wanted = _asked_for(request)
    page = page_of(request, found.order_by("code"), count=LABELS)
    rows = [{"gauge": gauge, "qr": square(gauge.code)} for gauge in page]
    return show(request, "gauge_labels.html", {"page": page, "rows": rows})


@for_roles()
@READ_OR_SEND
def new(request: HttpRequest) -> HttpResponse:
    """Put a gauge on file: kind and code are enough."""
    form = GaugeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        answer = attempt(request, form, add_gauge, **form.inputs())
        if answer:
            messages.success(request, _("Gauge %(gauge)s is on file.") % answer)
            gauge = Gauge.objects.get(code=answer["gauge"])
            # A bar without its diameter is of no use: it is asked for at once.
            if kind_of(gauge.kind).needs:
                return redirect("gauge-change", pk=gauge.pk)
            return redirect("gauges")
    against = [] if form.is_bound else sentences(actor_at(request).reasons_against("add_gauge"))
    return show(request, "gauge_new.html", {"form": form, "against": against}, form=form)


def gauge_at(pk: int) -> Gauge:
    """The gauge of an address."""
    gauge = Gauge.objects.filter(pk=pk).first()
    if gauge is None:
        raise refuse("page_not_found")
    return gauge


@for_roles()
@READ_OR_SEND
def one(request: HttpRequest, pk: int) -> HttpResponse:
    """One gauge with its checks; recording another."""
    gauge = gauge_at(pk)
    initial: dict[str, Any] = {"done_on": timezone.localdate(), "uncertainty": gauge.uncertainty}
    form = CalibrationForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        answer = attempt(request, form, record_calibration, gauge=gauge.code, **form.inputs())
        if answer:
            words = _("The check is recorded.")
            if answer["due"]:
                words = _("The check is recorded; the next one is due %(due)s.") % {"due": day(answer["due"])}
            messages.success(request, words)
            return redirect("gauge", pk=pk)
    return _page(request, gauge, form=form)


def _page(
    request: HttpRequest, gauge: Gauge, form: CalibrationForm, why_form: WhyForm | None = None
) -> HttpResponse:
    actor = actor_at(request)
    kind = kind_of(gauge.kind)
    bound = why_form or form
    checks = gauge.calibrations.select_related("doubt").order_by("-record_position")
    context = {
        "gauge": gauge,
        "kind": kind,
        "kind_name": _(kind.name),
        "constants": [{"name": name, "value": value} for name, value in sorted(gauge.constants.items())],
        **state_of(gauge, timezone.localdate()),
        "page": page_of(request, checks),
        "used": gauge.readings.count(),
        "form": form,
        "why_form": why_form or WhyForm(),
        "waits_for_check": gauge.withdrawn_at is not None and found_wrong.waits_for_check(gauge),
        "may_be_wrong": kind.is_read or bool(kind.constants),
        "may": {
            name: not actor.reasons_against(name)
            for name in ("change_gauge", "record_calibration", "withdraw_gauge", "return_gauge")
        },
        "against": []
        if form.is_bound
        else sentences(actor_at(request).reasons_against("record_calibration")),
    }
    return show(request, "gauge.html", context, form=bound)


@for_roles()
@READ_OR_SEND
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Change how a gauge is described."""
    gauge = gauge_at(pk)
    form = ChangeGaugeForm(gauge, request.POST or None)
    sent = request.method == "POST" and form.is_valid()
    if sent and attempt(request, form, change_gauge, gauge=gauge.code, **form.inputs()):
        messages.success(request, _("It is changed. What was read with it keeps the figures of its time."))
        return redirect("gauge", pk=pk)
    against = [] if form.is_bound else sentences(actor_at(request).reasons_against("change_gauge"))
    return show(request, "gauge_change.html", {"gauge": gauge, "form": form, "against": against}, form=form)


def _with_reason(request: HttpRequest, pk: int, operation: Callable[..., Any], said: str) -> HttpResponse:
    gauge = gauge_at(pk)
    form = WhyForm(request.POST)
    if form.is_valid() and attempt(request, form, operation, gauge=gauge.code, why=form.cleaned_data["why"]):
        messages.success(request, said)
        return redirect("gauge", pk=pk)
    initial = {"done_on": timezone.localdate(), "uncertainty": gauge.uncertainty}
    return _page(request, gauge, form=CalibrationForm(initial=initial), why_form=form)


@for_roles()
@require_POST
def withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a gauge out of use."""
    return _with_reason(request, pk, withdraw_gauge, _("It is withdrawn: no reading can name it."))


@for_roles()
@require_POST
def take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a gauge into use again."""
    return _with_reason(request, pk, return_gauge, _("It is in use again."))
