"""Recalling a heat, after seeing what that holds; and taking a recall back."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from housings import states
from housings.heat_forms import RecallForm, WhyForm
from housings.material_queries import housings_with
from housings.operations.recalls import clear_heat, held_by_recall, recall_heat
from housings.pages.heats import heat_at
from housings.pages.sending import attempt, sentences, show
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import Reason

READ_OR_SEND = require_http_methods(["GET", "HEAD", "POST"])


@for_roles()
@READ_OR_SEND
def recall(request: HttpRequest, pk: int) -> HttpResponse:
    """What a recall would hold and question; then it is recalled."""
    heat = heat_at(request, pk)
    form = RecallForm(request.POST or None)
    status = 422 if form.is_bound else 200
    if request.method == "POST" and form.is_valid():
        inputs = {"why": form.cleaned_data["why"], "hold": form.cleaned_data["hold"]}
        answer, status = attempt(request, form, recall_heat, heat=heat.number, **inputs)
        if answer:
            messages.success(request, _said(answer))
            return redirect("trace", pk=pk)
    reasons = list(actor_at(request).reasons_against("recall_heat"))
    if heat.recalled_at:
        reasons.append(Reason("recalled_already", {"heat": heat.number, "why": heat.recalled_why}))
    inside = housings_with(actor_at(request), heat).order_by()
    counts = dict(inside.values_list("state").annotate(count=Count("pk")))
    signed = counts.get(states.SIGNED_OFF, 0)
    context = {
        "heat": heat,
        "form": form,
        "against": [] if form.is_bound else sentences(reasons),
        "all": sum(counts.values()),
        "in_work": counts.get(states.IN_WORK, 0) + counts.get(states.RELEASED, 0),
        "signed": signed,
    }
    return show(request, "heat_recall.html", context, status)


def _said(answer: dict[str, Any]) -> str:
    count = len(answer["housings"])
    said = ngettext(
        "Recalled. It is in %(count)d housing; held: %(held)d, certificates under question: %(questioned)d.",
        "Recalled. It is in %(count)d housings; held: %(held)d, certificates under question: %(questioned)d.",
        count,
    )
    return said % {
        "count": count,
        "held": len(answer["held"]),
        "questioned": len(answer["questioned"]),
    }


@for_roles()
@READ_OR_SEND
def clear(request: HttpRequest, pk: int) -> HttpResponse:
    """It was recalled by mistake: what stays is said, then it may be used again."""
    heat = heat_at(request, pk)
    form = WhyForm(request.POST or None)
    status = 422 if form.is_bound else 200
    if request.method == "POST" and form.is_valid():
        answer, status = attempt(request, form, clear_heat, heat=heat.number, why=form.cleaned_data["why"])
        if answer:
            said = _("Heat %(heat)s may be used again.") % answer
            if answer["still_held"]:
                said += " " + _("Still held: %(serials)s. Release each from its own page.") % {
                    "serials": ", ".join(answer["still_held"][:20])
                }
            messages.success(request, said)
            return redirect("heat", pk=pk)
    reasons = list(actor_at(request).reasons_against("clear_heat"))
    if heat.recalled_at is None:
        reasons.append(Reason("not_recalled", {"heat": heat.number}))
    context = {
        "heat": heat,
        "form": form,
        "against": [] if form.is_bound else sentences(reasons),
        "still_held": held_by_recall(heat)[:50],
    }
    return show(request, "heat_clear.html", context, status)
