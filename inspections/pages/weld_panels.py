"""What acceptance puts on the page of a joint (`settings.JOINT_PANELS`) and of a housing."""

from __future__ import annotations

from collections.abc import Sequence

from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from housings import queries
from housings.gate import Situation
from housings.models import Joint
from housings.panels import HERE, WHOLE, NextStep, Panel
from housings.weld_queries import JointState
from inspections.weld_queries import WeldRecord
from inspections.weld_rules import TESTING_STATION, WELDS_LOOKED_AT, finished
from inspections.weld_waiting import lines_of
from inspections.weld_words import happening_words
from shopqc.people import Actor


def acceptance(situation: Situation, joint: Joint, actor: Actor) -> Sequence[Panel]:
    """What was looked at, tested and repaired on a joint, newest first, and the pages where that is done."""
    record = situation.kept(WeldRecord)
    state = record.state_of(joint.code)
    if state is None:
        return []
    here = queries.visit_here(situation.visits)
    welded = record.last_welded(state) is not None
    line = next((one for one in lines_of(situation, timezone.now()) if one.state is state), None)
    refused = any(not look.accepted for look in record.looks_of(joint))
    refused = refused or any(not test.accepted for test in record.tests_of(joint))
    outside = any(entry.nonconformance for entry in state.passes)
    begun = record.open_repair(joint)
    context = {
        "standing": _standing(record, state) if welded else None,
        "line": line,
        "may_look": here and (welded or begun) and not actor.reasons_against("look_at_weld"),
        "may_test": here and welded and line and not actor.reasons_against("test_weld"),
        "may_repair": here and (refused or outside) and not actor.reasons_against("begin_repair"),
        "happened": [happening_words(one) for one in reversed(record.happenings_of(joint))],
    }
    return [Panel("inspections/weld_acceptance.html", context, WHOLE)]


def _standing(record: WeldRecord, state: JointState) -> tuple[str, str]:
    """How the finished weld stands, as a mark and words."""
    seen = finished(record, state)
    if seen.against is None:
        return "pass", _("looked at and accepted")
    refused = seen.newest is not None and not seen.newest.accepted
    return ("fail" if refused else "open"), seen.against.sentence


def tests_here(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """Where welds are tested: each with its clock, and the first that may be tested now as what is to do."""
    here = queries.visit_here(situation.visits)
    if here is None or here.station != TESTING_STATION:
        return []
    lines = lines_of(situation, timezone.now())
    if not lines:
        return []
    due = next((line for line in lines if line.is_due), None)
    to_do = None
    if due is not None and not actor.reasons_against("test_weld"):
        to_do = _next("weld-test", _("Test: %(joint)s"), situation, due.state)
    return [Panel("inspections/panel_weld_tests.html", {"lines": lines}, HERE, to_do)]


def looks_here(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """Where it is welded: what nobody has looked at since its last pass, and what is to be repaired."""
    here = queries.visit_here(situation.visits)
    if here is None or not here.at.welds:
        return []
    record = situation.kept(WeldRecord)
    due: list[JointState] = []
    to_repair: list[JointState] = []
    for state in record.states:
        against = finished(record, state).against
        if state.joint.station != here.station or against is None:
            continue
        if against.code in {"weld_to_be_repaired", "repair_open"}:
            to_repair.append(state)
        elif against.code != "weld_refused" and state.passes and not state.missing:
            due.append(state)
    may_look, may_repair = (not actor.reasons_against(one) for one in ("look_at_weld", "begin_repair"))
    due, to_repair = due if may_look else [], to_repair if may_repair else []
    if not due and not to_repair:
        return []
    to_do = None
    if to_repair:
        to_do = _next("weld-repair", _("Repair: %(joint)s"), situation, to_repair[0])
    elif WELDS_LOOKED_AT in situation.in_use:
        to_do = _next("weld-look", _("Look at: %(joint)s"), situation, due[0])
    context = {"due": due, "to_repair": to_repair}
    return [Panel("inspections/panel_weld_looks.html", context, HERE, to_do)]


def _next(page: str, label: str, situation: Situation, state: JointState) -> NextStep:
    url = reverse(page, args=[situation.housing.serial, state.joint.code])
    return NextStep(url, label % {"joint": state.joint.name})
