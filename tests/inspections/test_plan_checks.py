"""Whatever stands in a draft, its checks say what is against it and break at nothing."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings import gate
from inspections.models import PlanRevision
from inspections.plan_changes import plan_changes
from inspections.plan_checks import checked
from inspections.plan_rows import row_of
from inspections.plan_trial import tried_on
from inspections.planning.terms import Kind
from inspections.queries import Measured
from tests.factories import Floor

BROKEN: list[dict[str, Any]] = [
    {"due": []},
    {"due": [{"station": "polish", "lower": "1", "upper": "2"}]},
    {"due": [{"station": "final_inspection", "lower": "2", "upper": "1"}]},
    {"due": [{"station": "pack", "lower": None, "upper": "1"}]},
    {"movable_by": ["polish"]},
    {"hidden_by": "armor"},
    {"measured_from": "A-B", "is_datum": False},
    {"nominal": {"plus": "1", "terms": [{"field": "shaft_body", "times": "2"}]}},
    {"nominal": {"plus": "1", "terms": [{"field": "vent_side", "times": "2"}]}},
    {"limits_from_nominal": True, "nominal": None},
    {"quantity": "camber_left", "taken_with": "face"},
    {"center": ["0", "0"]},
    {"centers": [["0", "0"], ["1", "1"]]},
    {"constants": {"over": "12"}},
    {"points_at_least": 2000},
    {"only_if": "drain"},
]


@pytest.mark.parametrize("kind", [str(kind) for kind in Kind])
def test_any_kind_with_anything_wrong_is_checked(floor: Floor, kind: str) -> None:
    rows: list[dict[str, Any]] = PlanRevision.objects.get().characteristics
    for change in BROKEN:
        made = [{**rows[0], "kind": kind, **change}, *rows[1:]]
        found = checked(made)
        assert isinstance(found.count, int)
        assert row_of(made[0])["name"] == rows[0]["name"]
        assert plan_changes(rows, made)


@pytest.mark.parametrize(
    "broken", [{"kind": "smell"}, {"severity": "grave"}, {"due": [{"where": "jig"}]}, {"color": "red"}]
)
def test_what_is_no_plan_is_said_of_the_whole(floor: Floor, broken: dict[str, Any]) -> None:
    rows: list[dict[str, Any]] = PlanRevision.objects.get().characteristics
    found = checked([{**rows[0], **broken}, *rows[1:]])
    assert len(found.whole) == 1 and rows[0]["code"] in found.whole[0]
    assert checked([]).whole == ["Nothing is measured by this plan yet."]


def test_the_published_plan_has_nothing_against_it(floor: Floor) -> None:
    with CaptureQueriesContext(connection) as seen:
        assert checked(PlanRevision.objects.get().characteristics).is_free
    assert len(seen) == 2


def test_a_kind_that_does_not_fit_a_stored_reading_is_not_judged(floor: Floor) -> None:
    housing = floor.housing(until="tack")
    rows: list[dict[str, Any]] = PlanRevision.objects.get().characteristics
    measured = Measured(gate.Situation(housing))
    for kind in Kind:
        trial = tried_on([{**row, "kind": str(kind)} for row in rows], measured)
        assert len(trial.tried) == len(measured.readings)
