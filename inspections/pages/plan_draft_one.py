"""One characteristic of a draft: everything it asks, on a form of its own."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from inspections.forms.plan_drafts import SPARE_CONSTANTS, SPARE_DUES, CharacteristicForm
from inspections.models import PlanDraft
from inspections.pages.plan_drafts import Entry, draft_of, free_code, sheet_address
from inspections.pages.showing import show
from inspections.places import DESK
from inspections.plan_changes import characteristic_changes
from inspections.plan_checks import checked
from shopqc import drafts
from shopqc.canonical import canonical, digest
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import refuse
from shopqc.whole_numbers import whole

TRIES = 5


def digest_of(entry: Entry | None) -> str:
    """By which a characteristic is known again as it was; empty for one that is not there."""
    return digest(canonical(entry)) if entry else ""


def entry_of(rows: list[Entry], code: str) -> Entry | None:
    """The characteristic of that code."""
    return next((row for row in rows if row["code"] == code), None)


@for_roles(*DESK)
@require_http_methods(["GET", "HEAD", "POST"])
def plan_draft_one(request: HttpRequest, pk: int, code: str | None = None) -> HttpResponse:
    """Show one characteristic of a draft, or a new one; keep it."""
    actor_at(request).check_may("publish_plan")
    draft = draft_of(pk)
    if request.method != "POST":
        entry = entry_of(draft.characteristics, code) if draft and code else None
        if draft is None or (code and entry is None):
            raise refuse("page_not_found")
        initial: dict[str, Any] = {"version": draft.version, "was": digest_of(entry)}
        if part := request.GET.get("part"):
            initial["part"] = part
        form = CharacteristicForm(entry=entry or {}, initial=initial)
        return _shown(request, pk, draft, form, code)
    if request.POST.get("do") == "more":
        return _with_more_rows(request, pk, draft, code)
    form = CharacteristicForm(request.POST)
    if form.is_valid():
        return _keep(request, pk, form, code)
    return _shown(request, pk, draft, form, code)


def _with_more_rows(request: HttpRequest, pk: int, draft: PlanDraft | None, code: str | None) -> HttpResponse:
    """The same page with room for more limits and constants; nothing is kept by this."""
    data = request.POST.copy()
    for name, more in (("due_count", SPARE_DUES), ("constant_count", SPARE_CONSTANTS)):
        data[name] = str(min((whole(data.get(name, "")) or 0) + more, 40))
    form = CharacteristicForm(data)
    form.is_valid()
    form.errors.clear()
    return _shown(request, pk, draft, form, code)


def _keep(request: HttpRequest, pk: int, form: CharacteristicForm, code: str | None) -> HttpResponse:
    """Keep it on the newest version, as long as nobody else has changed this very characteristic."""
    entry = form.entry()
    for _try in range(TRIES):
        draft = draft_of(pk)
        if draft is None:
            return _conflict(request, pk, None, code, entry)
        rows, there = draft.characteristics, entry_of(draft.characteristics, code) if code else None
        if entry_of(rows, entry["code"]) == entry:
            break  # sent twice, or nothing is otherwise
        if entry["code"] != code and entry_of(rows, entry["code"]):
            suggestion = free_code(entry["code"], rows)
            said = _("Another characteristic of this draft has this code. Free is %(code)s.")
            form.add_error("code", said % {"code": suggestion})
            return _shown(request, pk, draft, form, code)
        if digest_of(there) != form.cleaned_data["was"]:
            return _conflict(request, pk, draft, code, entry)
        made = [entry if row is there else row for row in rows]
        if there is None:
            made = _put_in(rows, entry)
        at, by = timezone.now(), actor_at(request)
        if drafts.keep(PlanDraft, pk, draft.version, by=by, at=at, characteristics=made):
            break
    else:
        return _conflict(request, pk, draft_of(pk), code, entry)
    messages.success(request, _("“%(name)s” is kept in the draft.") % {"name": entry["name"]})
    return redirect(sheet_address(pk, entry["code"]))


def _put_in(rows: list[Entry], entry: Entry) -> list[Entry]:
    """A new characteristic stands behind the last one of its part."""
    last = max(
        (index for index, row in enumerate(rows) if row["part"] == entry["part"]), default=len(rows) - 1
    )
    return [*rows[: last + 1], entry, *rows[last + 1 :]]


def _conflict(
    request: HttpRequest, pk: int, draft: PlanDraft | None, code: str | None, entry: Entry
) -> HttpResponse:
    """Somebody else changed this one: what was typed stays, and keeping it is asked for once more."""
    theirs = entry_of(draft.characteristics, code) if draft and code else None
    data = request.POST.copy()
    data["version"], data["was"] = str(draft.version if draft else 0), digest_of(theirs)
    form = CharacteristicForm(data)
    form.is_valid()
    conflict = {
        "gone": draft is not None and theirs is None,
        "theirs": characteristic_changes(entry, theirs) if theirs else (),
    }
    response = _shown(request, pk, draft, form, code, conflict=conflict)
    response.status_code = 409
    return response


def _shown(
    request: HttpRequest,
    pk: int,
    draft: PlanDraft | None,
    form: CharacteristicForm,
    code: str | None,
    *,
    conflict: dict[str, Any] | None = None,
) -> HttpResponse:
    rows: list[Entry] = draft.characteristics if draft else []
    entry = entry_of(rows, code) if code else None
    source = draft.copied_from if draft else None
    before = entry_of(source.characteristics, code) if source and code else None
    against = checked(rows).of.get(code, []) if code else []
    context = {
        "pk": pk,
        "draft": draft,
        "form": form,
        "code": code,
        "entry": entry,
        "against": against if not form.is_bound else [],
        "source": source,
        "changes": characteristic_changes(before, entry) if before and entry else (),
        "conflict": conflict,
    }
    return show(request, "plan_draft_one.html", context, form=form)
