"""The page of one joint: the one tap for a pass, what was read, fit-up and settings, and its passes."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from housings import gate, queries
from housings.cooling_picture import cooling_picture
from housings.engineering.stations import STATIONS
from housings.joint_cooling import Forecast, forecast, prior_of, priors
from housings.models import Housing
from housings.pages.weld import taps
from housings.pages.weld.deeds import DEEDS, Deed
from housings.pages.weld.passes import passes_taken_back, rows_of_passes
from housings.panels import panels_of_joint
from housings.spine import marks_of
from housings.weld_bench import OF_TEMPERATURE, OF_THE_PERSON
from housings.weld_clock import Axis, line_of
from housings.weld_forms import (
    EachPassForm,
    FitUpForm,
    JointForm,
    PassForm,
    SettingsForm,
    TakeBackForm,
)
from housings.weld_queries import JointState
from housings.weld_rules import standing_joints
from housings.weld_words import passes_words, procedure_rows, settings_words
from shopqc.doors import actor_at, for_roles, may, person_at, run
from shopqc.refusals import Reason, Refused, refuse

# That the arc is on is what the page itself says.
OF_ARCS = frozenset({"arc_on_joint"})
OF_FIT_UP = frozenset({"fit_up_missing", "fit_up_refused"})


@dataclass
class Sent:
    """A form that was sent and not taken: shown again as it was."""

    do: str
    deed: Deed
    form: JointForm
    reasons: Sequence[Reason] = ()
    status: int = 422


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def joint(request: HttpRequest, serial: str, code: str) -> HttpResponse:
    """Show a joint, or do one thing at it and show it again."""
    row = queries.housing_by_serial(actor_at(request), serial)
    if row.serial != serial and request.method != "POST":
        return redirect("joint", serial=row.serial, code=code)
    situation = gate.Situation(row)
    state = _state(situation, code)
    if state is None:
        raise refuse("not_found", what=_("joint"), name=code[:40])
    if request.method != "POST":
        return _shown(request, situation, state, None)
    do = request.POST.get("do", "")
    if do not in DEEDS or (do == "simulate" and not settings.SIMULATED_GAUGE):
        raise refuse("field_wrong", "/do", why=_("This page does not know what to do; load it again."))
    deed, now = DEEDS[do], timezone.now()
    form = deed.form(request.POST, auto_id=f"{deed.part}_%s")
    if form.is_valid() and do == "temperature" and not form.cleaned_data["value"]:
        form.add_error("value", _("Type what the thermometer says."))
    if form.is_valid() and isinstance(form, SettingsForm) and form.says_nothing:
        form.add_error("amps", _("Type at least one figure, or the number of the filler or gas."))
    if not form.is_valid():
        return _shown(request, situation, state, Sent(do, deed, form))
    try:
        answer = run(
            request, deed.operation, form, housing=row.serial, joint=code, **deed.inputs(form, state, now)
        )
    except Refused as refused:
        form.say(reason for reason in refused.reasons if reason.field)
        sent = Sent(do, deed, form, refused.reasons, refused.status)
        fresh = gate.Situation(queries.housing_by_serial(actor_at(request), serial))
        return _shown(request, fresh, _state(fresh, code) or state, sent)
    _say(request, deed, answer)
    if form.cleaned_data["back"] == JointForm.CLOCK:
        return redirect("bench-clock")
    return redirect("joint", serial=row.serial, code=code)


def _state(situation: gate.Situation, code: str) -> JointState | None:
    return next((one for one in situation.kept(standing_joints) if one.joint.code == code), None)


def _say(request: HttpRequest, deed: Deed, answer: Mapping[str, Any]) -> None:
    messages.success(request, deed.said(answer))
    if answer.get("nonconformance"):
        facts = {
            "what": " ".join(one["what"] for one in answer["outside"]),
            "number": answer["nonconformance"],
        }
        messages.warning(
            request, _("Outside the procedure. %(what)s Nonconformance %(number)s was opened.") % facts
        )


def _shown(
    request: HttpRequest, situation: gate.Situation, state: JointState, sent: Sent | None
) -> HttpResponse:
    now, actor = timezone.now(), actor_at(request)
    repair, reasons = _reasons(situation, state, gate.NextPass(state.joint, actor, now))
    cools = None
    if state.joint.is_multipass:
        cools = forecast(
            state.passes, state.temperatures, state.procedure, prior_of(state.joint.kind, priors())
        )
    axis = Axis(now.replace(second=0, microsecond=0))
    against = [one for one in reasons if one.code not in OF_TEMPERATURE | OF_ARCS]
    # What only this person may not do stands below; the joint itself may be ready.
    of_joint = [one for one in against if not one.code.startswith(OF_THE_PERSON)]
    line = line_of(state, of_joint, cools, axis)
    offered = state.is_here and may(request, "record_pass")
    tap = taps.tap_of(state, line.stand, person_at(request).stamp, now) if offered else None
    context = {
        "housing": situation.housing,
        "stations": marks_of(situation.visits),
        "state": state,
        "joint": state.joint,
        "station": _(STATIONS[state.joint.station].name),
        "cautions": STATIONS[state.joint.station].cautions,
        "line": line,
        "axis": axis,
        "passes_words": passes_words(state),
        "repair": repair,
        "sentences": [one.sentence for one in against],
        "temperature_sentences": [one.sentence for one in reasons if one.code in OF_TEMPERATURE],
        "offered": offered,
        "tap": tap,
        "done_words": taps.done_words(state),
        "all_left": state.missing if not state.joint.is_multipass and state.missing > 1 else 0,
        "all_do": taps.all_of(state, now),
        "crayons": {side: taps.one_crayon(state, side) for side in ("above", "below")},
        "asks_temperature": bool(taps.crayons(state)),
        "each_pass": state.settings.each_pass if state.settings else "",
        "may_simulate": settings.SIMULATED_GAUGE,
        "may_ask_each_pass": may(request, "ask_each_pass"),
        "mine": state.arc is not None and state.arc.welder.stamp == person_at(request).stamp,
        "picture": _picture(state, cools, now),
        "is_simulated": any(one.simulated for one in state.temperatures),
        "passes": rows_of_passes(state, now),
        "taken_back": passes_taken_back(state.joint),
        "procedure_rows": procedure_rows(state.procedure) if state.procedure else [],
        "settings_words": settings_words(state.settings),
        "panels": _panels(request, situation, state),
        "forms": _forms(situation.housing, state, repair, sent),
        "refused": sent.deed.refused if sent else "",
        "refused_because": _not_said(sent, against),
        "sent": sent.deed.part if sent else "",
        "asks_sure": sent is not None and any(one.code == "unit_asked" for one in sent.reasons),
        "asks_fit_up": any(one.code in OF_FIT_UP for one in reasons),
        "looks_first": any(one.code == "root_not_seen" for one in reasons),
        "to_fit": state.joint.is_multipass and not state.passes,
    }
    return render(request, "housings/weld/joint.html", context, status=sent.status if sent else 200)


def _reasons(situation: gate.Situation, state: JointState, step: gate.NextPass) -> tuple[int, list[Reason]]:
    """Which repair the next pass belongs to, and every reason against it."""
    reasons = gate.ask(situation, step)
    begun = next((one.facts["number"] for one in reasons if one.code == "repair_open"), 0)
    if begun:
        again = gate.NextPass(step.joint, step.by, step.at, repair=int(begun))
        reasons = gate.ask(situation, again)
    return int(begun), list(reasons)


def _picture(state: JointState, cools: Forecast | None, now: datetime.datetime) -> Any:
    """How it cools; nothing once it has cooled down or its housing has gone on."""
    if cools is None or not state.is_here or now - cools.ended_at > datetime.timedelta(hours=2):
        return None
    return cooling_picture(state, cools, now)


def _panels(request: HttpRequest, situation: gate.Situation, state: JointState) -> list[str]:
    own = {"housing": situation.housing, "joint": state.joint, "actor": actor_at(request)}
    return [
        render_to_string(panel.template, {**own, **panel.context}, request)
        for panel in panels_of_joint(situation, state.joint, actor_at(request))
    ]


def _forms(housing: Housing, state: JointState, repair: int, sent: Sent | None) -> dict[str, JointForm]:
    """Every form of the page, by its part; the one that was sent as it was sent."""
    unit = state.procedure.temperature_unit if state.procedure else "F"
    last = state.last_pass
    own = {"seen_position": housing.record_position, "number": state.next_number, "repair": repair}
    figures = state.settings.figures if state.settings else {}
    supplies = {
        name: getattr(state.settings, name).number
        for name in ("filler", "gas")
        if state.settings and getattr(state.settings, name)
    }
    place = state.procedure.measured_at if state.procedure else "stop"
    if place == "stop" and not state.passes:
        place = "beside"  # before the first pass there is no place where one stopped
    made: dict[str, JointForm] = {
        "tap": PassForm(initial=own, auto_id="tap_%s"),
        "read": PassForm(initial={**own, "unit": unit, "place": place}, auto_id="read_%s"),
        "drop_arc": JointForm(initial=own, auto_id="drop_arc_%s"),
        "settings": SettingsForm(initial={**own, **figures, **supplies}, auto_id="settings_%s"),
        "fit_up": FitUpForm(
            initial={**own, **(state.fit_up.figures if state.fit_up else {})}, auto_id="fit_up_%s"
        ),
        "take_back": TakeBackForm(
            initial={**own, "number": last.number if last else None}, auto_id="take_back_%s"
        ),
        "each_pass": EachPassForm(
            initial={**own, "why": state.settings.each_pass if state.settings else ""}, auto_id="each_pass_%s"
        ),
    }
    if sent is not None:
        made[sent.deed.part] = sent.form
    return made


def _not_said(sent: Sent | None, against: Sequence[Reason]) -> list[tuple[str, str]]:
    """What a refusal says and the page does not say anyway: (id of the field it leads to, the sentence)."""
    if sent is None:
        return []
    beside = []
    for name, errors in sent.form.errors.items():
        for error in errors:
            field = sent.form[name] if name in sent.form.fields else None
            if field is None or field.is_hidden:
                beside.append(("", str(error)))
            else:
                asked = str(field.label).rstrip("?")
                beside.append((field.id_for_label or f"{field.auto_id}_0", f"{asked}: {error}"))
    shown = {one.sentence for one in against} | {sentence for _id, sentence in beside}
    shown |= {str(error) for errors in sent.form.errors.values() for error in errors}
    return beside + [("", one.sentence) for one in sent.reasons if one.sentence not in shown]
