"""Routes: every published revision, as it is."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from housings.engineering.stations import STATIONS
from housings.models import RouteRevision
from housings.models.routes import WITH_LINKS
from housings.places import ROUTES
from shopqc.doors import for_roles

AT_ONCE = 10


@for_roles(*ROUTES)
@require_safe
def routes(request: HttpRequest) -> HttpResponse:
    """Revisions of routes with their stations, the newest first."""
    revisions = RouteRevision.objects.order_by("-published_at", "-pk")
    page = Paginator(revisions, AT_ONCE).get_page(request.GET.get("page"))
    rows = [(revision, [_mark(entry) for entry in revision.stations]) for revision in page]
    return render(request, "housings/routes.html", {"page": page, "rows": rows})


def _mark(entry: dict[str, Any]) -> dict[str, Any]:
    notes = []
    if entry.get("when") == WITH_LINKS:
        notes.append(_("only with links"))
    if entry.get("group") is not None:
        notes.append(_("any order within group %(group)s") % {"group": entry["group"]})
    return {"name": _(STATIONS[entry["station"]].name), "state": "ahead", "note": ", ".join(notes)}
