"""Stays at suppliers: their parts of a housing's page, the list of what is away, and documents."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from housings import gate, queries, rules, states
from housings.forms import BackForm, ConformityForm, SendForm, WhyForm
from housings.models import Away, Visit, WorkDone
from housings.pages.steps import Typed
from shopqc import files
from shopqc.doors import actor_at, for_roles, may
from shopqc.operations.documents import BEGINNINGS, TABLE, kind_of
from shopqc.refusals import refuse

AT_ONCE = 50
SUFFIXES = {"application/pdf": "pdf", "image/jpeg": "jpg", "image/png": "png", TABLE: "csv"}
assert set(SUFFIXES) == {*BEGINNINGS, TABLE}


def units_of(situation: gate.Situation) -> dict[str, str]:
    """The units with which forms of this shop begin."""
    shop = situation.shop
    return {"length_unit": shop.length_unit, "temperature_unit": shop.temperature_unit}


def away_parts(
    request: HttpRequest, situation: gate.Situation, here: Visit | None, typed: Typed | None
) -> dict[str, Any]:
    """What the page says of suppliers: the present stay with its forms, or sending; and the stays before."""
    row = situation.housing
    stays = [stay for stay in situation.stays_away if not stay.recalled_why]
    present = next((stay for stay in stays if stay.back_at is None), None)
    ended = row.state in {states.SCRAPPED, states.CANCELLED}
    parts: dict[str, Any] = {
        "stay": present,
        "stay_is_late": present is not None and is_late(present),
        "stays": [
            (stay, _conformity_form(request, situation, stay, typed)) for stay in stays if stay is not present
        ],
        "stays_taken_back": [stay for stay in situation.stays_away if stay.recalled_why],
    }
    initial = {"seen_position": row.record_position, **units_of(situation)}
    if here is None:
        return parts
    initial["station"] = here.station
    if present is not None and may(request, "back_from_supplier"):
        back = typed.form_for("back") if typed else None
        parts["back_form"] = back or BackForm(initial=initial, auto_id="back_%s")
    if present is not None and not rules.reasons_of_person(actor_at(request), present.sent_by):
        recall = typed.form_for("recall") if typed else None
        parts["recall_form"] = recall or WhyForm(initial=initial, auto_id="recall_%s")
    if present is None and here.at.supplier_possible and not ended and may(request, "send_to_supplier"):
        send = typed.form_for("send") if typed else None
        parts["send_form"] = send or SendForm(initial=initial, auto_id="send_%s")
    return parts


def _conformity_form(
    request: HttpRequest, situation: gate.Situation, stay: Away, typed: Typed | None
) -> Any | None:
    """Filing a certificate that came later, or the right one instead of a wrong one."""
    if rules.reasons_of_state(situation.housing) or not may(request, "file_conformity"):
        return None
    form = typed.form_for("conformity", stay=stay.number) if typed else None
    initial = {"seen_position": situation.housing.record_position, "stay": stay.number}
    return form or ConformityForm(initial=initial, auto_id=f"conformity_{stay.number}_%s")


def is_late(stay: Away) -> bool:
    """Whether it was expected back before today and is not back."""
    return stay.back_at is None and stay.expected_on is not None and stay.expected_on < timezone.localdate()


@for_roles()
@require_safe
def away(request: HttpRequest) -> HttpResponse:
    """Every housing that is at a supplier now, what is overdue first."""
    page = Paginator(queries.away_now(actor_at(request)), AT_ONCE).get_page(request.GET.get("page"))
    rows = [(stay, is_late(stay)) for stay in page]
    return render(request, "housings/away.html", {"page": page, "rows": rows})


@for_roles()
@require_safe
def document(request: HttpRequest, serial: str, sha256: str) -> FileResponse:
    """A document that a stay or the work of this housing names, to be kept or opened elsewhere."""
    row = queries.housing_by_serial(actor_at(request), serial)
    named = set(Away.objects.filter(housing=row).values_list("conformity", flat=True)) | {
        value
        for details in WorkDone.objects.filter(housing=row).values_list("details", flat=True)
        for value in details.values()
    }
    if sha256 not in named or not files.is_kept(sha256):
        raise refuse("page_not_found")
    path = files.path_of(sha256)
    kind = kind_of(path.read_bytes())
    name = f"{row.serial} {sha256[:8]}.{SUFFIXES.get(kind, 'bin')}"
    return FileResponse(
        path.open("rb"), as_attachment=True, filename=name, content_type=kind or "application/octet-stream"
    )
