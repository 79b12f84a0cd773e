"""What waits for a signature, and signing for one housing."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from housings import gate, queries
from housings.spine import marks_of
from inspections import rules, states, wording
from inspections.certificate import facts
from inspections.forms.certificates import SignForm
from inspections.models.readings import FAIL
from inspections.operations.certificates import reasons_not_to_sign, sign_off
from inspections.pages.showing import attempt, page_of, sentences, show
from inspections.queries import Measured
from inspections.standing import Standing
from inspections.waiting import situations_of, waiting_for_sign_off
from shopqc.devices import device_of
from shopqc.doors import actor_at, for_roles, may, person_at
from shopqc.people import ENGINEER, OWNER, QC_LEAD
from shopqc.rules import the_shop
from shopqc.secret import Secret

ROWS = 10


@for_roles(QC_LEAD, ENGINEER, OWNER)
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    """Housings whose stations are done, each with what is in the way of a signature."""
    who = person_at(request)
    page = page_of(request, waiting_for_sign_off(actor_at(request)), count=ROWS)
    rows = [
        {
            "housing": situation.housing,
            "reasons": sentences(reasons_not_to_sign(situation, who.stamp, who.pk)),
            "measured": sum(s.reading is not None for s in situation.kept(Measured).standings.values()),
        }
        for situation in situations_of(list(page.object_list), the_shop())
    ]
    return show(request, "sign_offs.html", {"page": page, "rows": rows, "may_sign": may(request, "sign_off")})


@for_roles(QC_LEAD, ENGINEER, OWNER)
@require_http_methods(["GET", "HEAD", "POST"])
def sign(request: HttpRequest, serial: str) -> HttpResponse:
    """Everything that a signature freezes, what is in its way, and the signature itself."""
    situation = gate.Situation(queries.housing_by_serial(actor_at(request), serial))
    device = device_of(request)
    form = SignForm(device, data=request.POST or None)
    if request.method == "POST" and form.is_valid():
        answer = attempt(
            request,
            form,
            sign_off,
            housing=situation.housing.serial,
            signer=person_at(request).stamp,
            secret=Secret(form.cleaned_data["secret"]),
            by_pin=device is not None,
            device=str(device.pk) if device else "desk",
        )
        if answer and answer["signed"]:
            messages.success(request, _("Signed. The certificate is being made."))
            return redirect("certificate", number=answer["certificate"])
        if answer:
            form.was_wrong(answer["wait_seconds"])
    return _page(request, situation, form)


def _page(request: HttpRequest, situation: gate.Situation, form: SignForm) -> HttpResponse:
    who, actor = person_at(request), actor_at(request)
    measured = situation.kept(Measured)
    against = [*actor.reasons_against("sign_off"), *reasons_not_to_sign(situation, who.stamp, who.pk)]
    frozen = None
    if measured.characteristics:
        frozen = facts.freeze(
            measured, shop=situation.shop, signer=who, number="", code="", at=timezone.now()
        )
    context = {
        "housing": situation.housing,
        "stations": marks_of(situation.visits),
        "form": form,
        "against": sentences(against),
        "frozen": frozen,
        "parts": _parts(measured),
        "exceptions": [
            _row(standing)
            for standing in measured.standings.values()
            if standing.counted and standing.counted.verdict == FAIL
        ],
        "took_part": rules.took_part(who.pk, who.stamp, measured),
    }
    return show(request, "sign_off.html", context, form=form)


def _parts(measured: Measured) -> list[dict[str, Any]]:
    """What was measured, by part of the housing."""
    rows: dict[str, list[dict[str, Any]]] = {part: [] for part in wording.PARTS}
    for characteristic in measured.characteristics:
        standing = measured.standings[characteristic.pk]
        if standing.reading:
            rows.setdefault(characteristic.part, []).append(_row(standing))
    return [
        {"name": wording.PARTS.get(part, part), "rows": found, "enough": all(row["enough"] for row in found)}
        for part, found in rows.items()
        if found
    ]


def _row(standing: Standing) -> dict[str, Any]:
    reading, characteristic = standing.counted, standing.characteristic
    assert reading is not None
    return {
        "name": characteristic.name,
        "figure": wording.figure_with_unit(reading, characteristic),
        "limit": wording.limit_words(reading.lower, reading.upper, characteristic.unit),
        "mark": wording.MARKS.get(standing.state, "open"),
        "word": states.STANDING_WORDS[standing.state],
        "enough": standing.is_enough,
    }
