"""The QC lead writes a route and a plan on their sheets; a worker straightens and sends out."""

from __future__ import annotations

import re
from typing import Any

import pytest

from housings.engineering.route_rules import long_route
from housings.models import RouteRevision, WorkDone
from housings.operations.routes import publish_route
from housings.operations.visits import arrive, leave_station
from inspections.models import PlanRevision
from tests.browser.hands import (
    become_device,
    check_page,
    follow,
    go,
    press,
    sign_in_at_desk,
    sign_in_with_pin,
    text_of,
)
from tests.factories import Floor

pytestmark = pytest.mark.django_db(transaction=True)


def press_row(page: Any, words: str, row: str) -> None:
    """Press a button of one row of a sheet; its name says which row."""
    with page.expect_navigation():
        page.get_by_role("button", name=re.compile(f"{words} ?: {row}")).click()
    check_page(page)


def test_a_limit_is_edited_tried_and_published(floor: Floor, site: Any, desktop: Any) -> None:
    done = floor.housing(until="measured")
    plan = PlanRevision.objects.get()
    sign_in_at_desk(desktop, site.url, "badge-Q1", f"/plans/{plan.pk}/")
    press(desktop, "Begin a draft from this one")
    assert "Nothing is against this plan." in text_of(desktop)
    follow(desktop, "Flatness of the face")
    desktop.fill("[name=due_0_upper]", "0,0005")
    press(desktop, "Keep it in the draft")
    assert "may be up to 0.004 in → may be up to 0.0005 in" in text_of(desktop)
    follow(desktop, "Try it on a housing")
    desktop.fill("[name=serial]", done.serial)
    press(desktop, "Try it")
    assert "One verdict would be different." in text_of(desktop)
    follow(desktop, "Back to the draft")
    desktop.fill("[name=note]", "The gasket of the carrier wants it.")
    press(desktop, "Publish this plan")
    assert "Plan standard, revision 2 is published." in text_of(desktop)
    newest = PlanRevision.objects.get(number=2)
    assert newest.note == "The gasket of the carrier wants it."


def test_two_at_the_same_characteristic_without_scripts(floor: Floor, site: Any, open_page: Any) -> None:
    lead, engineer = (open_page("phone", scripts=False) for _person in range(2))
    plan = PlanRevision.objects.get()
    sign_in_at_desk(lead, site.url, "badge-Q1", f"/plans/{plan.pk}/")
    press(lead, "Begin a draft from this one")
    draft = lead.url.partition("#")[0]
    follow(lead, "Flatness of the face")
    sign_in_at_desk(engineer, site.url, "badge-E1", lead.url.removeprefix(site.url))
    lead.fill("[name=due_0_upper]", "0.003")
    press(lead, "Keep it in the draft")
    engineer.fill("[name=due_0_upper]", "0.002")
    engineer.fill("[name=note]", "Typed by Edith.")
    press(engineer, "Keep it in the draft")
    assert "Stamp Q1 changed this characteristic meanwhile" in text_of(engineer)
    assert engineer.input_value("[name=note]") == "Typed by Edith."
    press(engineer, "Keep mine")
    go(engineer, draft)
    assert "may be up to 0.004 in → may be up to 0.002 in" in text_of(engineer)


def test_a_route_is_written_with_buttons_alone(floor: Floor, site: Any, without_scripts: Any) -> None:
    page = without_scripts
    sign_in_at_desk(page, site.url, "badge-Q1", "/routes/")
    press(page, "Begin a draft from this one")
    page.select_option("[name=add]", "stress_relief")
    press(page, "Put it in")
    press_row(page, "Up", "Stress relief")
    assert "has to come before “Stress relief”" in text_of(page)
    assert page.get_by_role("button", name="Publish this route").is_disabled()
    press_row(page, "Down", "Stress relief")
    press(page, "Publish this route")
    assert "Route standard, revision 2 is published." in text_of(page)
    assert "stress_relief" in [row["station"] for row in RouteRevision.objects.get(number=2).stations]


def test_a_worker_straightens_and_sends_out(floor: Floor, site: Any, phone: Any) -> None:
    floor.do(publish_route, name="standard", stations=[{"station": code} for code in long_route(False)])
    housing = floor.housing(until="straighten")
    become_device(floor, phone, site.url)
    sign_in_with_pin(phone, site.url, "badge-W1")
    go(phone, f"{site.url}/h/{housing.serial}/")
    phone.get_by_label("flame").check()
    phone.get_by_label("left", exact=True).check()
    phone.fill("[name=place]", "14.5")
    phone.select_option("[name=direction]", "3")
    press(phone, "The work is done")
    assert "This is needed." in text_of(phone)
    assert phone.input_value("[name=place]") == "14.5"
    phone.fill("[name=peak_temperature]", "1100")
    press(phone, "The work is done")
    assert WorkDone.objects.get(station="straighten").details["peak_temperature"] == "1100"
    floor.measure_due(housing, "straighten")
    floor.do(leave_station, by="W1", housing=housing.serial, station="straighten")
    floor.do(arrive, by="W1", housing=housing.serial, station="stress_relief")
    go(phone, f"{site.url}/h/{housing.serial}/")
    phone.get_by_text("Send it to a supplier", exact=True).click()
    phone.fill("[name=supplier]", "Kiln Street Heat Treating")
    press(phone, "It is sent")
    assert "Away at Kiln Street Heat Treating" in text_of(phone)
    phone.fill("[name=condition]", "No dents.")
    phone.fill("[name=held_temperature]", "1150")
    phone.fill("[name=held_hours]", "1.5")
    press(phone, "It came back")
    assert "The certificate of conformity of Kiln Street Heat Treating is not filed." in text_of(phone)
    check_page(phone)
