"""How a housing was welded, and of what: as its certificate will say it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from housings import gate, queries
from housings.spine import marks_of
from inspections.pages.showing import show
from inspections.weld_summary import in_rows, weld_summary
from shopqc.doors import actor_at, for_roles


@for_roles()
@require_safe
def welded(request: HttpRequest, serial: str) -> HttpResponse:
    """Joints with passes, procedures, looks and tests; steel, filler and gas."""
    situation = gate.Situation(queries.housing_by_serial(actor_at(request), serial))
    summary = weld_summary(situation)
    context = {
        "housing": situation.housing,
        "stations": marks_of(situation.visits),
        "welds": in_rows(summary["welds"]),
        "materials": summary["materials"],
    }
    return show(request, "welded_page.html", context)
