"""Testing a weld by dye penetrant or magnetic particles, and the list of what waits for it."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from inspections.forms.nonconformances import kind_of
from inspections.forms.welds import WeldTestForm
from inspections.operations.weld_tests import test_weld
from inspections.pages.showing import attempt, page_of, sentences, show
from inspections.pages.weld_joint import WeldPage
from inspections.pages.weld_look import after
from inspections.planning.weld_testing import light_remarks
from inspections.waiting_clock import waiting_of
from inspections.weld_rules import tested
from inspections.weld_waiting import TestLine, waiting_for_test
from inspections.weld_words import happening_words
from shopqc.doors import actor_at, for_roles, person_at
from shopqc.operations.documents import file_document, keep
from shopqc.refusals import Refused


@for_roles()
@require_safe
def waiting(request: HttpRequest) -> HttpResponse:
    """Every weld that waits for its test, the one whose hours end first at the top."""
    lines = waiting_for_test(actor_at(request), timezone.now())
    return show(request, "weld_tests.html", {"page": page_of(request, lines)})


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def test(request: HttpRequest, serial: str, code: str) -> HttpResponse:
    """Record the test of one weld; its clock stands above."""
    page = WeldPage(request, serial, code)
    form = WeldTestForm(initial={"method": "PT", "tester": person_at(request).stamp})
    if request.method == "POST":
        form = WeldTestForm(request.POST, request.FILES)
        if form.is_valid():
            inputs = _with_report(request, form)
            answer = inputs and attempt(
                request,
                form,
                test_weld,
                housing=page.housing.serial,
                joint=code,
                accepted=request.POST.get("do") == "accept",
                **inputs,
            )
            if answer:
                return after(request, page, answer)
    at = timezone.now()
    record, state = page.record, page.state
    line = TestLine(page.housing, state, tested(record, state), waiting_of(record, state), at, is_here=True)
    context = {
        **page.context(),
        "form": form,
        "line": line,
        "against": sentences([*page.reasons_against("test_weld"), *page.reason_of_nothing()]),
        "before": [
            (happening_words(one), light_remarks(one.how)) for one in reversed(record.tests_of(state.joint))
        ],
    }
    return show(request, "weld_test.html", context, form=form)


def _with_report(request: HttpRequest, form: WeldTestForm) -> dict[str, Any] | None:
    """What was typed, with the report filed; ``None`` if that was refused, and the form says why."""
    report = form.cleaned_data["report"]
    inputs = form.inputs()
    if report is None:
        return inputs
    try:
        content = report.read()
        kind = kind_of(content)
        sha256 = keep(content, kind)
        # Filed under a key of its own: the test itself has the form's, and another file may be chosen.
        file_document(
            by=actor_at(request),
            at=timezone.now(),
            key=f"report-{sha256}",
            sha256=sha256,
            kind=kind,
            size=len(content),
        )
    except Refused as refused:
        form.status, form.reasons = refused.status, refused.reasons
        form.add_error("report", form.error_class(refused.sentences))
        return None
    return {**inputs, "document": sha256}
