"""What looks, tests and repairs say against a weld pass, against leaving, hiding and signing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from django.utils import formats, timezone
from django.utils.translation import gettext_lazy as _

from housings import gate
from housings import states as housing_states
from housings.engineering.joints import JointKind
from housings.engineering.procedures import procedure_from
from housings.engineering.stations import STATIONS
from housings.models import Visit
from housings.weld_queries import JointState
from inspections.models import Nonconformance, WeldLook, WeldTest
from inspections.models.nonconformances import USE_AS_IS
from inspections.waiting_clock import waiting_of
from inspections.weld_queries import CAVITY, COVERED, FINAL, WeldRecord, was_visited
from shopqc.refusals import Reason, register
from shopqc.rules import Rule
from shopqc.rules import register as register_rules

ROOT_SEEN, WELDS_LOOKED_AT, TEST_WAITED = "root_seen", "welds_looked_at", "test_waited"
TESTING_STATION = "non_destructive_testing"

register_rules(
    Rule(
        ROOT_SEEN,
        _("What the next pass or a later station covers is looked at first, above all the root."),
        _("Whether each root was looked at before it was covered was not recorded throughout."),
        from_start=False,
    ),
    Rule(
        WELDS_LOOKED_AT,
        _("A station is left only when each of its welds was looked at and accepted after its last pass."),
        _("Whether each weld was looked at after its last pass was not recorded throughout."),
        from_start=False,
    ),
    Rule(
        TEST_WAITED,
        _("A weld is tested only once the procedure's hours since it was cold have passed."),
        _("Whether the waiting time before the test of the welds had passed was not recorded throughout."),
        from_start=False,
    ),
)
register(
    409,
    {
        "root_not_seen": _(
            "Look at %(joint)s first: pass %(number)s is not looked at, and the next covers it."
        ),
        "weld_refused": _("%(joint)s was refused. Nonconformance %(number)s waits for a decision."),
        "weld_to_be_repaired": _(
            "%(joint)s was refused and was to be repaired (nonconformance %(number)s); "
            "look at it or test it again afterwards."
        ),
        "weld_not_looked_at": _("%(joint)s is not looked at."),
        "welded_since_look": _("%(joint)s was looked at before it was welded last; look at it again."),
        "weld_not_tested": _("%(joint)s is not tested."),
        "tested_too_early": _(
            "%(joint)s was tested too early: it waits %(hours)s h from when it is cold, until %(until)s "
            "(warm last by %(by)s). Test it again after that."
        ),
        "repair_open": _("Repair %(number)s of %(joint)s is open; finish it first."),
        "repair_not_begun": _("Repair %(number)s of %(joint)s is not begun, or it is finished."),
        "cavity_not_seen": _(
            "Look at the cavity of repair %(number)s of %(joint)s before it is welded again."
        ),
    },
)

OF_SIGNING = frozenset({WELDS_LOOKED_AT, TEST_WAITED})
"""The rules that are asked for when somebody signs."""

HIDDEN_BY: Mapping[str, str] = MappingProxyType({JointKind.RIB: "armor", JointKind.SEAM: "armor"})
"""Which station hides which kind of weld for good: the armor closes the center section over its ribs and the
inside of its seams (common practice, no source)."""

TESTED = frozenset({JointKind.SNOUT})
"""Which kinds of weld are tested where a route has a station for it (common practice, no source)."""


@dataclass(frozen=True)
class Seen:
    """How a weld stands by its newest look or test: what is against it, ``None`` if it is accepted."""

    against: Reason | None
    newest: WeldLook | WeldTest | None = None


def _decision(found: Nonconformance | None) -> str:
    return found.decision.kind if found and found.decision else ""


def _of_refused(one: WeldLook | WeldTest, joint: str) -> Reason | None:
    """What a refused look or test says now that somebody may have decided about it."""
    found = one.nonconformance
    if one.accepted or found is None or _decision(found) == USE_AS_IS:
        return None
    code = "weld_to_be_repaired" if found.decision else "weld_refused"
    return Reason(code, {"joint": joint, "number": found.number})


def finished(record: WeldRecord, state: JointState) -> Seen:
    """How the finished weld of a joint stands by its looks."""
    name = state.joint.name
    if against := _of_open_repair(record, state):
        return Seen(against)
    mine = [one for one in record.looks_of(state.joint) if one.stage == FINAL]
    if not mine:
        return Seen(Reason("weld_not_looked_at", {"joint": name}))
    if (record.last_welded(state) or 0) > mine[-1].record_position:
        return Seen(Reason("welded_since_look", {"joint": name}), mine[-1])
    return Seen(_of_refused(mine[-1], name), mine[-1])


def _of_open_repair(record: WeldRecord, state: JointState) -> Reason | None:
    begun = record.open_repair(state.joint)
    return Reason("repair_open", {"joint": state.joint.name, "number": begun.number}) if begun else None


def tested(record: WeldRecord, state: JointState) -> Seen:
    """How a joint stands by its tests, which wait until its hours have passed."""
    name = state.joint.name
    if against := _of_open_repair(record, state):
        return Seen(against)
    mine = record.tests_of(state.joint)
    if not mine:
        return Seen(Reason("weld_not_tested", {"joint": name}))
    newest = mine[-1]
    waiting = waiting_of(record, state)
    if waiting and newest.accepted and not waiting.is_over(newest.done_at):
        facts = {
            "joint": name,
            "hours": format(waiting.hours, "f"),
            "until": moment_words(waiting.until),
            "by": waiting.heated_by,
        }
        return Seen(Reason("tested_too_early", facts), newest)
    return Seen(_of_refused(newest, name), newest)


def moment_words(at: object) -> str:
    """A moment as a sentence says it, in the shop's zone."""
    return formats.date_format(timezone.localtime(at), "j M Y, H:i T")  # type: ignore[arg-type]


def reasons_against_pass(record: WeldRecord, step: gate.NextPass) -> list[Reason]:
    """Why the next pass of a joint waits: its root or its cavity is to be seen first, or a repair is open."""
    state = record.state_of(step.joint.code)
    if state is None:
        return []
    reasons = _reasons_of_repair(record, state, step.repair)
    if ROOT_SEEN in record.situation.in_use:
        reasons += _reasons_of_root(record, state, step.repair)
    return reasons


def _reasons_of_repair(record: WeldRecord, state: JointState, repair: int) -> list[Reason]:
    name = state.joint.name
    begun = record.open_repair(state.joint)
    if repair == 0:
        against = _of_open_repair(record, state)
        return [against] if against else []
    if begun is None or begun.number != repair:
        return [Reason("repair_not_begun", {"joint": name, "number": repair})]
    if ROOT_SEEN not in record.situation.in_use:
        return []
    seen = [look for look in record.looks_of(state.joint) if look.stage == CAVITY and look.repair == repair]
    if seen and seen[-1].accepted:
        return []
    return [Reason("cavity_not_seen", {"joint": name, "number": repair})]


def _reasons_of_root(record: WeldRecord, state: JointState, repair: int) -> list[Reason]:
    """Each pass that the procedure wants seen before the next one, and that nobody has accepted since."""
    passes = record.passes_after(state, repair)
    seen = [look for look in record.looks_of(state.joint) if look.stage != CAVITY]
    reasons = []
    for number in looks_after(state, repair):
        if not 1 <= number <= len(passes):
            continue
        since = [look for look in seen if look.record_position > passes[number - 1]]
        if not since:
            reasons.append(Reason("root_not_seen", {"joint": state.joint.name, "number": number}))
        elif against := _of_refused(since[-1], state.joint.name):
            reasons.append(against)
    return reasons


def looks_after(state: JointState, repair: int = 0) -> tuple[int, ...]:
    """After which passes somebody looks; without a procedure, after the root of what has several passes."""
    revision = state.revision_for(repair)
    if revision is None:
        return (1,) if state.joint.is_multipass else ()
    return procedure_from(revision.data).looks_after


def reasons_not_to_start(record: WeldRecord, station: str) -> list[Reason]:
    """What a station would hide for good must have been looked at since it was welded last."""
    if ROOT_SEEN not in record.situation.in_use or station not in HIDDEN_BY.values():
        return []
    against = (
        _before_it_is_hidden(record, state)
        for state in _visited(record)
        if HIDDEN_BY.get(state.joint.kind) == station
    )
    name = STATIONS[station].name
    return [Reason("would_be_hidden", {"station": name, "why": why}) for why in against if why]


def _before_it_is_hidden(record: WeldRecord, state: JointState) -> Reason | None:
    name = state.joint.name
    mine = [one for one in record.looks_of(state.joint) if one.stage in {COVERED, FINAL}]
    if not mine:
        return Reason("weld_not_looked_at", {"joint": name})
    if (record.last_welded(state) or 0) > mine[-1].record_position:
        return Reason("welded_since_look", {"joint": name})
    return _of_refused(mine[-1], name)


def reasons_not_to_leave(record: WeldRecord, visit: Visit) -> list[Reason]:
    """The welds of a station are looked at, those that are tested were tested; refused ones go to repair."""
    reasons: list[Reason] = []
    in_use = record.situation.in_use
    if WELDS_LOOKED_AT in in_use and visit.at.welds:
        mine = [state for state in record.states if state.joint.station == visit.station]
        reasons += _against_leaving(visit, (finished(record, state) for state in mine))
    if TEST_WAITED in in_use and visit.station == TESTING_STATION:
        reasons += _against_leaving(visit, (tested(record, state) for state in to_be_tested(record)))
    return reasons


def to_be_tested(record: WeldRecord) -> list[JointState]:
    """Joints that were welded and are tested, or have been."""
    return [
        state
        for state in record.states
        if record.last_welded(state) is not None
        and (state.joint.kind in TESTED or record.tests_of(state.joint))
    ]


def _against_leaving(visit: Visit, stand: Iterable[Seen]) -> list[Reason]:
    reasons = []
    for seen in stand:
        if seen.against is None:
            continue
        was_refused = seen.against.code in {"weld_refused", "weld_to_be_repaired"}
        # Refused here, it may go where it is repaired; what is open here is said as a nonconformance.
        if was_refused and seen.newest is not None and seen.newest.visit_id == visit.pk:
            continue
        reasons.append(seen.against)
    return reasons


def reasons_not_to_sign(record: WeldRecord) -> list[Reason]:
    """Every weld is looked at and tested as the rules in use ask; what was refused is accepted by now."""
    in_use = record.situation.in_use
    if not OF_SIGNING & in_use and not (record.looks or record.tests or record.repairs):
        return []
    stand: list[Seen] = []
    visited = _visited(record)
    for state in visited:
        if WELDS_LOOKED_AT in in_use or _was_refused(record.looks_of(state.joint)):
            stand.append(finished(record, state))
    at_tests = was_visited(record.situation.visits, TESTING_STATION, housing_states.DROPPED)
    for state in to_be_tested(record) if at_tests else visited:
        if (TEST_WAITED in in_use and at_tests) or _was_refused(record.tests_of(state.joint)):
            stand.append(tested(record, state))
    # What is open already stands among the reasons as a nonconformance.
    against = [seen.against for seen in stand if seen.against and seen.against.code != "weld_refused"]
    against += [reason for state in visited if (reason := _of_open_repair(record, state))]
    # Looks and tests of one joint may both say that its repair is open.
    return list({reason.sentence: reason for reason in against}.values())


def _was_refused(ones: Iterable[WeldLook] | Iterable[WeldTest]) -> bool:
    """Whether the newest look or test of a joint was refused: that counts whatever rules are in use."""
    last = [one for one in ones if getattr(one, "stage", FINAL) != CAVITY][-1:]
    return bool(last) and not last[0].accepted


def _visited(record: WeldRecord) -> list[JointState]:
    visits = record.situation.visits
    return [
        state for state in record.states if was_visited(visits, state.joint.station, housing_states.DROPPED)
    ]


def reasons_not_to_take_back(record: WeldRecord, visit: Visit) -> list[Reason]:
    """Why an arrival stays: a weld was looked at, tested or repaired there."""
    recorded = {look.visit_id for look in record.looks} | {test.visit_id for test in record.tests}
    recorded |= {repair.visit_id for repair in record.repairs}
    return [Reason("measured_here", {"station": visit.at.name})] if visit.pk in recorded else []


def took_part(stamp: str, record: WeldRecord) -> bool:
    """Whether somebody has looked at a weld of the housing, tested one or dug one out."""
    return (
        any(look.by_stamp == stamp for look in record.looks)
        or any(stamp in {test.tester, test.by_stamp} for test in record.tests)
        or any(repair.by_stamp == stamp for repair in record.repairs)
    )
