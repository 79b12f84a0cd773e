"""The page behind the QR of a housing: where it is, what is due, and whether it may go on."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from housings import gate, queries, rules, states
from housings.engineering.stations import STATIONS
from housings.forms import HousingForm, ReleaseForm, StationForm, WhyForm, WorkDoneForm
from housings.models import Hold, Housing, Visit
from housings.operations.holds import hold_housing, release_hold
from housings.operations.orders import cancel_housing
from housings.operations.visits import arrive, leave_station, record_work_done
from housings.panels import HERE, WHOLE, NextStep, Panel, panels_of
from housings.places import ORDERS
from housings.spec_words import spec_words
from housings.spine import marks_of
from housings.whereabouts import is_late, whereabouts
from shopqc.doors import actor_at, for_roles, may, person_at, run
from shopqc.operation import Answer
from shopqc.people import Actor
from shopqc.refusals import Reason, Refused, refuse


@dataclass(frozen=True)
class Step:
    """One thing that can be done to a housing from its page."""

    name: str
    operation: Callable[..., Answer]
    form: type[HousingForm]
    refused: str | Promise
    done: Callable[[Mapping[str, Any]], str]


def _name(station: str) -> str:
    return _(STATIONS[station].name)


def _left(answer: Mapping[str, Any]) -> str:
    following = _(" or ").join(_name(station) for station in answer["next"])
    return _("It has left. Next is %(next)s.") % {"next": following} if following else _("It has left.")


STEPS: Mapping[str, Step] = {
    "arrive": Step(
        "arrive",
        arrive,
        StationForm,
        gettext_lazy("It did not arrive."),
        lambda answer: _("Arrived at %(station)s.") % {"station": _name(answer["station"])},
    ),
    "work_done": Step(
        "record_work_done",
        record_work_done,
        WorkDoneForm,
        gettext_lazy("The work was not recorded."),
        lambda answer: _("Recorded: the work is done."),
    ),
    "leave": Step("leave_station", leave_station, StationForm, gettext_lazy("It may not leave yet."), _left),
    "hold": Step(
        "hold_housing",
        hold_housing,
        WhyForm,
        gettext_lazy("It is not held."),
        lambda answer: _("Held. Nothing goes on until the QC lead releases it."),
    ),
    "release": Step(
        "release_hold",
        release_hold,
        ReleaseForm,
        gettext_lazy("It was not released."),
        lambda answer: _("Hold %(number)s is released.") % {"number": answer["hold"]},
    ),
    "cancel": Step(
        "cancel_housing",
        cancel_housing,
        WhyForm,
        gettext_lazy("It was not cancelled."),
        lambda answer: _("This housing is cancelled; what was ahead of it is dropped."),
    ),
}


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


@dataclass
class Typed:
    """A form that was sent and refused: shown again as it was."""

    do: str
    form: HousingForm
    reasons: Sequence[Reason]
    status: int

    def form_for(self, do: str, hold: int | None = None) -> HousingForm | None:
        if do != self.do or (hold is not None and str(self.form["hold"].value()) != str(hold)):
            return None
        return self.form


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
    form = step.form(request.POST, auto_id=f"{do}_%s")
    if not form.is_valid():
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
    here = queries.visit_here(situation.visits)
    panels = panels_of(situation, actor)
    acts = _acts(request, situation, here)
    to_do = next((panel.to_do for panel in panels if panel.to_do), None)
    main = _main(acts, to_do)
    holds = list(Hold.objects.filter(housing=row))
    said = {sentence for act in acts for sentence in act.sentences}
    context = {
        "housing": row,
        "order": row.order,
        "may_see_orders": person_at(request).has_role(*ORDERS),
        "stations": marks_of(situation.visits),
        "visits": situation.visits,
        "here": here,
        "work_done": [entry for entry in situation.work_done if here and entry.visit_id == here.pk],
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
        "note_form": _note_form(request, row, here, typed),
        "refused": STEPS[typed.do].refused if typed else "",
        "refused_because": _not_said(typed, said),
        "typed_do": typed.do if typed else "",
    }
    return render(request, "housings/housing.html", context, status=typed.status if typed else 200)


def _not_said(typed: Typed | None, said: set[str]) -> list[tuple[str, str]]:
    """What a refusal says and the page does not say anyway: (id of the field it leads to, the sentence)."""
    if typed is None:
        return []
    beside = [
        (typed.form[name].id_for_label if name in typed.form.fields else "", str(error))
        for name, errors in typed.form.errors.items()
        for error in errors
    ]
    shown = said | {sentence for _field, sentence in beside}
    return beside + [("", r.sentence) for r in typed.reasons if r.sentence not in shown]


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
    if recorded or not here.at.moves_metal or here.kind == Visit.MEASURE:
        return [leave]
    held = tuple(rules.reasons_of_holds(situation.holds))
    return [_act(request, row, "work_done", here, held), leave]


WORDS = {
    "arrive": (gettext_lazy("May it go to %(station)s?"), gettext_lazy("Arrive at %(station)s")),
    "work_done": (gettext_lazy("Is the work done?"), gettext_lazy("The work is done")),
    "leave": (gettext_lazy("May it leave?"), gettext_lazy("Leave %(station)s")),
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
    request: HttpRequest, row: Housing, here: Visit | None, typed: Typed | None
) -> HousingForm | None:
    """The work with a note, or done once more: not at the thumb."""
    if here is None or not here.at.moves_metal or not may(request, "record_work_done"):
        return None
    form = typed.form_for("work_done") if typed else None
    return form or WorkDoneForm(initial=_initial(row, station=here.station), auto_id="work_done_%s")


def _release_form(request: HttpRequest, row: Housing, hold: Hold, typed: Typed | None) -> HousingForm | None:
    if hold.released_at or not may(request, "release_hold"):
        return None
    form = typed.form_for("release", hold.number) if typed else None
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
