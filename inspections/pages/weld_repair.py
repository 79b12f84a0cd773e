"""Beginning the repair of a weld, and what comes after it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from housings.rules import reasons_of_holds
from inspections.forms.welds import RepairForm
from inspections.models import Nonconformance
from inspections.models.nonconformances import REPAIR, REWORK
from inspections.operations.weld_repairs import begin_repair, reasons_of_count, repair_procedures
from inspections.pages.showing import attempt, sentences, show
from inspections.pages.weld_joint import WeldPage
from inspections.weld_words import happening_words
from shopqc.doors import for_roles, person_at
from shopqc.people import ENGINEER
from shopqc.refusals import Reason


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def repair(request: HttpRequest, serial: str, code: str) -> HttpResponse:
    """Say how a weld was dug out; then its cavity is looked at."""
    page = WeldPage(request, serial, code)
    open_now = page.record.open_repair(page.state.joint)
    about, undecided = _about(page)
    form = RepairForm(about, repair_procedures(page.state.joint), data=request.POST or None)
    if request.method == "POST" and form.is_valid():
        answer = attempt(
            request, form, begin_repair, housing=page.housing.serial, joint=code, **form.inputs()
        )
        if answer:
            words = _("Repair %(repair)d is begun. Look at the cavity before it is welded again.") % answer
            messages.success(request, words)
            return redirect("weld-look", page.housing.serial, code)
    context = {
        **page.context(),
        "form": form,
        "about": about,
        "undecided": undecided,
        "open_now": open_now,
        "is_dug": open_now is not None and not page.record.passes_after(page.state, open_now.number),
        "against": sentences(_against(page)),
        "before": [happening_words(one) for one in reversed(page.record.repairs_of(page.state.joint))],
    }
    return show(request, "weld_repair.html", context, form=form)


def _about(page: WeldPage) -> tuple[list[Nonconformance], list[Nonconformance]]:
    """The nonconformances of this joint that may be repaired now, and those that wait for a decision."""
    opened = [one.nonconformance for one in page.record.looks_of(page.state.joint)]
    opened += [one.nonconformance for one in page.record.tests_of(page.state.joint)]
    found = {one.number: one for one in opened if one is not None}
    numbers = {entry.nonconformance for entry in page.state.passes if entry.nonconformance}
    if numbers - found.keys():
        rows = Nonconformance.objects.filter(housing=page.housing, number__in=numbers)
        found |= {one.number: one for one in rows.select_related("disposition")}
    repaired = {one.nonconformance.number for one in page.record.repairs_of(page.state.joint)}
    of_joint = [found[number] for number in sorted(found)]
    decided = [one for one in of_joint if one.decision and one.decision.kind in {REWORK, REPAIR}]
    return [one for one in decided if one.number not in repaired], [one for one in of_joint if one.is_open]


def _against(page: WeldPage) -> list[Reason]:
    """Why no repair is begun here now, whoever decided what."""
    person = person_at(page.request)
    credential = person.credential if person.has_role(ENGINEER) else ""
    number = len(page.record.repairs_of(page.state.joint)) + 1
    return [
        *page.reasons_against("begin_repair"),
        *reasons_of_holds(page.situation.holds),
        *reasons_of_count(page.state.joint.name, number, credential),
    ]
