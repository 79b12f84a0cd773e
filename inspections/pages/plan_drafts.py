"""The sheet on which the next revision of a plan is written, part by part of the housing."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inspections import wording
from inspections.first_shop import SAMPLE_SPEC
from inspections.forms.plan_drafts import DraftForm
from inspections.models import PlanDraft, PlanRevision
from inspections.operations.plans import publish_plan
from inspections.pages.showing import attempt, show
from inspections.places import DESK
from inspections.plan_changes import plan_changes
from inspections.plan_checks import Checked, checked
from inspections.plan_rows import row_of
from shopqc import drafts
from shopqc.doors import actor_at, for_roles, may
from shopqc.refusals import refuse
from shopqc.whole_numbers import whole

Entry = dict[str, Any]


def draft_of(pk: int) -> PlanDraft | None:
    """One draft with what it was copied from."""
    return PlanDraft.objects.select_related("copied_from").filter(pk=pk).first()


@for_roles(*DESK)
@require_POST
def begin(request: HttpRequest) -> HttpResponse:
    """Begin a draft from a revision."""
    actor = actor_at(request)
    actor.check_may("publish_plan")
    wanted = request.POST.get("from", "")
    number = whole(wanted)
    source = None if number is None else PlanRevision.objects.filter(pk=number).first()
    if source is None:
        raise refuse("not_found", what=_("revision of a plan"), name=wanted[:40])
    draft = drafts.begin(
        PlanDraft,
        by=actor,
        at=timezone.now(),
        copied_from=source,
        name=source.name,
        characteristics=source.characteristics,
        note="",
    )
    return redirect("plan-draft", pk=draft.pk)


@for_roles(*DESK)
@require_http_methods(["GET", "HEAD", "POST"])
def plan_draft(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a draft; move, copy or take out one characteristic; keep, publish or throw it away."""
    draft = draft_of(pk)
    if request.method != "POST":
        if draft is None:
            raise refuse("page_not_found")
        form = DraftForm(initial={"version": draft.version, "name": draft.name, "note": draft.note})
        return _shown(request, pk, draft, form)
    actor_at(request).check_may("publish_plan")
    form = DraftForm(request.POST)
    if not form.is_valid():
        return _shown(request, pk, draft, form)
    return _sent(request, pk, draft, form)


def _sent(request: HttpRequest, pk: int, draft: PlanDraft | None, form: DraftForm) -> HttpResponse:
    do, version = request.POST.get("do", "keep"), form.cleaned_data["version"]
    if do == "publish":
        return _publish(request, pk, form)
    if do == "discard":
        if drafts.discard(PlanDraft, pk, version):
            messages.success(request, _("The draft is thrown away. No published plan has changed."))
            return redirect("plans")
        return _conflict(request, pk)
    if draft is None:
        return _conflict(request, pk)
    content = {
        "name": form.cleaned_data["name"].strip(),
        "note": form.cleaned_data["note"].strip(),
        "characteristics": changed(draft.characteristics, do),
    }
    if not done_before(request, form):
        # What a button does depends on how the sheet stood, so another version is never changed by it.
        if not drafts.keep(PlanDraft, pk, version, by=actor_at(request), at=timezone.now(), **content):
            return _conflict(request, pk)
        remember(request, form)
    if do == "keep":
        messages.success(request, _("The draft is kept. Nothing is published yet."))
    code = do.partition(" ")[2]
    return redirect(sheet_address(pk, code) if code else request.path)


KEYS_REMEMBERED = 20


def done_before(request: HttpRequest, form: DraftForm) -> bool:
    """Whether this very page was sent before and did its work: the second click of two."""
    return form.key in request.session.get("draft_keys", [])


def remember(request: HttpRequest, form: DraftForm) -> None:
    """That this page has done its work."""
    request.session["draft_keys"] = [*request.session.get("draft_keys", []), form.key][-KEYS_REMEMBERED:]


def changed(rows: list[Entry], do: str) -> list[Entry]:
    """The characteristics after a button: ``up code``, ``down code``, ``copy code``, ``remove code``.

    Up and down pass the next one of the same part, because that is how they stand on the sheet.
    """
    what, _space, code = do.partition(" ")
    made = list(rows)
    at = next((index for index, row in enumerate(made) if row["code"] == code), None)
    if at is None:
        return made
    same_part = [index for index, row in enumerate(made) if row["part"] == made[at]["part"]]
    place = same_part.index(at)
    match what:
        case "remove":
            del made[at]
        case "copy":
            made.insert(at + 1, {**made[at], "code": free_code(code, made)})
        case "up" if place > 0:
            other = same_part[place - 1]
            made[at], made[other] = made[other], made[at]
        case "down" if place + 1 < len(same_part):
            other = same_part[place + 1]
            made[at], made[other] = made[other], made[at]
    return made


def free_code(code: str, rows: list[Entry]) -> str:
    """A code like this one that no characteristic of the draft has."""
    taken = {row["code"] for row in rows}
    number = 2
    while f"{code[:56]}_{number}" in taken:
        number += 1
    return f"{code[:56]}_{number}"


def _publish(request: HttpRequest, pk: int, form: DraftForm) -> HttpResponse:
    data = form.cleaned_data
    answer = attempt(
        request,
        form,
        publish_plan,
        name=data["name"].strip(),
        note=data["note"].strip(),
        spec=dict(SAMPLE_SPEC),
        draft=pk,
        version=data["version"],
    )
    if answer is None:
        if {reason.code for reason in form.reasons} & {"changed_meanwhile", "draft_gone"}:
            return _conflict(request, pk)
        return _shown(request, pk, draft_of(pk), form)
    said = _("Plan %(plan)s, revision %(number)s is published. Orders placed from now on go by it.")
    messages.success(request, said % answer)
    return redirect("plans")


def _conflict(request: HttpRequest, pk: int) -> HttpResponse:
    """Somebody else was quicker: the head as it was typed, the rest as it is now."""
    draft = draft_of(pk)
    data = request.POST.copy()
    data["version"] = str(draft.version if draft else 0)
    form = DraftForm(data)
    form.is_valid()
    return _shown(request, pk, draft, form, conflict=True)


def _shown(
    request: HttpRequest, pk: int, draft: PlanDraft | None, form: DraftForm, *, conflict: bool = False
) -> HttpResponse:
    rows: list[Entry] = draft.characteristics if draft else []
    found = checked(rows) if draft else Checked()
    source = draft.copied_from if draft else None
    context = {
        "pk": pk,
        "draft": draft,
        "form": form,
        "source": source,
        "parts": _parts(rows, found),
        "count": len(rows),
        "against": found,
        "changes": plan_changes(source.characteristics, rows) if source else [],
        "may_write": may(request, "publish_plan"),
        "conflict": conflict,
    }
    response = show(request, "plan_draft.html", context, form=form)
    if conflict:
        response.status_code = 409
    return response


def _parts(rows: list[Entry], found: Checked) -> list[dict[str, Any]]:
    """The characteristics by part, each with its sentences."""
    parts: dict[str, list[dict[str, Any]]] = {part: [] for part in wording.PARTS}
    for entry in rows:
        parts.setdefault(entry["part"], []).append(
            {
                **row_of(entry),
                "against": found.of.get(entry["code"], []),
                "idle": entry["code"] in found.idle,
            }
        )
    return [
        {"name": wording.PARTS.get(part, part), "rows": of_part} for part, of_part in parts.items() if of_part
    ]


@for_roles(*DESK)
@require_safe
def compare(request: HttpRequest) -> HttpResponse:
    """What one revision asks otherwise than another."""
    revisions = list(PlanRevision.objects.order_by("name", "-number").defer("characteristics"))
    known = {str(revision.pk): revision for revision in revisions}
    before, after = (known.get(request.GET.get(name, "")) for name in ("before", "after"))
    if request.GET and (before is None or after is None):
        messages.info(request, _("Choose two revisions that are here."))
    both = before is not None and after is not None
    context = {
        "revisions": revisions,
        "before": before,
        "after": after,
        "changes": plan_changes(before.characteristics, after.characteristics) if before and after else [],
        "compared": both,
    }
    return show(request, "plans_compare.html", context)


def sheet_address(pk: int, code: str) -> str:
    """Where one characteristic stands on its sheet."""
    return f"{reverse('plan-draft', args=[pk])}#{code}"
