"""Who looks at welds: one tap at the bench, an imperfection with its size, a repair, the clock of a test."""

from __future__ import annotations

from typing import Any

import pytest

from inspections.models import Nonconformance, WeldLook, WeldRepair, WeldTest
from tests.browser.hands import PHONE, become_device, check_page, go, press, sign_in_with_pin, text_of
from tests.factories import Floor
from tests.housings.at_a_joint import use
from tests.inspections.judging import LEFT, look, rework, to_testing
from tests.inspections.test_weld_looks import floor_visit

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_root_is_seen_by_one_tap_and_a_weld_refused_and_repaired(
    floor: Floor, site: Any, open_page: Any
) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    use(floor, "root_seen", "welds_looked_at")
    floor.weld(housing, LEFT, 1)
    page = open_page("phone", **PHONE)
    become_device(floor, page, site.url)
    sign_in_with_pin(page, site.url, "badge-W1")
    here = f"{site.url}/h/{housing.serial}/weld/{LEFT}"
    go(page, f"{here}/look/")
    press(page, "Nothing found: accept it")
    assert WeldLook.objects.get().stage == "root"
    assert f"/weld/{LEFT}/" in page.url and "accepted" in text_of(page)

    floor.weld(housing, LEFT, 2)
    go(page, f"{here}/look/")
    page.select_option("[name=number_0]", "5011")
    page.fill("[name=size_0]", "0.8")
    page.fill("[name=where_0]", "3 o'clock")
    press(page, "It may stay: accept")
    assert "refuse the weld" in text_of(page, ".error-summary")
    assert page.input_value("[name=size_0]") == "0.8"
    press(page, "Refuse the weld")
    found = Nonconformance.objects.get()
    assert "5011 continuous undercut, 0.8 mm" in found.what and "waits for a decision" in text_of(page)

    rework(floor, housing, found.number)
    go(page, f"{here}/repair/")
    page.fill("[name=depth]", "0.12")
    page.fill("[name=length]", "1.2")
    press(page, "It is dug out")
    assert WeldRepair.objects.get().number == 1 and "Look: Cavity" in text_of(page, "h1")
    press(page, "Nothing found: accept it")
    floor.weld(housing, LEFT, 1, repair=1)
    go(page, f"{here}/look/")
    press(page, "Nothing found: accept it")
    newest = WeldLook.objects.latest("record_position")
    assert (newest.stage, newest.repair, newest.accepted) == ("final", 1, True)


def test_a_test_waits_for_its_clock_at_the_station(floor: Floor, site: Any, open_page: Any) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    use(floor, "test_waited")
    floor.weld(housing, LEFT, 3)
    look(floor, housing, "final")
    floor.finish(housing, floor_visit(housing, "snouts"))
    to_testing(floor, housing)
    page = open_page("phone", **PHONE)
    become_device(floor, page, site.url)
    sign_in_with_pin(page, site.url, "badge-W1")
    go(page, f"{site.url}/h/{housing.serial}/")
    assert "Wait until" in text_of(page) and page.locator(".wait-bar").count() == 2
    with page.expect_navigation():
        page.get_by_role("link", name="Left snout to tube").first.click()
    check_page(page)
    page.get_by_label("Who tested it?").fill("Tess Hollow")
    page.get_by_text("Somebody from outside", exact=True).click()
    page.fill("[name=certificate]", "PT-0417")
    page.fill("[name=certified_until]", "2099-01-31")
    press(page, "Accepted")
    assert "Test it after that." in text_of(page, ".error-summary")
    assert not WeldTest.objects.exists()
    go(page, f"{site.url}/weld/tests/")
    assert housing.serial[-2:] in text_of(page) and "Wait until" in text_of(page)
