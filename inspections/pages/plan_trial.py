"""Trying a draft on a housing of the past; nothing is written."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from housings import gate, queries
from housings.models import Housing
from inspections.models import Reading
from inspections.pages.plan_drafts import draft_of
from inspections.pages.showing import show
from inspections.places import DESK
from inspections.plan_trial import tried_on
from inspections.queries import Measured
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import Refused, refuse

SUGGESTED = 12


@for_roles(*DESK)
@require_safe
def plan_trial(request: HttpRequest, pk: int) -> HttpResponse:
    """Every stored reading of one housing, judged with the draft's limits."""
    draft = draft_of(pk)
    if draft is None:
        raise refuse("page_not_found")
    typed = request.GET.get("serial", "").strip()
    error, housing, trial = "", None, None
    if typed:
        try:
            housing = queries.housing_by_serial(actor_at(request), typed)
        except Refused as refused:
            error = " ".join(refused.sentences)
    elif "serial" in request.GET:
        error = _("Scan or type a serial first.")
    if housing is not None:
        trial = tried_on(draft.characteristics, Measured(gate.Situation(housing)))
    measured = Reading.objects.order_by("-housing").values("housing").distinct()[:SUGGESTED]
    context = {
        "draft": draft,
        "typed": typed[:40],
        "error": error,
        "housing": housing,
        "trial": trial,
        "suggested": Housing.objects.filter(pk__in=list(measured.values_list("housing", flat=True))).order_by(
            "-pk"
        ),
    }
    response = show(request, "plan_trial.html", context)
    if error:
        response.status_code = 422
    return response
