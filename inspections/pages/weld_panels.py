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
        url = reverse("weld-test", args=[situation.housing.serial, due.state.joint.code])
        to_do = NextStep(url, _("Test: %(joint)s") % {"joint": due.state.joint.name})
    return [Panel("inspections/panel_weld_tests.html", {"lines": lines}, HERE, to_do)]


def looks_here(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """Where it is welded: the welds that nobody has looked at since their last pass."""
    here = queries.visit_here(situation.visits)
    if here is None or not here.at.welds:
        return []
    record = situation.kept(WeldRecord)
    due = [
        state
        for state in record.states
        if state.joint.station == here.station
        and state.passes
        and not state.missing
        and finished(record, state).against is not None
    ]
    if not due or actor.reasons_against("look_at_weld"):
        return []
    to_do = None
    if WELDS_LOOKED_AT in situation.in_use:
        url = reverse("weld-look", args=[situation.housing.serial, due[0].joint.code])
        to_do = NextStep(url, _("Look at: %(joint)s") % {"joint": due[0].joint.name})
    return [Panel("inspections/panel_weld_looks.html", {"due": due}, HERE, to_do)]
