"""The sheet on which the next revision of a procedure is written."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from housings.engineering.procedure_reading import read_procedure
from housings.models import ProcedureDraft
from housings.operations.procedures import publish_procedure
from housings.places import ROUTES
from housings.procedure_forms import ProcedureSheet, initial_of
from housings.procedure_words import procedure_changes
from shopqc import drafts
from shopqc.doors import actor_at, for_roles, may, run
from shopqc.refusals import Refused, refuse
from shopqc.uploads import KEPT, file_documents

Data = dict[str, Any]


@for_roles(*ROUTES)
@require_http_methods(["GET", "HEAD", "POST"])
def procedure_draft(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a draft; keep it, publish it or throw it away."""
    draft = _draft(pk)
    if request.method != "POST":
        if draft is None:
            raise refuse("page_not_found")
        return _shown(request, draft, _sheet_of(draft), _said(draft.data), pk)
    actor_at(request).check_may("publish_procedure")
    form = ProcedureSheet(request.POST, request.FILES)
    if not form.is_valid() or not file_documents(request, form):
        return _shown(
            request, draft, form, form.typed() if hasattr(form, "cleaned_data") else {}, pk, status=422
        )
    return _sent(request, pk, draft, form)


def _draft(pk: int) -> ProcedureDraft | None:
    return ProcedureDraft.objects.select_related("copied_from").filter(pk=pk).first()


def _sheet_of(draft: ProcedureDraft) -> ProcedureSheet:
    head = {"version": draft.version, "name": draft.name, "note": draft.note}
    paper = {f"document{KEPT}": draft.data.get("document", "")}
    return ProcedureSheet(initial={**initial_of(draft.data), **head, **paper})


def _said(data: Data) -> Data:
    """What a draft says of the procedure, without the digest of its paper."""
    return {name: value for name, value in data.items() if name != "document"}


def _sent(request: HttpRequest, pk: int, draft: ProcedureDraft | None, form: ProcedureSheet) -> HttpResponse:
    do, version = request.POST.get("do", "keep"), form.cleaned_data["version"]
    if do == "publish":
        return _publish(request, pk, draft, form)
    if do == "discard":
        if drafts.discard(ProcedureDraft, pk, version):
            messages.success(request, _("The draft is thrown away. No published procedure has changed."))
            return redirect("procedures")
        return _conflict(request, pk, form)
    content = _content(form)
    if draft is None and do == "begin":
        by = actor_at(request)
        draft = drafts.begin(ProcedureDraft, by=by, at=timezone.now(), copied_from=None, **content)
        return redirect("procedure-draft", pk=draft.pk)
    if not drafts.keep(ProcedureDraft, pk, version, by=actor_at(request), at=timezone.now(), **content):
        return _conflict(request, pk, form)
    messages.success(request, _("The draft is kept. Nothing is published yet."))
    return redirect("procedure-draft", pk=pk)


def _content(form: ProcedureSheet) -> dict[str, Any]:
    paper = form.cleaned_data["document"]
    return {
        "name": form.cleaned_data["name"].strip(),
        "note": form.cleaned_data["note"].strip(),
        "data": {**form.typed(), **({"document": paper} if paper else {})},
    }


def _publish(
    request: HttpRequest, pk: int, draft: ProcedureDraft | None, form: ProcedureSheet
) -> HttpResponse:
    content, version = _content(form), form.cleaned_data["version"]
    inputs = {
        "name": content["name"],
        "note": content["note"],
        "data": form.typed(),
        "document": form.cleaned_data["document"],
    }
    try:
        answer = run(request, publish_procedure, form, **inputs, draft=pk, version=version)
    except Refused as refused:
        if {reason.code for reason in refused.reasons} & {"changed_meanwhile", "draft_gone"}:
            return _conflict(request, pk, form)
        form.say(reason for reason in refused.reasons if reason.code != "procedure_wrong")
        return _shown(request, draft, form, form.typed(), pk, status=refused.status, refused=True)
    said = _(
        "Procedure %(procedure)s, revision %(number)s is published. Housings released from now on have it."
    )
    messages.success(request, said % answer)
    return redirect("procedure", pk=answer["id"])


def _conflict(request: HttpRequest, pk: int, form: ProcedureSheet) -> HttpResponse:
    """Somebody else was quicker: what was typed stands on the page, and keeping it is asked for once more."""
    draft, typed = _draft(pk), form.typed()
    if draft is not None:
        data = form.data.copy()  # type: ignore[attr-defined]  # a QueryDict, sent by a browser
        data["version"] = str(draft.version)
        form = ProcedureSheet(data)
        form.is_valid()
    return _shown(request, draft, form, typed, pk, status=409, conflict=True)


def _shown(
    request: HttpRequest,
    draft: ProcedureDraft | None,
    form: ProcedureSheet,
    typed: Data,
    pk: int,
    *,
    status: int = 200,
    refused: bool = False,
    conflict: bool = False,
) -> HttpResponse:
    _tidy, problems = read_procedure(typed)
    source = draft.copied_from if draft else None
    context = {
        "pk": pk,
        "draft": draft,
        "form": form,
        "parts": form.parts(problems),
        "reasons": [problem.sentence for problem in problems],
        "source": source,
        "changes": procedure_changes(source.data, typed) if source else [],
        "theirs": procedure_changes(typed, _said(draft.data)) if conflict and draft else [],
        "kept_papers": form.kept_words() if form.is_bound else [],
        "paper": draft.data.get("document", "") if draft else "",
        "may_write": may(request, "publish_procedure"),
        "refused": refused,
        "conflict": conflict,
    }
    return render(request, "housings/procedure_draft.html", context, status=status)
