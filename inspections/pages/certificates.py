"""Certificates: the list, one with what happened to it, its file and facts; revoking, trying again."""

from __future__ import annotations

import json
from typing import Any

from django.contrib import messages
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST, require_safe

from inspections import states
from inspections.certificate.file import file_of
from inspections.certificate.render import public_address
from inspections.forms.certificates import AgainForm, AnswerForm, RevokeForm
from inspections.models import Certificate, IssueJob
from inspections.models.certificates import ANSWERED, ISSUED, QUESTIONED, REVOKED
from inspections.operations.certificates import reissue_certificate, revoke_certificate
from inspections.operations.doubts import answer_question
from inspections.pages.showing import attempt, page_of, sentences, show
from inspections.queries import (
    certificate_by_number,
    certificates_for,
    event,
    jobs_in_trouble,
    status_of,
    under_question,
)
from shopqc.doors import actor_at, for_roles, may
from shopqc.people import ENGINEER, OWNER, QC_LEAD

MARKS = {
    states.GENUINE: "pass",
    states.QUESTIONED: "undecided",
    states.REVOKED: "fail",
    states.WAITING: "open",
}
DESK = (QC_LEAD, ENGINEER, OWNER)


@for_roles(*DESK)
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    """Every certificate, the newest first, and those whose file could not be made."""
    wanted = request.GET.get("find", "").strip()[:60]
    found = certificates_for(actor_at(request)).order_by("-pk")
    if wanted:
        serial = wanted.upper().replace(" ", "").replace("-", "")
        found = found.filter(Q(number__icontains=wanted) | Q(housing__serial__icontains=serial))
    page = page_of(request, found)
    context = {
        "page": page,
        "rows": [_row(certificate) for certificate in page],
        "wanted": wanted,
        "questioned": under_question(actor_at(request)),
        "in_trouble": list(jobs_in_trouble()[:20]) if may(request, "reissue_certificate") else [],
    }
    return show(request, "certificates.html", context)


def _row(certificate: Certificate) -> dict[str, Any]:
    status = status_of(certificate)
    return {
        "certificate": certificate,
        "status": status,
        "mark": MARKS[status],
        "word": states.CERTIFICATE_WORDS[status],
    }


@for_roles(*DESK)
@require_safe
def one(request: HttpRequest, number: str) -> HttpResponse:
    """One certificate."""
    return _page(request, certificate_by_number(actor_at(request), number))


def _page(
    request: HttpRequest,
    certificate: Certificate,
    revoke_form: RevokeForm | None = None,
    again_form: AgainForm | None = None,
    answer_form: AnswerForm | None = None,
) -> HttpResponse:
    job = certificate.job
    actor = actor_at(request)
    issued = event(certificate, ISSUED)
    events = list(certificate.events.all())
    context = {
        **_row(certificate),
        "housing": certificate.housing,
        "signed": json.loads(certificate.sign_off.facts)["signed"],
        "events": [{"event": entry, "words": EVENTS.get(entry.kind, entry.kind)} for entry in events],
        "issued": issued,
        "revoked": event(certificate, REVOKED),
        "questioned": event(certificate, QUESTIONED),
        "address": public_address(certificate.code),
        "job": job,
        "set_aside": job.state == IssueJob.ASIDE,
        "revoke_form": revoke_form or RevokeForm(),
        "again_form": again_form or AgainForm(),
        "answer_form": answer_form or AnswerForm(),
        "against_answering": sentences(actor.reasons_against("answer_question")),
        "against_revoking": sentences(actor.reasons_against("revoke_certificate")),
        "may_try_again": not actor.reasons_against("reissue_certificate"),
    }
    return show(request, "certificate_page.html", context, form=revoke_form or again_form or answer_form)


EVENTS = {
    ISSUED: gettext_lazy("Its file was made; it is issued."),
    QUESTIONED: gettext_lazy("Put under question."),
    ANSWERED: gettext_lazy("Answered for; no longer under question."),
    REVOKED: gettext_lazy("Revoked."),
}


@for_roles(*DESK)
@require_POST
def revoke(request: HttpRequest, number: str) -> HttpResponse:
    """Revoke a certificate."""
    certificate = certificate_by_number(actor_at(request), number)
    form = RevokeForm(request.POST)
    if form.is_valid() and attempt(
        request, form, revoke_certificate, certificate=number, why=form.cleaned_data["why"]
    ):
        messages.success(request, _("Revoked. Its public page says so from now on."))
        return redirect("certificate", number=number)
    return _page(request, certificate, revoke_form=form)


@for_roles(*DESK)
@require_POST
def answer(request: HttpRequest, number: str) -> HttpResponse:
    """Answer for a certificate that is under question."""
    certificate = certificate_by_number(actor_at(request), number)
    form = AnswerForm(request.POST)
    if form.is_valid() and attempt(
        request, form, answer_question, certificate=number, why=form.cleaned_data["why"]
    ):
        messages.success(request, _("It is no longer under question."))
        return redirect("certificate", number=number)
    return _page(request, certificate, answer_form=form)


@for_roles(*DESK)
@require_POST
def again(request: HttpRequest, number: str) -> HttpResponse:
    """Try again to make a file that was set aside."""
    certificate = certificate_by_number(actor_at(request), number)
    form = AgainForm(request.POST)
    if form.is_valid() and attempt(request, form, reissue_certificate, certificate=number):
        messages.success(request, _("The worker tries again."))
        return redirect("certificate", number=number)
    return _page(request, certificate, again_form=form)


@for_roles(*DESK)
@require_safe
def file(request: HttpRequest, number: str) -> HttpResponse:
    """The certificate's PDF."""
    return certificate_file(certificate_by_number(actor_at(request), number))


def certificate_file(certificate: Certificate) -> HttpResponse:
    """The PDF of an issued certificate, as a file to keep."""
    response = HttpResponse(file_of(certificate), content_type="application/pdf")
    response["Content-Disposition"] = f'attachment; filename="certificate {certificate.number}.pdf"'
    return response


@for_roles(*DESK)
@require_safe
def frozen(request: HttpRequest, number: str) -> HttpResponse:
    """The facts as they were frozen, byte for byte."""
    certificate = certificate_by_number(actor_at(request), number)
    response = HttpResponse(certificate.sign_off.facts, content_type="application/json")
    response["Content-Disposition"] = f'attachment; filename="facts {certificate.number}.json"'
    return response
