"""The sheet on which the next revision of a route is written."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from housings.engineering.stations import STATIONS
from housings.models import RouteDraft
from housings.models.routes import WITH_LINKS
from housings.operations.routes import publish_route, reasons_not_to_publish
from housings.places import ROUTES
from housings.route_changes import route_changes
from housings.route_forms import GROUPS, Row, SheetForm, changed, rows_sent
from shopqc import drafts
from shopqc.doors import actor_at, for_roles, may, run
from shopqc.refusals import Reason, Refused, refuse
from shopqc.whole_numbers import whole


@for_roles(*ROUTES)
@require_http_methods(["GET", "HEAD", "POST"])
def route_draft(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a draft; change it by one button, keep it, publish it or throw it away."""
    draft = _draft(pk)
    if request.method != "POST":
        if draft is None:
            raise refuse("page_not_found")
        form = SheetForm(initial={"version": draft.version, "name": draft.name, "note": draft.note})
        return _shown(request, pk, draft, form, draft.stations)
    actor_at(request).check_may("publish_route")
    return _sent(request, pk, draft)


def _draft(pk: int) -> RouteDraft | None:
    return RouteDraft.objects.select_related("copied_from").filter(pk=pk).first()


def _sent(request: HttpRequest, pk: int, draft: RouteDraft | None) -> HttpResponse:
    do = request.POST.get("do", "keep")
    rows = rows_sent(request.POST)
    form = SheetForm(request.POST)
    if not form.is_valid():
        return _shown(request, pk, draft, form, rows, status=422)
    if do == "publish":
        return _publish(request, pk, draft, form, rows)
    if do == "discard":
        if drafts.discard(RouteDraft, pk, form.cleaned_data["version"]):
            messages.success(request, _("The draft is thrown away. No published route has changed."))
            return redirect("routes")
        return _conflict(request, pk, form, rows)
    rows = changed(rows, do, request.POST.get("add", ""))
    content = {**_head(form), "stations": rows}
    if draft is None:
        return _again(request, content) if do == "begin" else _conflict(request, pk, form, rows)
    if not _keep(request, pk, form, content):
        return _conflict(request, pk, form, rows)
    if do == "keep":
        messages.success(request, _("The draft is kept. Nothing is published yet."))
    place = do.partition(" ")[2]
    return redirect(f"{request.path}{'' if whole(place) is None else f'#row-{place}'}")


def _head(form: SheetForm) -> dict[str, str]:
    return {"name": form.cleaned_data["name"].strip(), "note": form.cleaned_data["note"].strip()}


def _keep(request: HttpRequest, pk: int, form: SheetForm, content: dict[str, Any]) -> bool:
    version = form.cleaned_data["version"]
    return drafts.keep(RouteDraft, pk, version, by=actor_at(request), at=timezone.now(), **content)


def _again(request: HttpRequest, content: dict[str, Any]) -> HttpResponse:
    """A new draft with what was typed on one that is gone."""
    draft = drafts.begin(RouteDraft, by=actor_at(request), at=timezone.now(), copied_from=None, **content)
    return redirect("route-draft", pk=draft.pk)


def _publish(
    request: HttpRequest, pk: int, draft: RouteDraft | None, form: SheetForm, rows: list[Row]
) -> HttpResponse:
    version = form.cleaned_data["version"]
    try:
        answer = run(request, publish_route, form, **_head(form), stations=rows, draft=pk, version=version)
    except Refused as refused:
        codes = {reason.code for reason in refused.reasons}
        if codes & {"changed_meanwhile", "draft_gone"}:
            return _conflict(request, pk, form, rows)
        form.say(reason for reason in refused.reasons if reason.code != "route_refused")
        return _shown(request, pk, draft, form, rows, status=refused.status, refused=True)
    said = _("Route %(route)s, revision %(number)s is published. Orders placed from now on go by it.")
    messages.success(request, said % answer)
    return redirect("routes")


def _conflict(request: HttpRequest, pk: int, form: SheetForm, rows: list[Row]) -> HttpResponse:
    """Somebody else was quicker: what was typed stands on the page, and keeping it is asked for once more."""
    draft = _draft(pk)
    if draft is not None:
        data = request.POST.copy()
        data["version"] = str(draft.version)
        form = SheetForm(data)
        form.is_valid()
    return _shown(request, pk, draft, form, rows, status=409, conflict=True)


def _shown(
    request: HttpRequest,
    pk: int,
    draft: RouteDraft | None,
    form: SheetForm,
    rows: list[Row],
    *,
    status: int = 200,
    refused: bool = False,
    conflict: bool = False,
) -> HttpResponse:
    reasons = reasons_not_to_publish(rows)
    source = draft.copied_from if draft else None
    context = {
        "pk": pk,
        "draft": draft,
        "form": form,
        "rows": [_row(index, row, reasons) for index, row in enumerate(rows)],
        "reasons": [reason.sentence for reason in reasons],
        "source": source,
        "changes": route_changes(source.stations, rows) if source else [],
        "theirs": route_changes(rows, draft.stations) if conflict and draft else [],
        "groups": GROUPS,
        "to_add": [
            (code, _(station.name))
            for code, station in STATIONS.items()
            if code not in {row["station"] for row in rows}
        ],
        "may_write": may(request, "publish_route"),
        "refused": refused,
        "conflict": conflict,
    }
    return render(request, "housings/route_draft.html", context, status=status)


def _row(index: int, row: Row, reasons: list[Reason]) -> dict[str, Any]:
    station = STATIONS[row["station"]]
    return {
        "index": index,
        "code": row["station"],
        "name": _(station.name),
        "links": row.get("when") == WITH_LINKS,
        "group": row.get("group"),
        "optional": station.optional,
        "against": [reason.sentence for reason in reasons if reason.field == f"/stations/{index}"],
    }
