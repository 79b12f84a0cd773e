"""Routes: every published revision, what two of them have otherwise, and the drafts of the next ones."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from housings.engineering.stations import STATIONS
from housings.models import RouteDraft, RouteRevision
from housings.models.routes import WITH_LINKS
from housings.places import ROUTES
from housings.route_changes import route_changes
from shopqc import drafts
from shopqc.doors import actor_at, for_roles, may
from shopqc.refusals import refuse
from shopqc.whole_numbers import whole

AT_ONCE = 10


@for_roles(*ROUTES)
@require_http_methods(["GET", "HEAD", "POST"])
def routes(request: HttpRequest) -> HttpResponse:
    """Revisions of routes with their stations, the newest first; beginning a draft from one."""
    if request.method == "POST":
        return _begin(request)
    revisions = RouteRevision.objects.order_by("-published_at", "-pk")
    page = Paginator(revisions, AT_ONCE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": [(revision, [_mark(entry) for entry in revision.stations]) for revision in page],
        "drafts": RouteDraft.objects.select_related("copied_from"),
        "may_write": may(request, "publish_route"),
    }
    return render(request, "housings/routes.html", context)


def _begin(request: HttpRequest) -> HttpResponse:
    actor = actor_at(request)
    actor.check_may("publish_route")
    wanted = request.POST.get("from", "")
    number = whole(wanted)
    source = None if number is None else RouteRevision.objects.filter(pk=number).first()
    if source is None:
        raise refuse("not_found", what=_("revision of a route"), name=wanted[:40])
    draft = drafts.begin(
        RouteDraft,
        by=actor,
        at=timezone.now(),
        copied_from=source,
        name=source.name,
        stations=source.stations,
        note="",
    )
    return redirect("route-draft", pk=draft.pk)


def _mark(entry: dict[str, Any]) -> dict[str, Any]:
    notes = []
    if entry.get("when") == WITH_LINKS:
        notes.append(_("only with links"))
    if entry.get("group") is not None:
        notes.append(_("any order within group %(group)s") % {"group": entry["group"]})
    return {"name": _(STATIONS[entry["station"]].name), "state": "ahead", "note": ", ".join(notes)}


@for_roles(*ROUTES)
@require_safe
def compare(request: HttpRequest) -> HttpResponse:
    """What one revision has otherwise than another."""
    revisions = list(RouteRevision.objects.order_by("name", "-number"))
    known = {str(revision.pk): revision for revision in revisions}
    before, after = (known.get(request.GET.get(name, "")) for name in ("before", "after"))
    if request.GET and (before is None or after is None):
        messages.info(request, _("Choose two revisions that are here."))
    changes = route_changes(before.stations, after.stations) if before and after else None
    if before and after and before.note != after.note:
        changes = [*(changes or []), _("Note: %(note)s") % {"note": after.note or _("none")}]
    context = {"revisions": revisions, "before": before, "after": after, "changes": changes}
    return render(request, "housings/routes_compare.html", context)
