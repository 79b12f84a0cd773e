"""The way of one housing: an extra station put in, a planned one taken out, with the reason."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from housings import gate, queries, states
from housings.engineering.stations import STATIONS
from housings.rules import reasons_of_state
from housings.spine import marks_of, why_visited
from inspections.forms.extra_visits import AddVisitForm, DropVisitForm
from inspections.forms.keyed import KeyedForm
from inspections.operations.extra_visits import add_visit, drop_visit, reasons_not_to_drop
from inspections.pages.showing import attempt, sentences, show
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import refuse


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def way(request: HttpRequest, serial: str) -> HttpResponse:
    """Show what is ahead of a housing; put a station in or take one out."""
    housing = queries.housing_by_serial(actor_at(request), serial)
    situation = gate.Situation(housing)
    ahead = [visit for visit in situation.visits if visit.state == states.AHEAD]
    if request.method != "POST":
        return _shown(request, situation)
    match request.POST.get("do"):
        case "add":
            adding = AddVisitForm(ahead, data=request.POST, auto_id="add_%s")
            if adding.is_valid() and (
                answer := attempt(request, adding, add_visit, housing=housing.serial, **adding.inputs())
            ):
                _say_added(request, answer)
                return redirect("housing-way", serial=housing.serial)
            return _shown(request, situation, adding=adding)
        case "drop":
            dropping = DropVisitForm(data=request.POST)
            if dropping.is_valid() and attempt(
                request,
                dropping,
                drop_visit,
                housing=housing.serial,
                visit=dropping.cleaned_data["visit"],
                why=dropping.cleaned_data["why"],
            ):
                messages.success(request, _("It is out of the way; the record book says why."))
                return redirect("housing-way", serial=housing.serial)
            return _shown(request, situation, dropping=dropping)
    raise refuse("field_wrong", "/do", why=_("This page does not know what to do; load it again."))


def _say_added(request: HttpRequest, answer: dict[str, Any]) -> None:
    names = ", ".join(_(STATIONS[visit["station"]].name) for visit in answer["visits"])
    messages.success(request, _("Put in: %(stations)s.") % {"stations": names})
    for caution in answer["cautions"]:
        messages.warning(request, caution)


def _shown(
    request: HttpRequest,
    situation: gate.Situation,
    *,
    adding: AddVisitForm | None = None,
    dropping: DropVisitForm | None = None,
) -> HttpResponse:
    housing, actor = situation.housing, actor_at(request)
    ahead = [visit for visit in situation.visits if visit.state == states.AHEAD]
    typed: KeyedForm | None = adding or dropping
    against = [*actor.reasons_against("add_visit"), *reasons_of_state(housing)]
    rows = []
    for visit in situation.visits:
        reasons = reasons_not_to_drop(housing, visit, situation.visits)
        form = None
        if visit.state == states.AHEAD and not reasons and not actor.reasons_against("drop_visit"):
            is_typed = dropping is not None and str(dropping["visit"].value()) == str(visit.number)
            form = (
                dropping
                if is_typed
                else DropVisitForm(initial={"visit": visit.number}, auto_id=f"drop_{visit.number}_%s")
            )
        rows.append(
            {
                "visit": visit,
                "name": _(visit.at.name),
                "kind": why_visited(visit),
                "state": states.VISIT_WORDS[visit.state],
                "form": form,
                "stays": [reason.sentence for reason in reasons] if visit.state == states.AHEAD else [],
            }
        )
    context = {
        "housing": housing,
        "stations": marks_of(situation.visits),
        "rows": rows,
        "form": typed,
        "add_form": None if against else adding or AddVisitForm(ahead, auto_id="add_%s"),
        "against": sentences(against),
    }
    return show(request, "way.html", context, form=typed)
