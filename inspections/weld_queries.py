"""What was looked at, tested and repaired on the welds of a housing, beside how its joints stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import Any

from django.db.models import QuerySet

from housings import gate
from housings.engineering.procedures import Procedure, procedure_from
from housings.models import Joint, Visit, WeldPass, WorkDone
from housings.queries import visit_here
from housings.weld_queries import JointState, states_of
from housings.weld_rules import standing_joints
from inspections.models import Nonconformance, WeldLook, WeldRepair, WeldTest

Happening = WeldLook | WeldTest | WeldRepair
CAVITY, ROOT, COVERED, FINAL = "cavity", "root", "covered", "final"


class WeldRecord:
    """Everything about the acceptance of a housing's welds, read once, however often it is asked."""

    def __init__(self, situation: gate.Situation) -> None:
        self.situation = situation

    @cached_property
    def states(self) -> list[JointState]:
        """How each joint stands, in the order of the stations; unsaved ones where none are laid."""
        return self.situation.kept(standing_joints)

    @cached_property
    def looks(self) -> list[WeldLook]:
        return list(looks().filter(housing=self.situation.housing))

    @cached_property
    def tests(self) -> list[WeldTest]:
        return list(tests().filter(housing=self.situation.housing))

    @cached_property
    def repairs(self) -> list[WeldRepair]:
        return list(repairs().filter(housing=self.situation.housing))

    def state_of(self, code: str) -> JointState | None:
        """How the joint with a code stands; ``None`` if the housing has no such joint."""
        return next((state for state in self.states if state.joint.code == code), None)

    def looks_of(self, joint: Joint) -> list[WeldLook]:
        return [look for look in self.looks if look.joint_id == joint.pk]

    def tests_of(self, joint: Joint) -> list[WeldTest]:
        return [test for test in self.tests if test.joint_id == joint.pk]

    def repairs_of(self, joint: Joint) -> list[WeldRepair]:
        return [repair for repair in self.repairs if repair.joint_id == joint.pk]

    def happenings_of(self, joint: Joint) -> list[Happening]:
        """Looks, tests and repairs of a joint, in the order of the record."""
        found: list[Happening] = [*self.looks_of(joint), *self.tests_of(joint), *self.repairs_of(joint)]
        return sorted(found, key=lambda one: one.record_position)

    def open_repair(self, joint: Joint) -> WeldRepair | None:
        """The repair of a joint that was begun and whose new weld nobody has judged yet."""
        begun = self.repairs_of(joint)
        if not begun:
            return None
        last = begun[-1]
        mine = (look for look in self.looks_of(joint) if look.repair == last.number)
        return None if any(_ends(last, look) for look in mine) else last

    def work_at_station(self, joint: Joint) -> list[WorkDone]:
        """The work of its station: all that tells of a joint whose passes are not on record."""
        return [entry for entry in self.situation.work_done if entry.station == joint.station]

    def last_welded(self, state: JointState) -> int | None:
        """The place in the record of the last that was welded on a joint; ``None`` if nothing was."""
        if state.last_pass is not None:
            return state.last_pass.record_position
        return max((entry.record_position for entry in self.work_at_station(state.joint)), default=None)

    def procedures_of(self, state: JointState) -> list[Procedure]:
        """By which procedures a joint was welded: its own, and that of repairs if one was welded."""
        revisions = [state.revision]
        if any(entry.repair for entry in state.passes):
            revisions.append(state.repair_revision)
        return [procedure_from(revision.data) for revision in revisions if revision is not None]

    def passes_after(self, state: JointState, repair: int) -> Sequence[int]:
        """Places in the record of the passes of a weld itself (0) or of one of its repairs, oldest first."""
        return [entry.record_position for entry in state.passes if entry.repair == repair]


def _ends(repair: WeldRepair, look: WeldLook) -> bool:
    """Whether a look judges the whole repair: not where its procedure wants one between its passes."""
    if look.stage == CAVITY:
        return False
    if look.stage == FINAL or not look.accepted or repair.procedure is None:
        return True
    return not procedure_from(repair.procedure.data).looks_after


def fill(situations: Iterable[gate.Situation]) -> None:
    """Read what was looked at, tested and repaired on many housings at once: three queries for all."""
    records = {situation.housing.pk: situation.kept(WeldRecord) for situation in situations}
    for name, rows in (("looks", looks()), ("tests", tests()), ("repairs", repairs())):
        of: dict[int, list[Any]] = {pk: [] for pk in records}
        for row in rows.filter(housing__in=records):
            of[row.housing_id].append(row)
        for pk, record in records.items():
            vars(record)[name] = of[pk]


def fill_states(situations: Iterable[gate.Situation]) -> None:
    """Read how the joints of many housings stand at once; their visits have been read. Seven queries for all.

    A housing that has no joint rows yet is left to be read when it is asked about.
    """
    known = {situation.housing.pk: situation for situation in situations}
    joints = list(Joint.objects.filter(housing__in=known).order_by("housing", "number"))
    of: dict[int, list[JointState]] = {pk: [] for pk in known}
    for joint in joints:
        joint.housing = known[joint.housing_id].housing
    at = ((pk, visit_here(situation.visits)) for pk, situation in known.items())
    for state in states_of(joints, {pk: visit for pk, visit in at if visit is not None}):
        of[state.joint.housing_id].append(state)
    for pk, situation in known.items():
        if of[pk]:
            situation.keep(standing_joints, of[pk])


def was_visited(visits: Sequence[Visit], station: str, dropped: str) -> bool:
    """Whether a housing was at a station or is going to be."""
    return any(visit.station == station and visit.state != dropped for visit in visits)


def joints_with(found: Nonconformance) -> QuerySet[Joint]:
    """The joints whose pass, look or test opened a nonconformance, in the order of the stations."""
    passes = WeldPass.objects.filter(housing=found.housing_id, nonconformance=found.number)
    mine: set[int] = set(passes.values_list("joint", flat=True))
    for judged in (
        WeldLook.objects.filter(nonconformance=found),
        WeldTest.objects.filter(nonconformance=found),
    ):
        mine.update(judged.values_list("joint", flat=True))
    return Joint.objects.filter(pk__in=mine).order_by("number")


def looks() -> QuerySet[WeldLook]:
    """Looks with what was decided about the refused ones, in the order of the record."""
    return WeldLook.objects.select_related("nonconformance__disposition").order_by("record_position")


def tests() -> QuerySet[WeldTest]:
    """Tests with what was decided about the refused ones, in the order of the record."""
    return WeldTest.objects.select_related("nonconformance__disposition").order_by("record_position")


def repairs() -> QuerySet[WeldRepair]:
    """Repairs with their procedures, in the order of the record."""
    return WeldRepair.objects.select_related("nonconformance", "procedure").order_by("record_position")
