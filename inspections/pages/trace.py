"""From a heat to all that has it, as a page to print and as a file for a spreadsheet."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from housings.material_queries import heats_for, housings_with
from housings.models import Heat
from housings.queries import with_progress
from inspections.pages.showing import page_of, show
from inspections.tracing import as_csv, traced
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import refuse

ROWS = 100


def _heat_at(request: HttpRequest, pk: int) -> Heat:
    heat = heats_for(actor_at(request)).filter(pk=pk).first()
    if heat is None:
        raise refuse("page_not_found")
    return heat


@for_roles()
@require_safe
def trace(request: HttpRequest, pk: int) -> HttpResponse:
    """Every housing that has a heat, where in it, for whom, and what is proven of it."""
    heat = _heat_at(request, pk)
    page = page_of(request, with_progress(housings_with(actor_at(request), heat)), count=ROWS)
    rows = traced(heat, list(page))
    context = {"heat": heat, "page": page, "rows": rows, "customers": _customers(request, heat)}
    return show(request, "trace.html", context)


def _customers(request: HttpRequest, heat: Heat) -> list[str]:
    """Every customer whose housings have it, by name."""
    names = housings_with(actor_at(request), heat).order_by("order__customer__name")
    return list(names.values_list("order__customer__name", flat=True).distinct())


@for_roles()
@require_safe
def trace_file(request: HttpRequest, pk: int) -> HttpResponse:
    """The whole list, one line for each place where the heat is."""
    heat = _heat_at(request, pk)
    text = as_csv(heat, traced(heat, list(with_progress(housings_with(actor_at(request), heat)))))
    response = HttpResponse(f"\ufeff{text}".encode(), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="heat-{heat.number}.csv"'
    return response
