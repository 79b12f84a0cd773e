"""Trying a draft on a housing of the past: what would be judged otherwise, and nothing is written."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings import gate
from housings.models import Housing
from inspections.models import PlanDraft, PlanRevision, Reading
from inspections.plan_trial import Trial, tried_on
from inspections.queries import Measured
from shopqc.models import LedgerEntry
from tests.factories import Floor
from tests.inspections.conftest import SignedIn


def plan(**changes: dict[str, Any]) -> list[dict[str, Any]]:
    """The published plan with some characteristics changed, by their code."""
    rows: list[dict[str, Any]] = PlanRevision.objects.get().characteristics
    return [{**row, **changes.get(row["code"], {})} for row in rows]


def tried(characteristics: list[dict[str, Any]], housing: Housing) -> Trial:
    return tried_on(characteristics, Measured(gate.Situation(housing)))


@pytest.fixture
def done(floor: Floor) -> Housing:
    return floor.housing(until="measured")


def test_the_plan_it_was_measured_by_changes_no_verdict(done: Housing) -> None:
    trial = tried(plan(), done)
    assert trial.differing == trial.not_judged == trial.against == []
    assert trial.same == Reading.objects.filter(housing=done).count()


def test_a_tighter_limit_shows_which_verdict_would_be_another(done: Housing) -> None:
    """The face of the factories is 0.001 out of flat: within 0.004, and beyond 0.0005."""
    tight = [{"station": "face_and_drill", "lower": None, "upper": "0.0005"}]
    keep = [{"station": "final_inspection", "lower": None, "upper": "0.005"}]
    trial = tried(plan(face_flatness={"due": tight + keep}), done)
    (one,) = trial.differing
    assert (one.name, one.was, one.would_be) == ("Flatness of the face", "pass", "fail")
    assert one.limit_was == "may be up to 0.004 in"
    assert one.limit_would_be == "may be up to 0.0005 in"


def test_what_cannot_be_judged_says_why(done: Housing) -> None:
    final = [{"station": "final_inspection", "lower": None, "upper": "0.005"}]
    trial = tried(plan(face_flatness={"due": final}, pilot_bore={"unit": "mm"}), done)
    whys = {(one.name, one.why_not) for one in trial.not_judged}
    assert ("Flatness of the face", "is not due at this station any more") in whys
    assert ("Diameter of the pilot bore", "is of another kind or unit now") in whys


def test_what_the_draft_asks_anew_is_named(done: Housing) -> None:
    rows = plan()
    new = {**rows[-1], "code": "something_new", "name": "Something new"}
    assert tried([*rows, new], done).never_measured == ["Something new"]


def test_a_draft_that_does_not_fit_the_housing_says_so(done: Housing) -> None:
    nominal = {"plus": "0", "terms": [{"field": "shaft_body", "times": "1"}]}
    trial = tried(plan(pilot_bore={"nominal": nominal}), done)
    assert "shaft_body" in trial.against[0]


def test_the_page_shows_it_and_writes_nothing(floor: Floor, done: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(f"/plans/{PlanRevision.objects.get().pk}/")
    lead.press("from")
    draft = PlanDraft.objects.get()
    tight = [{"station": "face_and_drill", "lower": None, "upper": "0.0005"}]
    draft.characteristics = plan(face_flatness={"due": tight})
    draft.save()
    before = LedgerEntry.objects.count()
    lead.get(f"/plans/drafts/{draft.pk}/try/")
    assert done.serial_grouped in lead.page.text
    with CaptureQueriesContext(connection) as seen:
        lead.get(f"/plans/drafts/{draft.pk}/try/?serial={done.serial}")
    assert len(seen) <= 14
    assert "One verdict would be different." in lead.page.text
    assert "may be up to 0.0005 in" in lead.page.text
    assert LedgerEntry.objects.count() == before
    assert Reading.objects.filter(verdict="fail").count() == 0


@pytest.mark.parametrize("typed", ["", "nonsense", "AX999999ZZ"])
def test_a_wrong_serial_is_said(floor: Floor, signed_in: SignedIn, typed: str) -> None:
    lead = signed_in("Q1")
    lead.get(f"/plans/{PlanRevision.objects.get().pk}/")
    lead.press("from")
    assert lead.get(f"/plans/drafts/{PlanDraft.objects.get().pk}/try/?serial={typed}").status_code in {
        404,
        422,
    }
    assert signed_in("W1").get(f"/plans/drafts/{PlanDraft.objects.get().pk}/try/").status_code == 403
    assert lead.get("/plans/drafts/999/try/").status_code == 404
