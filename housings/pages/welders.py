"""Who may weld and test what, until when; one person with qualifications, uses and doubts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from housings.engineering.serials import grouped
from housings.models import ProcessUse, Qualification, WelderDoubt
from housings.operations import welders as operations
from housings.pages.filed import filed
from housings.procedure_words import process_words
from housings.welder_forms import AnswerForm, DoubtForm, EndForm, TestingForm, UseForm, WeldingForm
from housings.welder_standing import standing_of, standings, welded_by
from housings.welder_words import covers_words, lines_of
from shopqc.doors import for_roles, may, person_at, run
from shopqc.forms import KeyedForm
from shopqc.models import Person
from shopqc.operation import Answer
from shopqc.people import ENGINEER, OWNER, QC_LEAD, WORKER, role_words
from shopqc.refusals import Refused, refuse
from shopqc.rules import the_shop
from shopqc.uploads import KeepsDocuments, file_documents

SEE_OTHERS = (QC_LEAD, ENGINEER, OWNER)
USES_SHOWN, WELDED_SHOWN = 30, 25
# By the value of the button: form, operation, whether it is told for whom, and what is said afterwards.
Act = tuple[type[Any], Callable[..., Answer], bool, Any]
ACTS: dict[str, Act] = {
    "qualify": (
        WeldingForm,
        operations.add_qualification,
        True,
        gettext_lazy("The qualification is on file."),
    ),
    "tester": (
        TestingForm,
        operations.add_qualification,
        True,
        gettext_lazy("The qualification is on file."),
    ),
    "use": (UseForm, operations.confirm_process_use, True, gettext_lazy("The use is confirmed.")),
    "doubt": (DoubtForm, operations.doubt_welder, True, gettext_lazy("The doubt counts from now on.")),
    "answer": (AnswerForm, operations.answer_welder_doubt, False, gettext_lazy("The doubt is answered.")),
    "end": (EndForm, operations.end_qualification, False, gettext_lazy("The qualification is withdrawn.")),
}


@for_roles()
@require_safe
def welders(request: HttpRequest) -> HttpResponse:
    """A line for each process and method of each person, what is late first."""
    now = timezone.now()
    people = list(Person.objects.filter(is_active=True).order_by("name", "pk"))
    on, months = timezone.localdate(now), the_shop().continuity_months
    found = standings(people, now)
    lines = sorted(
        (line for standing in found.values() for line in lines_of(standing, on, months)),
        key=lambda line: line.late_first,
    )
    known = {line.person.pk for line in lines}
    context = {
        "lines": lines,
        "on": on,
        "months": months,
        "without": [one for one in people if one.pk not in known and one.has_role(WORKER, QC_LEAD)],
        "sees_others": person_at(request).has_role(*SEE_OTHERS),
        "may_write": may(request, "add_qualification"),
    }
    return render(request, "housings/welders.html", context)


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def welder(request: HttpRequest, stamp: str) -> HttpResponse:
    """One person: what counts now, what is on file, and the forms that change it."""
    person = _person(request, stamp)
    if request.method != "POST":
        return _shown(request, person)
    do = request.POST.get("do", "")
    if do not in ACTS:
        raise refuse("field_wrong", why=_("This page does not know what was meant; load it again."))
    kind, operation, told, said = ACTS[do]
    form = kind(request.POST, request.FILES, auto_id=_auto_id(do, request.POST))
    if not form.is_valid() or (isinstance(form, KeepsDocuments) and not file_documents(request, form)):
        return _shown(request, person, do, form, 422)
    try:
        run(request, operation, form, **({"stamp": person.stamp} if told else {}), **form.inputs)
    except Refused as refused:
        form.say(refused.reasons)
        return _shown(request, person, do, form, refused.status)
    messages.success(request, said)
    return redirect("welder", stamp=person.stamp)


@for_roles()
@require_safe
def qualification_document(request: HttpRequest, pk: int) -> FileResponse:
    """The filed record of a qualification."""
    row = Qualification.objects.filter(pk=pk).select_related("person").first()
    if row is None:
        raise refuse("page_not_found")
    _person(request, row.person.stamp)
    return filed(row.document, f"{row.person.stamp} {row.reference}")


def _person(request: HttpRequest, stamp: str) -> Person:
    """The person with that stamp, if who asks may see them: themselves, or everybody."""
    person = Person.objects.filter(stamp=stamp).first()
    if person is None:
        raise refuse("not_found", what=_("person"), name=stamp[:40])
    if person != person_at(request) and not person_at(request).has_role(*SEE_OTHERS):
        raise refuse("page_not_yours", roles=role_words(SEE_OTHERS))
    return person


def _auto_id(do: str, given: Any) -> str:
    row = given.get("doubt") or given.get("qualification") or ""
    return f"{do}{row if str(row).isalnum() else ''}_%s"


def _shown(
    request: HttpRequest, person: Person, do: str = "", form: KeyedForm | None = None, status: int = 200
) -> HttpResponse:
    now = timezone.now()
    months = the_shop().continuity_months
    rows = list(
        Qualification.objects.filter(person=person).select_related("end").order_by("-tested_on", "-pk")
    )
    doubts = list(WelderDoubt.objects.filter(person=person).order_by("-at"))
    welded = Paginator(welded_by(person), WELDED_SHOWN).get_page(request.GET.get("page"))
    uses = ProcessUse.objects.filter(person=person).order_by("-used_on", "-pk")[:USES_SHOWN]
    context: dict[str, Any] = {
        "person": person,
        "lines": lines_of(standing_of(person, now), timezone.localdate(now), months),
        "months": months,
        "qualifications": [_row(row, do, form) for row in rows],
        "doubts": [_doubt(row, do, form) for row in doubts],
        "uses": [{"use": use, "process": process_words(use.process)} for use in uses],
        "page": welded,
        "welded": [{**row, "grouped": grouped(row["housing__serial"])} for row in welded],
        "may_write": may(request, "add_qualification"),
        "do": do,
    }
    for name in ("qualify", "tester", "use", "doubt"):
        context[f"{name}_form"] = form if do == name else ACTS[name][0](auto_id=f"{name}_%s")
    return render(request, "housings/welder.html", context, status=status)


def _row(row: Qualification, do: str, form: KeyedForm | None) -> dict[str, Any]:
    """A qualification in words, with the form that withdraws it."""
    end = getattr(row, "end", None)
    mine = do == "end" and form is not None and str(form["qualification"].value()) == str(row.pk)
    blank = EndForm(initial={"qualification": row.pk}, auto_id=f"end{row.pk}_%s")
    what = process_words(row.ranges["process"]) if row.kind == row.WELDING else row.ranges["method"]
    return {
        "row": row,
        "what": what,
        "covers": covers_words(row),
        "end": end,
        "form": None if end else (form if mine else blank),
        "open": mine,
    }


def _doubt(row: WelderDoubt, do: str, form: KeyedForm | None) -> dict[str, Any]:
    mine = do == "answer" and form is not None and str(form["doubt"].value()) == str(row.pk)
    blank = AnswerForm(initial={"doubt": row.pk}, auto_id=f"answer{row.pk}_%s")
    return {
        "row": row,
        "about": process_words(row.process) if row.process else _("every process"),
        "form": None if row.answered_at else (form if mine else blank),
    }
