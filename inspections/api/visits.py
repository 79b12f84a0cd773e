"""Changing the way of one housing: an extra station, or one that it does not need."""

from __future__ import annotations

from housings.api.bodies import LARGEST, AtStation, Why
from housings.api.housings import Step
from inspections.operations.extra_visits import add_visit, drop_visit
from shopqc.api_fields import LONG_TEXT, Text, WholeNumber


class AddVisitBody(AtStation):
    """``before``: the number of the visit ahead of which it comes; without it, next."""

    why = Text(LONG_TEXT)
    before = WholeNumber(1, LARGEST, required=False, allow_null=True)


class DropVisitBody(Why):
    visit = WholeNumber(1, LARGEST)


class AddVisit(Step):
    body, operation, status = AddVisitBody, add_visit, 201


class DropVisit(Step):
    body, operation = DropVisitBody, drop_visit
