"""The engineer writes the shop's first procedure at a desk; the QC lead qualifies a welder on a phone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from housings.models import Qualification
from tests.browser.hands import PHONE, check_page, go, press, sign_in_at_desk, text_of
from tests.factories import Floor
from tests.housings.welding_people import days_ago, newest, publish, qualify

pytestmark = pytest.mark.django_db(transaction=True)


def test_the_first_procedure_is_written_from_an_example(
    floor: Floor, site: Any, open_page: Callable[..., Any]
) -> None:
    page = open_page("desktop")
    sign_in_at_desk(page, site.url, "badge-E1")
    go(page, f"{site.url}/procedures/")
    check_page(page)
    go(page, f"{site.url}/procedures/new/")
    check_page(page)
    page.locator('button[value="snout-4130-500"]').click()
    page.wait_for_url("**/procedures/drafts/*/")
    check_page(page)
    page.locator('[name="amps_most"]').fill("100")
    press(page, "Keep the draft and check it")
    assert "Amps: the least, 150, is above the most, 100." in text_of(page)
    check_page(page)
    page.locator('[name="amps_most"]').fill("210")
    page.locator('[name="qualified_by"]').fill("Q-7, invented")
    press(page, "Keep the draft and check it")
    press(page, "Publish this procedure")
    page.wait_for_url("**/procedures/*/")
    assert newest("snout-4130-500").data["amps"] == {"least": "150", "most": "210"}
    assert "27 to 52 kJ/in of arc energy" in text_of(page)
    check_page(page)


def test_a_welder_is_qualified_on_a_phone(floor: Floor, site: Any, open_page: Callable[..., Any]) -> None:
    publish(floor)
    qualify(floor, "M1", tested=400)
    page = open_page("phone", **PHONE)
    sign_in_at_desk(page, site.url, "badge-Q1")
    go(page, f"{site.url}/welders/")
    check_page(page)
    go(page, f"{site.url}/welders/W1/")
    check_page(page)
    page.get_by_text("A qualification for welding", exact=True).click()
    page.locator('#qualify_reference, [name="reference"]').first.fill("W1-T")
    page.locator('[name="joints"][value="groove"]').check()
    page.locator('[name="positions"][value="PA"]').check()
    page.locator('[name="backing"][value="without"]').check()
    page.locator('details[open] [name="tested_on"]').fill(days_ago(30, floor.at))
    page.locator('details[open] button[value="qualify"]').click()
    page.wait_for_load_state()
    assert Qualification.objects.filter(person__stamp="W1").count() == 1
    check_page(page)
    housing = floor.housing(until="snouts")
    go(page, f"{site.url}/h/{housing.serial}/weld/snout_left/procedure/")
    check_page(page)
