"""The list of housings, and finding one by what was scanned or typed."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from housings import queries, states
from housings.forms import FloorForm
from housings.models import Away, Hold, Housing
from housings.whereabouts import is_late, whereabouts
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import Refused

AT_ONCE = 25
NOT_ENDED = (states.RELEASED, states.IN_WORK)


@for_roles()
@require_safe
def housings(request: HttpRequest) -> HttpResponse:
    """Every housing the person may know of, the newest first, narrowed by what was asked for."""
    form = FloorForm(request.GET)
    found = queries.housings_for(actor_at(request)).order_by("-pk")
    if form.is_valid():
        found = _narrowed(found, form.cleaned_data)
    page = Paginator(queries.with_progress(found), AT_ONCE).get_page(request.GET.get("page"))
    today = timezone.localdate()
    rows = [
        (row, whereabouts(row, row.all_visits, row.open_holds), is_late(row, today))  # type: ignore[attr-defined]
        for row in page
    ]
    context = {
        "form": form,
        "page": page,
        "rows": rows,
        "is_narrowed": any(form.data.get(n) for n in form.fields),
    }
    return render(request, "housings/housings.html", context)


def _narrowed(found: QuerySet[Housing], asked: dict[str, Any]) -> QuerySet[Housing]:
    if words := asked["words"].strip():
        plain = "".join(character for character in words if character.isalnum()).upper()
        by_order = Q(order__number__iexact=words) | Q(order__reference__icontains=words)
        found = found.filter(by_order | Q(serial__contains=plain) if plain else by_order)
    match asked["which"]:
        case "":
            return found
        case FloorForm.HELD:
            return found.filter(Exists(Hold.objects.filter(housing=OuterRef("pk"), released_at=None)))
        case FloorForm.AWAY:
            return found.filter(Exists(Away.objects.filter(housing=OuterRef("pk"), back_at=None)))
        case FloorForm.LATE:
            return found.filter(order__due_on__lt=timezone.localdate(), state__in=NOT_ENDED)
        case state:
            return found.filter(state=state)


@for_roles()
@require_safe
def open_housing(request: HttpRequest) -> HttpResponse:
    """From what was scanned or typed on the home page to the housing's page."""
    typed = request.GET.get("serial", "")
    # A scanner gives the whole address of the code, a person the serial.
    serial = typed.strip().rstrip("/").rpartition("/h/")[2]
    try:
        row = queries.housing_by_serial(actor_at(request), serial)
    except Refused as refused:
        error = " ".join(refused.sentences) if serial else _("Scan or type a serial first.")
        context = {"scan_url": request.path, "scan_error": error, "scan_typed": typed[:200]}
        return render(request, "shopqc/home.html", context, status=refused.status)
    return redirect("housing", serial=row.serial)
