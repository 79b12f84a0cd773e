"""What may be sent about looking at welds, testing and repairing them."""

from __future__ import annotations

from rest_framework.serializers import ListField

from housings.api.bodies import LARGEST
from inspections.operations.weld_repairs import HOURS, METHODS
from inspections.planning import weld_testing
from inspections.weld_findings import LONGEST_WHERE, MOST_FINDINGS
from inspections.weld_words import STAGE_WORDS
from shopqc.api import StrictSerializer, TypedNumber
from shopqc.api_fields import LONG_TEXT, Day, Members, Moment, OneOf, Text, WholeNumber, YesNo

__all__ = ["LookBody", "RepairBody", "TestBody"]

NUMBER, SHA256, MOST_DETAILS = 8, 64, 12


class FindingBody(StrictSerializer):
    """An imperfection by its number in ISO 6520-1, with its size and place as they were measured."""

    number = Text(NUMBER)
    size = TypedNumber(required=False, allow_null=True)
    length = TypedNumber(required=False, allow_null=True)
    width = TypedNumber(required=False, allow_null=True)
    throat = TypedNumber(required=False, allow_null=True)
    unit = OneOf(("mm", "in"), required=False, allow_null=True)
    where = Text(LONGEST_WHERE, required=False, allow_null=True)


class JudgedBody(StrictSerializer):
    """What looks and tests have in common; no ``findings`` = nothing was found."""

    accepted = YesNo()
    # A list of its own: with ``many`` each member could be null as well.
    findings = ListField(child=FindingBody(), max_length=MOST_FINDINGS, required=False, allow_null=True)
    note = Text(LONG_TEXT, required=False, allow_null=True)
    done_at = Moment(required=False, allow_null=True)


class LookBody(JudgedBody):
    """As `inspections.operations.weld_looks.look_at_weld` describes it."""

    stage = OneOf(tuple(STAGE_WORDS))
    repair = WholeNumber(0, LARGEST, required=False, allow_null=True)
    hold = YesNo(required=False, allow_null=True)


class TestBody(JudgedBody):
    """As `inspections.operations.weld_tests.test_weld` describes it."""

    __test__ = False  # no test of ours, though its name begins like one

    method = OneOf(tuple(weld_testing.METHODS))
    tester = Text(80)
    tester_level = OneOf(("1", "2", "3"))
    how = Members(MOST_DETAILS, required=False, allow_null=True)
    level = OneOf(("B", "C", "D"), required=False, allow_null=True)
    certificate = Text(60, required=False, allow_null=True)
    certified_until = Day(required=False, allow_null=True)
    document = Text(SHA256, required=False, allow_null=True)


class Excavation(StrictSerializer):
    """How a weld was dug out: its depth and length in ``unit``, ``hour`` of the clock seen from the end."""

    method = OneOf(tuple(METHODS))
    depth = TypedNumber()
    length = TypedNumber()
    unit = OneOf(("mm", "in"), required=False, allow_null=True)
    hour = OneOf(HOURS, required=False, allow_null=True)


class RepairBody(StrictSerializer):
    """``procedure``: the key of a published one for repairs; without it, the first that reaches the joint."""

    nonconformance = WholeNumber(1, LARGEST)
    procedure = WholeNumber(1, LARGEST, required=False, allow_null=True)
    how = Excavation()
