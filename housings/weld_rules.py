"""What the housings themselves say against a weld pass, and against leaving a station that welds."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from django.utils import formats, timezone
from django.utils.translation import gettext_lazy as _

from housings import weld_queries, welder_rules
from housings.engineering.joints import joints_of
from housings.engineering.procedures import Procedure, procedure_from, reaches
from housings.engineering.release import FRESH, Release, Said
from housings.engineering.spec import spec_from
from housings.engineering.stations import STATIONS
from housings.models import Arc, JointTemperature, Visit
from housings.rules import reasons_of_away, reasons_of_holds, reasons_of_state
from housings.weld_queries import JointState
from shopqc.models import Person
from shopqc.people import Actor
from shopqc.refusals import Reason, register
from shopqc.rules import Rule
from shopqc.rules import register as register_rules

if TYPE_CHECKING:
    from housings.gate import NextPass, Situation

PROCEDURE_FOLLOWED, FIT_UP_ACCEPTED, ARC_RELEASED, WELDS_RECORDED = (
    "procedure_followed",
    "fit_up_accepted",
    "arc_released",
    "welds_recorded",
)
MEASURED_AT = {
    "stop": _("where the last pass stopped"),
    "start": _("where the last pass began"),
    "beside": _("beside the weld"),
    "away": _("3 in from the weld"),
    "other": _("somewhere else"),
}

register_rules(
    Rule(
        PROCEDURE_FOLLOWED,
        _("No joint is welded without a procedure that reaches it."),
        _("Not every joint was welded by a procedure on file."),
        from_start=False,
    ),
    Rule(
        FIT_UP_ACCEPTED,
        _("The fit-up of a joint of several passes is accepted before its root is welded."),
        _("The fit-up before the root was not recorded throughout."),
        from_start=False,
    ),
    Rule(
        ARC_RELEASED,
        _("Each arc starts only after a temperature that the procedure allows was read at its place."),
        _("The temperature before each arc was not recorded throughout."),
        from_start=False,
    ),
    Rule(
        WELDS_RECORDED,
        _("A station that welds is left only after every joint welded there has its passes on record."),
        _("Weld passes were not recorded throughout."),
        from_start=False,
    ),
)
register(
    409,
    {
        "weld_elsewhere": _("%(joint)s is welded at %(station)s, and the housing is not there."),
        "weld_complete": _("%(joint)s has all of its %(count)s welds already."),
        "arc_on_joint": _(
            "The arc is on at %(joint)s since %(since)s (stamp %(stamp)s). Record that pass first, or take "
            "the arc back if it was begun by mistake."
        ),
        "arc_elsewhere": _(
            "Stamp %(stamp)s has the arc on at %(joint)s of %(serial)s since %(since)s. Record that pass "
            "first, or take the arc back if it was begun by mistake."
        ),
        "arc_on_leaving": _("The arc is on at %(joint)s since %(since)s (stamp %(stamp)s)."),
        "procedure_missing": _(
            "%(joint)s has no procedure. The QC lead or the engineer publishes one that reaches it, "
            "or assigns one."
        ),
        "procedure_short": _("Procedure %(procedure)s does not reach %(joint)s: %(why)s"),
        "fit_up_missing": _("Record the fit-up of %(joint)s before its root: nobody has looked at it yet."),
        "fit_up_refused": _(
            "The fit-up of %(joint)s is not accepted: %(why)s Put it right and record it again."
        ),
        "heat_not_read": _(
            "Read the temperature of %(joint)s %(where)s first; none is on record since its last pass."
        ),
        "heat_read_elsewhere": _(
            "%(joint)s was read %(read_where)s; its procedure asks for it %(where)s. Read it there."
        ),
        "heat_too_old": _(
            "The last reading of %(joint)s is of %(at)s, more than %(minutes)s minutes ago. Read it again."
        ),
        "too_cold": _("%(joint)s is too cold (%(read)s). Reheat it to at least %(least)s and read it again."),
        "too_hot": _("%(joint)s is too hot (%(read)s). Wait until it is at most %(most)s and read it again."),
        "low_end_open": _(
            "That %(joint)s is not below %(least)s is not shown. Read it, or use a crayon of at least that "
            "temperature which melts."
        ),
        "high_end_open": _(
            "That %(joint)s is not above %(most)s is not shown. Read it, or use a crayon of at most that "
            "temperature which does not melt."
        ),
        "welds_missing": _("%(joint)s has %(done)s of at least %(least)s passes on record."),
    },
)


def standing_joints(situation: Situation) -> list[JointState]:
    """Every joint of the housing as it stands; read once however often it is asked (`Situation.kept`)."""
    return weld_queries.joint_states(situation.housing, situation.visits, situation.weld_passes)


def reasons_against_pass(situation: Situation, step: NextPass) -> list[Reason]:
    """Why the next pass of a joint may not begin, as far as housing, joint, welder and temperature go."""
    states = situation.kept(standing_joints)
    state = next(one for one in states if one.joint.code == step.joint.code)
    reasons = reasons_of_state(situation.housing) + reasons_of_holds(situation.holds)
    reasons += reasons_of_away(situation.visits) + reasons_of_place(state)
    reasons += reasons_of_arcs(state, step.by, step.at)
    reasons += reasons_of_joint(
        state,
        step.at,
        situation.in_use,
        step.temperatures,
        repair=step.repair,
        end_known_only=step.is_over,
    )
    if step.by.person is not None:
        person = Person.objects.get(pk=step.by.person)
        revision = state.revision_for(step.repair)
        # That there is no procedure is said once, by the rule that asks for one.
        if revision is not None or PROCEDURE_FOLLOWED not in situation.in_use:
            reasons += welder_rules.reasons_against_welder(
                person, revision, state.joint, step.at, situation.in_use
            )
    return reasons


def reasons_of_place(state: JointState) -> list[Reason]:
    """Whether the housing is where the joint is welded."""
    if state.visit is not None:
        return []
    station = _(STATIONS[state.joint.station].name)
    return [Reason("weld_elsewhere", {"joint": state.joint.name, "station": station})]


def reasons_of_arcs(state: JointState, by: Actor, at: datetime.datetime) -> list[Reason]:
    """Whether somebody welds this joint now, or this welder another one; a moment before that is free."""
    if state.arc is not None and at >= state.arc.begun_at:
        return [Reason("arc_on_joint", _arc_facts(state.arc, at))]
    if by.person is None:
        return []
    others = Arc.objects.filter(welder=by.person, ended_at=None, begun_at__lte=at)
    return [
        Reason("arc_elsewhere", {**_arc_facts(arc, at), "serial": arc.housing.serial_grouped})
        for arc in others.exclude(joint=state.joint.pk).select_related("joint", "housing", "welder")
    ]


def _arc_facts(arc: Arc, at: datetime.datetime | None = None) -> dict[str, object]:
    return {"joint": arc.joint.name, "since": clock(arc.begun_at, at), "stamp": arc.welder.stamp}


def reasons_of_joint(
    state: JointState,
    at: datetime.datetime,
    in_use: Collection[str],
    temperatures: Sequence[JointTemperature] = (),
    *,
    repair: int = 0,
    end_known_only: bool = False,
) -> list[Reason]:
    """What the joint itself says against its next pass: procedure, fit-up, temperature. It asks no database,
    so that a page of many joints may ask it for each.
    """
    joint = {"joint": state.joint.name}
    reasons = []
    if state.is_full and not repair:
        reasons.append(Reason("weld_complete", {**joint, "count": state.joint.count}))
    if PROCEDURE_FOLLOWED in in_use:
        reasons += _of_procedure(state, repair)
    if FIT_UP_ACCEPTED in in_use and state.joint.is_multipass and not state.passes and not repair:
        if state.fit_up is None:
            reasons.append(Reason("fit_up_missing", joint))
        elif not state.fit_up.accepted:
            why = " ".join(one["what"] for one in state.fit_up.outside)
            reasons.append(Reason("fit_up_refused", {**joint, "why": why}))
    if ARC_RELEASED in in_use:
        found = state.release(at, temperatures, repair=repair, end_known_only=end_known_only, read_by=at)
        reasons += reasons_of_release(state, found, at, repair)
    return reasons


def _of_procedure(state: JointState, repair: int) -> list[Reason]:
    revision = state.revision_for(repair)
    if revision is None:
        return [Reason("procedure_missing", {"joint": state.joint.name})]
    against = reaches(procedure_from(revision.data), state.joint)
    facts = {"procedure": str(revision), "joint": state.joint.name, "why": " ".join(against)}
    return [Reason("procedure_short", facts)] if against else []


def reasons_of_release(
    state: JointState, found: Release, at: datetime.datetime, repair: int = 0
) -> list[Reason]:
    """What the temperature says against an arc at a moment, as something to do."""
    revision = state.revision_for(repair)
    if found.is_free or revision is None:
        return []
    procedure = procedure_from(revision.data)
    one = found.by
    facts: dict[str, object] = {
        "joint": state.joint.name,
        "where": _where(procedure, state, repair),
        "least": f"{procedure.preheat_least} °{procedure.temperature_unit}",
        "most": f"{procedure.interpass_greatest} °{procedure.temperature_unit}",
        "minutes": int(FRESH.total_seconds()) // 60,
    }
    if one is not None:
        sign = {"above": ">", "below": "<"}.get(one.crayon, "")
        facts["read"] = f"{sign} {one.value} °{one.unit}".strip()
        facts["read_where"] = MEASURED_AT[one.place]
        facts["at"] = clock(one.done_at, at)
    codes = {
        Said.NOT_READ: "heat_not_read",
        Said.READ_ELSEWHERE: "heat_read_elsewhere",
        Said.TOO_OLD: "heat_too_old",
        Said.TOO_COLD: "too_cold",
        Said.TOO_HOT: "too_hot",
        Said.LOW_END_OPEN: "low_end_open",
        Said.HIGH_END_OPEN: "high_end_open",
    }
    return [Reason(codes[found.said], facts)]


def _where(procedure: Procedure, state: JointState, repair: int) -> object:
    # Before the first pass, of a repair too, there is no place where one stopped.
    if procedure.measured_at == "stop" and not state.done_of(repair):
        return MEASURED_AT["beside"]
    return MEASURED_AT[procedure.measured_at]


def clock(at: datetime.datetime, beside: datetime.datetime | None = None) -> str:
    """Hour and minute of the shop's clock, with the day unless it is that of the moment ``beside``."""
    there = timezone.localtime(at)
    same_day = beside is not None and timezone.localdate(beside) == there.date()
    return formats.date_format(there, "H:i" if same_day else "j M Y, H:i")


def reasons_not_to_take_back(situation: Situation, visit: Visit) -> list[Reason]:
    """Why an arrival at a station that welds stays: a joint was fitted up, read or begun there."""
    if not _welds(situation, visit):
        return []
    joints = situation.kept(standing_joints)
    read = (one.visit_id for state in joints for one in state.temperatures)
    fitted = (state.fit_up.visit_id for state in joints if state.fit_up)
    if visit.pk in {*read, *fitted} or any(state.arc for state in joints):
        return [Reason("visit_not_empty", {"station": visit.at.name})]
    return []


def reasons_against_leaving(situation: Situation, visit: Visit) -> list[Reason]:
    """Why a station that welds may not be left yet: an arc is on, or a joint has not all of its passes."""
    if visit.kind == Visit.MEASURE or not _welds(situation, visit):
        return []
    joints = situation.kept(standing_joints)
    reasons = [Reason("arc_on_leaving", _arc_facts(state.arc)) for state in joints if state.arc]
    if WELDS_RECORDED in situation.in_use:
        reasons += [
            Reason("welds_missing", {"joint": state.joint.name, "done": state.done, "least": state.least})
            for state in joints
            if state.joint.station == visit.station and state.missing
        ]
    return reasons


def _welds(situation: Situation, visit: Visit) -> bool:
    spec = situation.housing.spec
    return any(joint.station == visit.station for joint in joints_of(spec_from(spec.data)))
