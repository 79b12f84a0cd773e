"""Judging the welds of a housing over the API: looking, testing, beginning a repair."""

from __future__ import annotations

from housings.api.joints import JointStep
from inspections.api.weld_bodies import LookBody, RepairBody, TestBody
from inspections.operations.weld_looks import look_at_weld
from inspections.operations.weld_repairs import begin_repair
from inspections.operations.weld_tests import test_weld


class Look(JointStep):
    body, operation, status = LookBody, look_at_weld, 201


class Test(JointStep):
    body, operation, status = TestBody, test_weld, 201


class Repair(JointStep):
    body, operation, status = RepairBody, begin_repair, 201
