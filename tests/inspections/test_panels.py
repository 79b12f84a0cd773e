"""What measuring puts on a housing's page, on its traveler and among the places."""

from __future__ import annotations

import pytest
from django.test import RequestFactory

from inspections.traveler_asks import asks
from tests.factories import Floor
from tests.inspections.conftest import SignedIn

STATION = "face_and_drill"
PLACES = {
    "W1": {"/nonconformances/", "/gauges/"},
    "Q1": {"/nonconformances/", "/sign-offs/", "/certificates/", "/gauges/", "/plans/"},
    "E1": {"/nonconformances/", "/sign-offs/", "/certificates/", "/gauges/", "/plans/"},
    "O1": {"/nonconformances/", "/sign-offs/", "/certificates/", "/gauges/", "/plans/"},
}


def test_a_housings_page_leads_to_what_is_due(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    assert "0 of 16 stand." in worker.page.text
    # What this work does not move is measured before it; then the rest waits for the work.
    before = ("journal_runout_left", "journal_runout_right", "camber_left", "camber_right")
    floor.measure_due(housing, STATION, only=(*before, "toe_left", "toe_right", "width"))
    worker.get(f"/h/{housing.serial}/")
    assert "7 of 16 stand. The rest is measured after the work is done." in worker.page.text
    floor.work(housing, STATION)
    worker.get(f"/h/{housing.serial}/")
    assert f"/h/{housing.serial}/readings/" in worker.page.links
    assert f"/h/{housing.serial}/problem/" in worker.page.links
    owner = signed_in("O1")
    owner.get(f"/h/{housing.serial}/")
    assert f"/h/{housing.serial}/readings/" not in owner.page.links


def test_a_done_housing_leads_the_qc_lead_to_its_signature(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="measured")
    lead, worker = signed_in("Q1"), signed_in("W1")
    lead.get(f"/h/{housing.serial}/")
    worker.get(f"/h/{housing.serial}/")
    assert f"/h/{housing.serial}/sign-off/" in lead.page.links
    assert f"/h/{housing.serial}/sign-off/" not in worker.page.links
    floor.sign(housing)
    lead.get(f"/h/{housing.serial}/")
    assert "/certificates/C-00001/" in lead.page.links


def test_a_traveler_asks_for_each_station_what_is_due_there(floor: Floor) -> None:
    housing = floor.housing()
    found = asks(housing)
    face = next(ask for ask in found[STATION] if ask.name == "Face and axis")
    flatness = next(ask for ask in face.figures if ask.name == "Flatness of the face")
    assert (flatness.limit, flatness.unit) == ("up to 0.004", "in")
    assert next(ask for ask in found["truss"] if ask.name.startswith("Internal ribs")).limit == ""


@pytest.mark.parametrize("stamp", PLACES)
def test_each_role_is_shown_its_places_and_they_open(floor: Floor, signed_in: SignedIn, stamp: str) -> None:
    visitor = signed_in(stamp)
    visitor.get("/nonconformances/")
    ours = {"/nonconformances/", "/sign-offs/", "/certificates/", "/gauges/", "/plans/"}
    shown = ours & set(visitor.page.links)
    assert shown == PLACES[stamp]
    assert all(visitor.get(place).status_code == 200 for place in shown)


def test_what_is_measured_shows_in_the_admin_and_cannot_be_changed_there(rf: RequestFactory) -> None:
    from django.contrib import admin

    from inspections import models

    for name in models.__all__:
        shown = admin.site._registry[getattr(models, name)]
        assert not shown.has_add_permission(rf.get("/"))
        assert not shown.has_change_permission(rf.get("/"))
        assert not shown.has_delete_permission(rf.get("/"))
