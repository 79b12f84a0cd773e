"""Welding procedures: the list, one of them whole, and beginning the draft of the next one."""

from __future__ import annotations

from typing import Any

from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from housings.engineering.procedures import procedure_from
from housings.engineering.ready_procedures import READY_PROCEDURES
from housings.models import ProcedureDraft, ProcedureRevision
from housings.pages.filed import filed
from housings.procedure_advice_words import advice_words, groove_words
from housings.procedure_words import KINDS, parts_of, procedure_changes, process_words
from shopqc import drafts
from shopqc.doors import actor_at, for_roles, may
from shopqc.refusals import refuse
from shopqc.whole_numbers import whole


@for_roles()
@require_safe
def procedures(request: HttpRequest) -> HttpResponse:
    """The newest revision of each procedure, by name, and the drafts."""
    newest: dict[str, ProcedureRevision] = {}
    for revision in ProcedureRevision.objects.order_by("name", "number"):
        newest[revision.name] = revision
    writes = may(request, "publish_procedure")
    context = {
        "rows": [_line(revision) for revision in newest.values()],
        "drafts": ProcedureDraft.objects.select_related("copied_from").defer("data") if writes else (),
        "may_write": writes,
    }
    return render(request, "housings/procedures.html", context)


def _line(revision: ProcedureRevision) -> dict[str, Any]:
    data = revision.data
    return {
        "revision": revision,
        "title": data["title"],
        "process": process_words(data["process"]),
        "kinds": ", ".join(str(KINDS.get(kind, kind)) for kind in data["kinds"]),
        "for_repair": bool(data.get("for_repair")),
    }


@for_roles()
@require_safe
def procedure(request: HttpRequest, pk: int) -> HttpResponse:
    """One revision: what it says, what changed, and what published arithmetic says beside it."""
    revision = _revision(pk)
    others = list(ProcedureRevision.objects.filter(name=revision.name).order_by("-number"))
    before = next((one for one in others if one.number < revision.number), None)
    read = procedure_from(revision.data)
    context = {
        "revision": revision,
        "newest": others[0],
        "others": [one for one in others if one.pk != revision.pk],
        "before": before,
        "changes": procedure_changes(before.data, revision.data) if before else [],
        "parts": parts_of(revision.data),
        "grooves": groove_words(read),
        "advice": advice_words(read),
        "may_write": may(request, "publish_procedure"),
    }
    return render(request, "housings/procedure.html", context)


def _revision(pk: int) -> ProcedureRevision:
    revision = ProcedureRevision.objects.filter(pk=pk).first()
    if revision is None:
        raise refuse("page_not_found")
    return revision


@for_roles()
@require_safe
def procedure_document(request: HttpRequest, pk: int) -> FileResponse:
    """The filed paper of a procedure."""
    revision = _revision(pk)
    return filed(revision.document, f"{revision.name} {revision.number}")


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def procedure_new(request: HttpRequest) -> HttpResponse:
    """Begin a draft: from an example, from a revision, or from nothing."""
    actor = actor_at(request)
    actor.check_may("publish_procedure")
    if request.method != "POST":
        taken = set(ProcedureRevision.objects.values_list("name", flat=True))
        examples = [
            {"ready": ready, "taken": name in taken, "kinds": _line_kinds(ready.data["kinds"])}
            for name, ready in READY_PROCEDURES.items()
        ]
        return render(request, "housings/procedure_new.html", {"examples": examples})
    source, content = _beginning(request)
    draft = drafts.begin(ProcedureDraft, by=actor, at=timezone.now(), copied_from=source, **content)
    return redirect("procedure-draft", pk=draft.pk)


def _line_kinds(kinds: list[str]) -> str:
    return ", ".join(str(KINDS.get(kind, kind)) for kind in kinds)


def _beginning(request: HttpRequest) -> tuple[ProcedureRevision | None, dict[str, Any]]:
    """What a draft begins with, by the button that was pressed."""
    if example := request.POST.get("example"):
        ready = READY_PROCEDURES.get(example)
        if ready is None:
            raise refuse("not_found", what=_("example"), name=example[:40])
        # An example is qualified by nobody: whoever takes it over names the record of their own.
        data = {**ready.data, "qualified_by": ""}
        return None, {"name": ready.name, "data": data, "note": ""}
    if wanted := request.POST.get("from"):
        number = whole(wanted)
        source = None if number is None else ProcedureRevision.objects.filter(pk=number).first()
        if source is None:
            raise refuse("not_found", what=_("revision of a procedure"), name=wanted[:40])
        return source, {"name": source.name, "data": {**source.data, **_paper(source)}, "note": ""}
    return None, {"name": "", "data": {"temperature_unit": "F", "heat_basis": "arc"}, "note": ""}


def _paper(source: ProcedureRevision) -> dict[str, str]:
    return {"document": source.document} if source.document else {}
