"""Paper about housings: a traveler, many at once, and the pack for the day the system is down."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from housings import paper_jobs, queries, traveler
from housings.models import Housing, PaperJob
from housings.paper_jobs import IN_THE_REQUEST, MOST_AT_ONCE
from shopqc import paper
from shopqc.doors import actor_at, for_roles
from shopqc.forms import KeyedForm
from shopqc.people import ENGINEER, OWNER, QC_LEAD, role_words
from shopqc.refusals import refuse
from shopqc.rules import the_shop

DESK = (QC_LEAD, ENGINEER, OWNER)
LOOK_AGAIN = "3"  # seconds until a page that waits asks again


@for_roles()
@require_safe
def traveler_pdf(request: HttpRequest, serial: str) -> HttpResponse:
    """The traveler of one housing, to print; with ``sheets`` the measuring sheets behind it."""
    housing = queries.housing_by_serial(actor_at(request), serial)
    sheets = bool(request.GET.get("sheets"))
    content = traveler.render(housing, the_shop(), timezone.now(), sheets=sheets)
    return _pdf(content, f"traveler-{housing.serial}.pdf")


@for_roles()
@require_safe
def travelers_pdf(request: HttpRequest) -> HttpResponse:
    """The travelers of several housings in one file; where they are many, how to have them made."""
    housings = _chosen(request, request.GET)
    sheets, fresh_sheets = bool(request.GET.get("sheets")), bool(request.GET.get("fresh_sheets"))
    if len(housings) > IN_THE_REQUEST:
        context = {"housings": housings, "form": KeyedForm(), "sheets": sheets, "fresh_sheets": fresh_sheets}
        return render(request, "housings/travelers.html", context)
    printing = traveler.Printing(the_shop(), timezone.now())
    parts = [printing.traveler(housing, sheets=sheets) for housing in housings]
    return _pdf(paper.joined(parts, fresh_sheets=fresh_sheets, title=_("Travelers")), "travelers.pdf")


@for_roles()
@require_POST
def travelers_ask(request: HttpRequest) -> HttpResponse:
    """Have many travelers made by the worker."""
    housings = _chosen(request, request.POST)
    form = KeyedForm(request.POST)
    form.is_valid()
    job = paper_jobs.ask_for_travelers(
        [housing.serial for housing in housings],
        name=f"{actor_at(request).stamp} {form.key}",
        sheets=bool(request.POST.get("sheets")),
        fresh_sheets=bool(request.POST.get("fresh_sheets")),
        by=actor_at(request).stamp,
        at=timezone.now(),
    )
    return redirect("travelers-made", pk=job.pk)


@for_roles()
@require_safe
def travelers_made(request: HttpRequest, pk: int) -> HttpResponse:
    """How far it is; then the file."""
    job = _job(pk, PaperJob.TRAVELERS)
    return _waiting(request, "housings/travelers.html", {"job": job}, [job])


@for_roles()
@require_safe
def travelers_file(request: HttpRequest, pk: int) -> HttpResponse:
    return _file(_job(pk, PaperJob.TRAVELERS), "travelers.pdf")


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def paper_pack(request: HttpRequest) -> HttpResponse:
    """The newest pack with its age; the desk can have one made now."""
    at, may_make = timezone.now(), bool(set(actor_at(request).roles) & set(DESK))
    if request.method == "POST":
        if not may_make:
            raise refuse("page_not_yours", roles=role_words(DESK))
        form = KeyedForm(request.POST)
        form.is_valid()
        stamp = actor_at(request).stamp
        paper_jobs.ask_for_pack(name=f"{stamp} {form.key}", by=stamp, at=at)
        messages.success(request, _("The paper pack is being made; this page says when it is there."))
        return redirect("paper-pack")
    packs = paper_jobs.packs()
    newest = packs[0] if packs else None
    unmade = paper_jobs.pack_being_made()
    context = {
        "packs": packs,
        "newest": newest,
        "is_old": bool(newest and newest.made_at and at - newest.made_at > paper_jobs.OLD_AFTER),
        "unmade": unmade,
        "failed": bool(unmade and unmade.state == PaperJob.ASIDE),
        "form": KeyedForm() if may_make else None,
        "at": at,
    }
    return _waiting(request, "housings/paper_pack_page.html", context, [unmade] if unmade else [])


@for_roles()
@require_safe
def paper_pack_file(request: HttpRequest, pk: int) -> HttpResponse:
    job = _job(pk, PaperJob.PACK)
    made = timezone.localtime(job.made_at).strftime("%Y-%m-%d") if job.made_at else ""
    return _file(job, f"paper-pack-{made}.pdf")


def _chosen(request: HttpRequest, given: QueryDict) -> list[Housing]:
    """The housings that were named, in the order in which they were."""
    typed = list(dict.fromkeys(given.getlist("serial")))
    if not typed:
        raise refuse("field_missing", "serial")
    if len(typed) > MOST_AT_ONCE:
        why = _("At most %(most)s travelers are printed at once.") % {"most": MOST_AT_ONCE}
        raise refuse("field_wrong", "serial", why=why)
    serials = list(dict.fromkeys(queries.serial_of(one, "serial") for one in typed))
    found = {row.serial: row for row in queries.housings_for(actor_at(request)).filter(serial__in=serials)}
    for serial in serials:
        if serial not in found:
            raise refuse("not_found", "serial", what=_("housing"), name=serial)
    return [found[serial] for serial in serials]


def _job(pk: int, kind: str) -> PaperJob:
    job = PaperJob.objects.filter(pk=min(pk, 2**63 - 1), kind=kind).first()
    if job is None:
        raise refuse("not_found", what=_("paper"), name=str(pk)[:12])
    return job


def _waiting(
    request: HttpRequest, template: str, context: dict[str, Any], jobs: list[PaperJob]
) -> HttpResponse:
    """A page that asks again by itself while something is being made."""
    response = render(request, template, context)
    if any(job.state in {PaperJob.WAITING, PaperJob.TAKEN} for job in jobs):
        response["Refresh"] = LOOK_AGAIN
    return response


def _file(job: PaperJob, name: str) -> HttpResponse:
    if not job.is_made:
        raise refuse("not_found", what=_("file"), name=name)
    try:
        return _pdf(paper_jobs.file_of(job), name)
    except (OSError, ValueError):
        raise refuse("not_found", what=_("file"), name=name) from None


def _pdf(content: bytes, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}"'
    return response
