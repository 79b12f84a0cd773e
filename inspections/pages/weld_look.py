"""Looking at a weld: nothing found is one tap, else what it is, how large and where."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from inspections.forms.welds import LookForm, NothingFoundForm
from inspections.operations.weld_looks import look_at_weld
from inspections.pages.showing import attempt, sentences, show
from inspections.pages.weld_joint import WeldPage
from inspections.weld_queries import CAVITY, FINAL, ROOT
from inspections.weld_rules import looks_after
from inspections.weld_words import STAGE_WORDS
from shopqc.doors import for_roles
from shopqc.operation import Answer


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def look(request: HttpRequest, serial: str, code: str) -> HttpResponse:
    """Look at one weld; what is to be looked at now is chosen already."""
    page = WeldPage(request, serial, code)
    stage = stage_now(page)
    nothing = NothingFoundForm(initial={"stage": stage})
    form = LookForm(initial={"stage": stage})
    if request.method == "POST":
        do = request.POST.get("do", "")
        sent: NothingFoundForm | LookForm
        if do == "nothing":
            sent = nothing = NothingFoundForm(request.POST)
        else:
            sent = form = LookForm(request.POST)
        if sent.is_valid():
            more = sent.judged() if isinstance(sent, LookForm) else {}
            hold = sent.cleaned_data.get("hold", False)
            answer = attempt(
                request,
                sent,
                look_at_weld,
                housing=page.housing.serial,
                joint=code,
                stage=sent.cleaned_data["stage"],
                accepted=do != "refuse",
                hold=hold,
                **more,
            )
            if answer:
                return after(request, page, answer)
    against = page.reasons_against("look_at_weld")
    if stage != CAVITY:
        against += page.reason_of_nothing()
    sent_form = form if form.is_bound else nothing
    context = {
        **page.context(),
        "form": form,
        "nothing": nothing,
        "stage_words": STAGE_WORDS[stage],
        "against": sentences(against),
        "refused_nothing": nothing if nothing.is_bound else None,
        "after_pass": page.state.last_pass.number if page.state.last_pass else 0,
    }
    return show(request, "weld_look.html", context, form=sent_form)


def stage_now(page: WeldPage) -> str:
    """What is to be looked at now: a cavity, a root that nobody has seen, or the finished weld."""
    begun = page.record.open_repair(page.state.joint)
    if begun and not page.record.passes_after(page.state, begun.number):
        return CAVITY
    passes = page.record.passes_after(page.state, begun.number if begun else 0)
    seen = [one for one in page.record.looks_of(page.state.joint) if one.stage != CAVITY and one.accepted]
    for number in looks_after(page.state, begun.number if begun else 0):
        if number <= len(passes) and not any(one.record_position > passes[number - 1] for one in seen):
            # Once all of its passes are there, it is the finished weld that is looked at.
            return ROOT if page.state.missing or begun else FINAL
    return FINAL


def after(request: HttpRequest, page: WeldPage, answer: Answer) -> HttpResponse:
    """Where it goes on: to the joint, or to the nonconformance that was opened."""
    number = answer["nonconformance"]
    if number is not None:
        words = _("Refused. Nonconformance %(number)d of this housing is open.") % {"number": number}
        messages.warning(request, words)
        return redirect("nonconformance", serial=page.housing.serial, number=number)
    messages.success(request, _("Accepted: %(joint)s.") % {"joint": page.state.joint.name})
    return redirect("joint", page.housing.serial, page.code)
