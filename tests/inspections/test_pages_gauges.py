"""Gauges and plans at a desk."""

from __future__ import annotations

import pytest

from inspections.models import Calibration, Gauge, PlanRevision
from tests.factories import GAUGE, OVERDUE, Floor
from tests.inspections.conftest import SignedIn
from tests.inspections.sending import form_of, send
from tests.visitor import Visitor


def test_the_list_says_what_is_overdue_first(floor: Floor, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get("/gauges/")
    text = worker.page.text
    assert text.index(OVERDUE) < text.index(f"{GAUGE} Universal")
    assert "check overdue since 3 May 2026" in text and "in date until 2 Aug 2026" in text
    assert "/gauges/new/" not in worker.page.links


@pytest.mark.parametrize("path", ["/gauges/", "/gauges/1/", "/gauges/new/", "/plans/", "/plans/1/"])
def test_a_stranger_is_sent_to_sign_in(floor: Floor, path: str) -> None:
    assert Visitor().get(path).status_code == 302


def test_a_gauge_comes_on_file_once(floor: Floor, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get("/gauges/new/")
    typed = {"code": "M 12", "name": "Micrometer", "unit": "mm", "uncertainty": "0,002"}
    data = {**form_of(lead).values, **typed, "calibration_due": "2026-09-01"}
    assert [lead.post("/gauges/new/", data).status_code for _tap in range(2)] == [302, 302]
    gauge = Gauge.objects.get(code="M 12")
    assert (gauge.uncertainty, str(gauge.calibration_due)) == ("0.002", "2026-09-01")
    lead.get("/gauges/new/")
    assert send(lead, **typed).status_code == 422
    assert "There is a gauge M 12 already." in lead.page.text
    assert form_of(lead).values["name"] == "Micrometer"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"code": ""}, "Give it a code."),
        ({"code": "x" * 21}, "at most 20 characters"),
        ({"name": "a\x00b"}, "Null characters are not allowed."),
        ({"uncertainty": "-1"}, "zero or more"),
        ({"uncertainty": "1.2,3"}, "has a point and a comma"),
        ({"uncertainty": "9" * 10_000}, "is no number"),
        ({"calibration_due": "soon"}, "Write the day as year-month-day"),
        ({"calibration_due": "2026-02-30"}, "Write the day as year-month-day"),
        ({"unit": "furlong"}, "Select a valid choice"),
    ],
)
def test_a_bad_gauge_is_refused_beside_its_field(
    floor: Floor, signed_in: SignedIn, typed: dict[str, str], says: str
) -> None:
    lead = signed_in("Q1")
    lead.get("/gauges/new/")
    before = Gauge.objects.count()
    good = {"code": "N1", "name": "Nothing", "unit": "in"}
    assert send(lead, **{**good, **typed}).status_code == 422
    assert says in lead.page.text
    assert Gauge.objects.count() == before


def test_a_check_is_recorded_and_the_next_one_due(floor: Floor, signed_in: SignedIn) -> None:
    gauge = Gauge.objects.get(code=OVERDUE)
    lead = signed_in("Q1")
    lead.get(f"/gauges/{gauge.pk}/")
    assert "check overdue" in lead.page.text and "No check is recorded yet." in lead.page.text
    assert send(lead, done_on="2026-05-04", due_on="2026-05-04", uncertainty="0.0001").status_code == 422
    assert "The next check comes after the check itself." in lead.page.text
    data = {**form_of(lead).values, "due_on": "2027-05-04", "reference": "master 3"}
    for _tap in range(2):
        assert lead.post(f"/gauges/{gauge.pk}/", data).status_code == 302
    lead.follow()
    assert "in date until 4 May 2027" in lead.page.text and "master 3" in lead.page.text
    assert Calibration.objects.count() == 1


@pytest.mark.parametrize("stamp", ["W1", "E1", "O1"])
def test_only_the_qc_lead_writes(floor: Floor, signed_in: SignedIn, stamp: str) -> None:
    gauge = Gauge.objects.get(code=GAUGE)
    visitor = signed_in(stamp)
    for path in ("/gauges/new/", f"/gauges/{gauge.pk}/"):
        visitor.get(path)
        assert "This needs the role QC lead." in visitor.page.text
    new = {"code": "N1", "name": "Nothing", "unit": "in"}
    check = {"done_on": "2026-05-04", "due_on": "2027-05-04", "uncertainty": "0"}
    assert visitor.post("/gauges/new/", new).status_code == 403
    assert visitor.post(f"/gauges/{gauge.pk}/", check).status_code == 403
    assert not Calibration.objects.exists() and not Gauge.objects.filter(code="N1").exists()


def test_a_gauge_that_is_none_is_not_found(floor: Floor, signed_in: SignedIn) -> None:
    assert signed_in("W1").get("/gauges/99999999999999999999/").status_code == 404


def test_a_plan_can_be_read(floor: Floor, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get("/plans/")
    plan = PlanRevision.objects.get()
    assert f"/plans/{plan.pk}/" in worker.page.links
    worker.get(f"/plans/{plan.pk}/")
    text = worker.page.text
    assert "Flatness of the face" in text and "Final inspection: may be up to 0.005 in" in text
    assert "hidden for good by Armor plates" in text and "nominal -0.005 to 0.005 in" in text
    assert worker.get("/plans/99999999999999999999/").status_code == 404
