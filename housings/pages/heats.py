"""Steel, filler and gas: what is on file, receiving and changing it, pieces cut from it, labels."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db.models import F, Q, QuerySet
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from housings.engineering.carbon_equivalent import carbon_equivalent
from housings.engineering.preheat import preheat_advice
from housings.heat_forms import AdviceForm, ChangeHeatForm, HeatForm, PieceForm, composition_pairs
from housings.material_queries import heats_for, housings_with, passes_with, plain_code, scanned, uses_of
from housings.models import Heat, Piece
from housings.operations.materials import change_heat, cut_piece, receive_heat
from housings.pages.away import SUFFIXES
from housings.pages.sending import attempt, page_of, sentences, show
from housings.steel_words import CERTIFICATE_TYPES, FORMS, KINDS, equivalents_of
from shopqc import files
from shopqc.doors import actor_at, for_roles, may
from shopqc.operations.documents import kind_of
from shopqc.refusals import refuse
from shopqc.rules import the_shop
from shopqc.scan_codes import square
from shopqc.uploads import KeepsDocuments, file_documents

ROWS, LABELS, PIECES = 50, 60, 50
READ_OR_SEND = require_http_methods(["GET", "HEAD", "POST"])
# With what the form for preheat begins: a TIG weld of the usual kind. Common practice, no source.
USUAL_WELD = {"hydrogen": "3", "heat_input": "1"}
USUAL_WALL = {"in": "0.5", "mm": "12.7"}


def state_of(heat: Heat) -> dict[str, str]:
    """Whether a heat can be used, and whether its certificate is here: a shape and a word."""
    if heat.recalled_at:
        return {"mark": "fail", "word": _("recalled: %(why)s") % {"why": heat.recalled_why}}
    if heat.certificate:
        return {"mark": "pass", "word": _("certificate filed")}
    return {"mark": "open", "word": _("no certificate filed")}


def heat_at(request: HttpRequest, pk: int) -> Heat:
    """The heat of an address."""
    heat = heats_for(actor_at(request)).filter(pk=pk).first()
    if heat is None:
        raise refuse("page_not_found")
    return heat


def _asked_for(request: HttpRequest) -> tuple[QuerySet[Heat], dict[str, str]]:
    """The heats that an address asks for, what is recalled first, then what came last; and what it asks."""
    wanted = {name: request.GET.get(name, "").strip()[:60] for name in ("find", "kind")}
    found = heats_for(actor_at(request))
    if wanted["kind"] in KINDS:
        found = found.filter(kind=wanted["kind"])
    if text := wanted["find"]:
        by_code = Q(number__contains=plain_code(text)) | Q(pieces__code__contains=plain_code(text))
        by_words = Q(grade__icontains=text) | Q(supplier__icontains=text) | Q(size__icontains=text)
        found = found.filter(by_code | by_words).distinct()
    return found.order_by(F("recalled_at").desc(nulls_last=True), "-received_at", "number"), wanted


@for_roles()
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    """Everything on file; what is recalled stands first. A scanned label opens its heat."""
    found, wanted = _asked_for(request)
    if wanted["find"] and (named := scanned(wanted["find"])):
        return redirect("heat", pk=named.heat_id if isinstance(named, Piece) else named.pk)
    page = page_of(request, found, ROWS)
    context = {
        "page": page,
        "rows": [{"heat": one, "kind": KINDS.get(one.kind, one.kind), **state_of(one)} for one in page],
        "wanted": wanted,
        "narrowed": any(wanted.values()),
        "kinds": list(KINDS.items()),
        "may_receive": may(request, "receive_heat"),
    }
    return show(request, "heats.html", context)


@for_roles()
@READ_OR_SEND
def new(request: HttpRequest) -> HttpResponse:
    """Something came in: its number, what it is and its grade are enough."""
    initial = {"kind": Heat.STEEL, "number": request.GET.get("number", "")[:40]}
    form = HeatForm(request.POST or None, request.FILES or None, initial=initial)
    status = 422 if form.is_bound else 200
    if request.method == "POST" and _is_whole(request, form):
        answer, status = attempt(request, form, receive_heat, **form.inputs())
        if answer:
            messages.success(request, _("Heat %(heat)s is on file.") % answer)
            return redirect("heat", pk=Heat.objects.get(number=answer["heat"]).pk)
    against = [] if form.is_bound else sentences(actor_at(request).reasons_against("receive_heat"))
    return show(request, "heat_new.html", {"form": form, "against": against}, status)


def _is_whole(request: HttpRequest, form: KeepsDocuments) -> bool:
    """Whether a form is right. A file that came with one that is not is filed all the same, not lost."""
    is_valid = form.is_valid()
    return file_documents(request, form) and is_valid


@for_roles()
@READ_OR_SEND
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Change what is on file of a heat."""
    heat = heat_at(request, pk)
    form = ChangeHeatForm(heat, request.POST or None, request.FILES or None)
    status = 422 if form.is_bound else 200
    if request.method == "POST" and _is_whole(request, form):
        answer, status = attempt(request, form, change_heat, heat=heat.number, **form.inputs())
        if answer:
            messages.success(request, _("It is changed. The record book keeps what stood there before."))
            return redirect("heat", pk=pk)
    against = [] if form.is_bound else sentences(actor_at(request).reasons_against("change_heat"))
    return show(request, "heat_change.html", {"heat": heat, "form": form, "against": against}, status)


@for_roles()
@require_safe
def one(request: HttpRequest, pk: int) -> HttpResponse:
    """One heat: its certificate, what its composition means for welding, its pieces, where it went."""
    heat = heat_at(request, pk)
    return _page(request, heat, _piece_form(heat), 200)


@for_roles()
@require_POST
def piece(request: HttpRequest, pk: int) -> HttpResponse:
    """A piece was cut from it."""
    heat = heat_at(request, pk)
    form = _piece_form(heat, request.POST)
    status = 422
    if form.is_valid():
        answer, status = attempt(request, form, cut_piece, heat=heat.number, **form.inputs())
        if answer:
            said = _("Piece %(piece)s is on file. Print its label, or write the number on it.") % answer
            messages.success(request, said)
            return redirect("heat", pk=pk)
    return _page(request, heat, form, status)


def _piece_form(heat: Heat, data: Any = None) -> PieceForm:
    codes = list(heat.pieces.order_by("pk").values_list("code", flat=True))
    initial = {"code": f"{heat.number}-{len(codes) + 1}"}
    return PieceForm(codes, data, initial=initial, auto_id="piece_%s")


def _page(request: HttpRequest, heat: Heat, form: PieceForm, status: int) -> HttpResponse:
    actor = actor_at(request)
    pieces = heat.pieces.select_related("cut_from").order_by("-pk")
    names = ("change_heat", "recall_heat", "clear_heat", "cut_piece")
    context = {
        "heat": heat,
        "kind": KINDS.get(heat.kind, heat.kind),
        "form_word": FORMS.get(heat.form, heat.form),
        "certificate_word": CERTIFICATE_TYPES.get(heat.certificate_type, ""),
        **state_of(heat),
        "composition": composition_pairs(heat.composition),
        "equivalents": equivalents_of(heat).items(),
        "advice": _advice(request, heat),
        "page": page_of(request, pieces, PIECES),
        "is_steel": heat.kind == Heat.STEEL,
        "parts": uses_of(heat).count(),
        "passes": passes_with(heat).count(),
        "housings": housings_with(actor, heat).count(),
        "form": form,
        "may": {name: not actor.reasons_against(name) for name in names},
    }
    return show(request, "heat.html", context, status)


def _advice(request: HttpRequest, heat: Heat) -> dict[str, Any] | None:
    """What method B advises for the weld that the address names, with the form that asks."""
    if not heat.composition or heat.kind != Heat.STEEL:
        return None
    shop = the_shop()
    asked = {name: request.GET[name] for name in ("wall", *USUAL_WELD) if name in request.GET}
    given = {"wall": USUAL_WALL[shop.length_unit], **USUAL_WELD, **asked}
    form = AdviceForm(shop.length_unit, given)
    if not form.is_valid():
        return {"form": form, "is_asked": bool(asked)}
    data = form.cleaned_data
    cet = carbon_equivalent(heat.composition, "CET")
    advised = preheat_advice(cet, form.wall_mm, data["hydrogen"], data["heat_input"])
    words = ""
    if advised.temperature_c is not None:
        celsius = advised.temperature_c
        in_shop = celsius * 9 / 5 + 32 if shop.temperature_unit == "F" else celsius
        words = f"{in_shop:.0f} °{shop.temperature_unit}"
    return {"form": form, "is_asked": bool(asked), "temperature": words, "reason": advised.reason}


@for_roles()
@require_safe
def certificate(request: HttpRequest, pk: int) -> FileResponse:
    """The certificate of a heat as it was filed, to be kept or opened elsewhere."""
    heat = heat_at(request, pk)
    if not files.is_kept(heat.certificate):
        raise refuse("page_not_found")
    path = files.path_of(heat.certificate)
    kind = kind_of(path.read_bytes())
    return FileResponse(
        path.open("rb"),
        as_attachment=True,
        filename=f"{heat.number} certificate.{SUFFIXES.get(kind, 'bin')}",
        content_type=kind or "application/octet-stream",
    )


@for_roles()
@require_safe
def labels(request: HttpRequest) -> HttpResponse:
    """A label for each heat that the list shows, to print and stick on."""
    found, _wanted = _asked_for(request)
    page = page_of(request, found.order_by("number"), LABELS)
    rows = [{"code": heat.number, "qr": square(heat.number), "heat": heat} for heat in page]
    return show(request, "heat_labels.html", {"page": page, "rows": rows})


@for_roles()
@require_safe
def labels_of(request: HttpRequest, pk: int) -> HttpResponse:
    """A label for one heat, and for each piece that was cut from it."""
    heat = heat_at(request, pk)
    page = page_of(request, heat.pieces.order_by("pk"), LABELS)
    rows: list[dict[str, Any]] = [{"code": heat.number, "qr": square(heat.number), "heat": heat}]
    rows += [{"code": one.code, "qr": square(one.code), "heat": heat, "what": one.what} for one in page]
    return show(request, "heat_labels.html", {"page": page, "rows": rows, "heat": heat})
