"""The page behind the QR of a housing: where it is, what is due, and whether it may go on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from housings import gate, queries, rules, states
from housings.engineering.stations import STATIONS
from housings.engineering.work_details import fields_of
from housings.forms import HousingForm, ReleaseForm, WhyForm, WorkDoneForm
from housings.models import Hold, Housing, Visit, WorkDone
from housings.pages.away import away_parts, units_of
from housings.pages.steps import STEPS, Typed
from housings.panels import HERE, WHOLE, NextStep, Panel, panels_of
from housings.places import ORDERS
from housings.spec_words import spec_words
from housings.spine import marks_of
from housings.whereabouts import is_late, whereabouts
from housings.work_words import documents_of, work_words
from shopqc.doors import actor_at, for_roles, may, person_at, run
from shopqc.people import Actor
from shopqc.refusals import Reason, Refused, refuse
from shopqc.uploads import KeepsDocuments, file_documents


@dataclass(frozen=True)
class Act:
    """A step that comes next: its question, its button, and every reason against it.

    ``is_offered``: whether the person may do it; others are told how it stands, without a button.
    """

    do: str
    question: str
    label: str
    form: HousingForm
    reasons: tuple[Reason, ...]
    is_offered: bool

    @property
    def sentences(self) -> list[str]:
        return [reason.sentence for reason in self.reasons]


def _name(station: str) -> str:
    return _(STATIONS[station].name)


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def housing(request: HttpRequest, serial: str) -> HttpResponse:
    """Show a housing, or do one step and show it again."""
    try:
        row = queries.housing_by_serial(actor_at(request), serial)
    except Refused as refused:
        return _no_such_housing(request, refused)
    if row.serial != serial and request.method != "POST":
        return redirect("housing", serial=row.serial)
    if request.method != "POST":
        return _shown(request, row, None)
    do = request.POST.get("do", "")
    if do not in STEPS:
        raise refuse("field_wrong", "/do", why=_("This page does not know what to do; load it again."))
    step = STEPS[do]
    form = step.form(request.POST, request.FILES, auto_id=f"{do}_%s")
    if not form.is_valid() or (isinstance(form, KeepsDocuments) and not file_documents(request, form)):
        return _shown(request, row, Typed(do, form, (), 422))
    try:
        answer = run(request, step.operation, form, housing=row.serial, **form.inputs)
    except Refused as refused:
        form.say(reason for reason in refused.reasons if reason.field)
        row = queries.housing_by_serial(actor_at(request), serial)
        return _shown(request, row, Typed(do, form, refused.reasons, refused.status))
    messages.success(request, step.done(answer))
    return redirect("housing", serial=row.serial)


@for_roles()
@require_safe
def position(request: HttpRequest, serial: str) -> HttpResponseBase:
    """How far the housing's record goes, for a page that looks whether it is still up to date."""
    row = queries.housing_by_serial(actor_at(request), serial)
    answer = get_conditional_response(
        request,
        etag=f'"{row.record_head}"',
        response=JsonResponse({"record_position": row.record_position}),
    )
    assert answer is not None  # it was given one
    answer["ETag"], answer["Cache-Control"] = f'"{row.record_head}"', "private, no-cache"
    return answer


def _no_such_housing(request: HttpRequest, refused: Refused) -> HttpResponse:
    context = {
        "what": _("No housing of this shop"),
        "reasons": refused.sentences,
        "next": _("Compare it with the traveler, character by character, or scan the code once more."),
    }
    return render(request, "shopqc/problem.html", context, status=refused.status)


def _shown(request: HttpRequest, row: Housing, typed: Typed | None) -> HttpResponse:
    actor = actor_at(request)
    situation = gate.Situation(row)
    holds = list(Hold.objects.filter(housing=row))
    situation.holds = [hold for hold in holds if hold.released_at is None]
    here = queries.visit_here(situation.visits)
    panels = panels_of(situation, actor)
    acts = _acts(request, situation, here)
    to_do = next((panel.to_do for panel in panels if panel.to_do), None)
    note_form = _note_form(request, situation, here, typed)
    # Where the work is described, the form that asks for it stands in the sheet, not behind a fold.
    describes = note_form is not None and here is not None and bool(fields_of(here.station))
    is_recorded = here is not None and any(entry.visit_id == here.pk for entry in situation.work_done)
    describes = describes and not is_recorded
    # At a supplier, and where the work is described, the form in the sheet has the one main action.
    main = None if describes or rules.reasons_of_away(situation.visits) else _main(acts, to_do)
    said = {sentence for act in acts for sentence in act.sentences}
    context = {
        "housing": row,
        "order": row.order,
        "may_see_orders": person_at(request).has_role(*ORDERS),
        "stations": marks_of(situation.visits),
        "visits": situation.visits,
        "here": here,
        "work_done": [_work(entry) for entry in situation.work_done if here and entry.visit_id == here.pk],
        "work_elsewhere": [
            _work(entry)
            for entry in situation.work_done
            if entry.details and not (here and entry.visit_id == here.pk)
        ],
        "where": whereabouts(row, situation.visits, situation.holds),
        "is_late": is_late(row, timezone.localdate()),
        "panels_here": _rendered(request, panels, HERE, row, here, actor),
        "panels_whole": _rendered(request, panels, WHOLE, row, here, actor),
        "questions": [act for act in acts if act.do != "work_done"],
        "main_act": main if isinstance(main, Act) else None,
        "main_link": main if isinstance(main, NextStep) else None,
        "sign_reasons": _reasons_not_to_sign(situation, here),
        "spec": spec_words(row.spec.data),
        "holds": [(hold, _release_form(request, row, hold, typed)) for hold in holds],
        "hold_form": _why_form(request, row, "hold", typed),
        "cancel_form": _cancel_form(request, row, typed),
        "note_form": note_form,
        "describes": describes,
        "undo": _undo(request, situation, here),
        **away_parts(request, situation, here, typed),
        "refused": STEPS[typed.do].refused if typed else "",
        "refused_because": _not_said(typed, said),
        "typed_do": typed.do if typed else "",
    }
    return render(request, "housings/housing.html", context, status=typed.status if typed else 200)


def _not_said(typed: Typed | None, said: set[str]) -> list[tuple[str, str]]:
    """What a refusal says and the page does not say anyway: (id of the field it leads to, the sentence)."""
    if typed is None:
        return []
    errors = [(name, str(error)) for name, found in typed.form.errors.items() for error in found]
    beside = [_led_to(typed.form, name, error) for name, error in errors]
    shown = said | {error for _name, error in errors}
    return beside + [("", r.sentence) for r in typed.reasons if r.sentence not in shown]


def _led_to(form: HousingForm, name: str, error: str) -> tuple[str, str]:
    """A sentence about a field with the field's name before it, and the id it leads to."""
    if name not in form.fields:
        return "", error
    field = form[name]
    # Of a choice between buttons the group has no id that can be gone to; its first button has one.
    return field.id_for_label or f"{field.auto_id}_0", f"{field.label}: {error}"


def _acts(request: HttpRequest, situation: gate.Situation, here: Visit | None) -> list[Act]:
    """What the floor does next, the first one first."""
    row = situation.housing
    if row.state in {states.SCRAPPED, states.CANCELLED}:
        return []
    if here is None:
        following = queries.next_visits(situation.visits)
        if following and following[0].at.after_sign_off and row.state != states.SIGNED_OFF:
            return []  # what is in the way is said under "May somebody sign for it?"
        return [
            _act(request, row, "arrive", visit, gate.ask(situation, gate.Start(visit.station)))
            for visit in following
        ]
    leave = _act(request, row, "leave", here, gate.ask(situation, gate.Leave(here)))
    recorded = any(entry.visit_id == here.pk for entry in situation.work_done)
    away = tuple(rules.reasons_of_away(situation.visits))
    if recorded or away or not rules.has_work(here):
        return [leave]
    held = tuple(rules.reasons_of_holds(situation.holds))
    return [_act(request, row, "work_done", here, held), leave]


WORDS = {
    "arrive": (gettext_lazy("May it go to %(station)s?"), gettext_lazy("Arrive at %(station)s")),
    "work_done": (gettext_lazy("Is the work done?"), gettext_lazy("The work is done")),
    "leave": (gettext_lazy("May it leave?"), gettext_lazy("Leave %(station)s")),
    "undo_arrival": (gettext_lazy("Was that a slip?"), gettext_lazy("Take the arrival at %(station)s back")),
    "undo_leaving": (gettext_lazy("Was that a slip?"), gettext_lazy("It has not left %(station)s")),
}


def _act(request: HttpRequest, row: Housing, do: str, visit: Visit, reasons: tuple[Reason, ...]) -> Act:
    question, label = (str(words) % {"station": _name(visit.station)} for words in WORDS[do])
    form = STEPS[do].form(initial=_initial(row, station=visit.station), auto_id=f"{do}_{visit.number}_%s")
    return Act(do, question, label, form, reasons, may(request, STEPS[do].name))


def _main(acts: Sequence[Act], to_do: NextStep | None) -> Act | NextStep | None:
    """The one thing at the thumb: a free step; what has to be done first; else the step that is not free."""
    offered = [act for act in acts if act.is_offered]
    free = next((act for act in offered if not act.reasons), None)
    return free or to_do or next(iter(offered), None)


def _reasons_not_to_sign(situation: gate.Situation, here: Visit | None) -> list[str] | None:
    """What is in the way of a signature, once no station before it is ahead; else ``None``."""
    following = queries.next_visits(situation.visits)
    stations_are_done = here is None and (not following or following[0].at.after_sign_off)
    if situation.housing.state != states.IN_WORK or not stations_are_done:
        return None
    return [reason.sentence for reason in gate.ask(situation, gate.SignOff())]


def _initial(row: Housing, **more: Any) -> dict[str, Any]:
    return {"seen_position": row.record_position, **more}


def _why_form(request: HttpRequest, row: Housing, do: str, typed: Typed | None) -> HousingForm | None:
    if not may(request, STEPS[do].name) or row.state in {states.SCRAPPED, states.CANCELLED}:
        return None
    return (typed and typed.form_for(do)) or WhyForm(initial=_initial(row), auto_id=f"{do}_%s")


def _cancel_form(request: HttpRequest, row: Housing, typed: Typed | None) -> HousingForm | None:
    if row.state not in {states.RELEASED, states.IN_WORK}:
        return None
    return _why_form(request, row, "cancel", typed)


def _note_form(
    request: HttpRequest, situation: gate.Situation, here: Visit | None, typed: Typed | None
) -> HousingForm | None:
    """The work with what it was, or done once more."""
    if here is None or not rules.has_work(here) or not may(request, "record_work_done"):
        return None
    if rules.reasons_of_away(situation.visits):
        return None
    form = typed.form_for("work_done") if typed else None
    initial = _initial(situation.housing, station=here.station, **units_of(situation))
    return form or WorkDoneForm(initial=initial, auto_id="work_done_%s")


def _work(entry: WorkDone) -> dict[str, Any]:
    """One entry of work in words."""
    return {
        "entry": entry,
        "station": _name(entry.station),
        "words": work_words(entry.station, entry.details),
        "documents": documents_of(entry.station, entry.details),
    }


def _undo(request: HttpRequest, situation: gate.Situation, here: Visit | None) -> Act | None:
    """Taking back the last arrival or leaving; offered only while it can be."""
    if here is not None:
        visit, do = here, "undo_arrival"
        reasons = gate.ask(situation, gate.TakeBack(here, actor_at(request)))
    elif last := queries.last_left(situation.visits):
        visit, do = last, "undo_leaving"
        reasons = tuple(rules.reasons_not_to_return(actor_at(request), situation.housing, last))
    else:
        return None
    act = _act(request, situation.housing, do, visit, reasons)
    return act if act.is_offered and not reasons else None


def _release_form(request: HttpRequest, row: Housing, hold: Hold, typed: Typed | None) -> HousingForm | None:
    if hold.released_at or not may(request, "release_hold"):
        return None
    form = typed.form_for("release", hold=hold.number) if typed else None
    return form or ReleaseForm(initial=_initial(row, hold=hold.number), auto_id=f"release_{hold.number}_%s")


def _rendered(
    request: HttpRequest, panels: Sequence[Panel], place: str, row: Housing, here: Visit | None, actor: Actor
) -> list[str]:
    own = {"housing": row, "here": here, "actor": actor}
    return [
        render_to_string(panel.template, {**own, **panel.context}, request)
        for panel in panels
        if panel.place == place
    ]
