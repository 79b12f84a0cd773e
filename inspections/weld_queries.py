"""What was looked at, tested and repaired on the welds of a housing, and by which procedure."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from housings import gate, queries
from housings.engineering.procedures import Procedure, procedure_from
from housings.models import Joint, JointProcedure, JointTemperature, WeldPass
from inspections.models import WeldLook, WeldRepair, WeldTest

Happening = WeldLook | WeldTest | WeldRepair


class WeldRecord:
    """Everything about the acceptance of a housing's welds, read once: six queries however much there is."""

    def __init__(self, situation: gate.Situation) -> None:
        self.situation = situation

    @cached_property
    def joints(self) -> list[Joint]:
        return queries.joints_of_housing(self.situation.housing)

    @cached_property
    def assigned(self) -> list[JointProcedure]:
        """By which procedure each joint was to be welded, oldest first."""
        rows = JointProcedure.objects.filter(joint__housing=self.situation.housing)
        return list(rows.select_related("procedure").order_by("pk"))

    @cached_property
    def looks(self) -> list[WeldLook]:
        rows = WeldLook.objects.filter(housing=self.situation.housing)
        return list(rows.select_related("nonconformance__disposition").order_by("record_position"))

    @cached_property
    def tests(self) -> list[WeldTest]:
        rows = WeldTest.objects.filter(housing=self.situation.housing)
        return list(rows.select_related("nonconformance__disposition").order_by("record_position"))

    @cached_property
    def repairs(self) -> list[WeldRepair]:
        rows = WeldRepair.objects.filter(housing=self.situation.housing)
        return list(rows.select_related("nonconformance", "procedure").order_by("record_position"))

    @cached_property
    def temperatures(self) -> list[JointTemperature]:
        rows = JointTemperature.objects.filter(housing=self.situation.housing)
        return list(rows.order_by("record_position", "index"))

    @cached_property
    def procedures(self) -> Mapping[int, Procedure]:
        """The procedure of each joint that has one, by the joint's key; the newest counts."""
        newest = {row.joint_id: row.procedure for row in self.assigned}
        return {joint: procedure_from(found.data) for joint, found in newest.items() if found is not None}

    def passes_of(self, joint: Joint) -> list[WeldPass]:
        return [entry for entry in self.situation.weld_passes if entry.joint_id == joint.pk]

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
