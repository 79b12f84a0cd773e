"""Changing the way of one housing on its page."""

from __future__ import annotations

from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings.models import Visit
from tests.factories import LINKS_SPEC, Floor
from tests.inspections.conftest import SignedIn


def test_the_qc_lead_puts_a_station_in_and_takes_it_out_again(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="snouts")
    lead = signed_in("Q1")
    lead.get(f"/h/{housing.serial}/way/")
    lead.press("do", "add", station="straighten", why="Left tube 0.09 off.")
    lead.follow()
    assert "Put in: Straighten." in lead.page.text
    visit = Visit.objects.get(housing=housing, station="straighten")
    assert (visit.kind, visit.why) == ("extra", "Left tube 0.09 off.")
    assert lead.post(lead.url, {"do": "drop", "visit": visit.number, "why": " "}).status_code == 422
    assert "Say it in words." in lead.page.text
    lead.press("do", "drop", visit=visit.number, why="It was the fixture.")
    lead.follow()
    assert Visit.objects.get(pk=visit.pk).state == "dropped"
    assert "dropped: It was the fixture." in lead.page.text


def test_a_caution_is_said_but_does_not_stand_in_the_way(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="face_and_drill")
    lead = signed_in("Q1")
    lead.get(f"/h/{housing.serial}/way/")
    lead.press("do", "add", station="straighten", why="Bent in the crane.")
    lead.follow()
    assert "“Straighten” is usual before “Face and drill”" in lead.page.text


def test_others_see_it_and_change_nothing(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="jig", spec=LINKS_SPEC)
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/way/")
    assert "This needs the role QC lead." in worker.page.text
    assert not worker.page.has_button("do", "add") and not worker.page.has_button("do", "drop")
    sent = {"do": "add", "station": "coat", "why": "I like it.", "before": ""}
    assert worker.post(worker.url, sent).status_code == 403
    lead = signed_in("Q1")
    assert lead.post(worker.url, {"do": "dance"}).status_code == 422
    assert lead.post(worker.url, {"do": "add", "station": "truss", "why": "x"}).status_code == 422
    assert lead.post(worker.url, {"do": "drop", "visit": "x", "why": "x"}).status_code == 422
    assert lead.post(worker.url, {"do": "drop", "visit": "99", "why": "x"}).status_code == 404
    assert not Visit.objects.filter(housing=housing, station="coat").exists()


def test_two_clicks_put_it_in_once(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="jig")
    lead = signed_in("Q1")
    lead.get(f"/h/{housing.serial}/way/")
    form = lead.page.form_with("do", "add")
    assert form is not None
    sent = {**form.values, "do": "add", "station": "straighten", "why": "Asked for."}
    assert [lead.post(lead.url, sent).status_code for _click in range(2)] == [302, 302]
    assert Visit.objects.filter(housing=housing, station="straighten").count() == 1


def test_the_page_asks_the_database_few_times(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="face_and_drill")
    lead = signed_in("Q1")
    with CaptureQueriesContext(connection) as seen:
        lead.get(f"/h/{housing.serial}/way/")
    assert len(seen) <= 8
