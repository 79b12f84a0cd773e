"""Steel at a browser: a scanner fills one field after the other, a label opens its heat, a recall is seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from housings.models import Heat, Hold
from tests.browser.hands import (
    PHONE,
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
from tests.housings.steel import heat, made_with_steel, now_of, usual_heats

pytestmark = pytest.mark.django_db(transaction=True)


def scan(page: Any, code: str) -> None:
    """A scanner types what a label holds into whatever has the focus, and sends Enter."""
    page.keyboard.type(code)
    page.keyboard.press("Enter")


def test_a_worker_scans_the_steel_of_a_station_without_touching_the_screen(
    floor: Floor, site: Any, open_page: Callable[..., Any]
) -> None:
    usual_heats(floor)
    housing = floor.housing(until="jig")
    page = open_page("phone", **PHONE)
    become_device(floor, page, site.url)
    sign_in_with_pin(page, site.url, "badge-W1")
    go(page, f"{site.url}/h/{housing.serial}/")
    follow(page, "Scan the steel")
    page.wait_for_function("document.activeElement.name === 'part_tube_left'")
    scan(page, "T-4130")
    scan(page, "T-4130")
    page.wait_for_function("document.activeElement.name === 'part_center_plate'")
    with page.expect_navigation():
        scan(page, "P-4130")
    check_page(page)
    assert "Recorded: Left tube: T-4130" in text_of(page)
    assert now_of(housing) == {"tube_left": "T-4130", "tube_right": "T-4130", "center_plate": "P-4130"}


def test_wrong_steel_is_raised_from_where_it_was_refused(floor: Floor, site: Any, desktop: Any) -> None:
    heat(floor, "X-1", grade="1020", condition="normalised", form="tube")
    housing = floor.housing(until="jig")
    sign_in_at_desk(desktop, site.url, "badge-Q1", f"/h/{housing.serial}/materials/")
    desktop.fill("[name=part_tube_left]", "X-1")
    press(desktop, "Record the steel")
    assert "Plain carbon tube bends too easily." in text_of(desktop)
    follow(desktop, "Wrong steel: open a nonconformance")
    assert desktop.locator("[name=defect]:checked").input_value() == "wrong_steel"
    press(desktop, "Open a nonconformance")
    assert "Nonconformance 1 of this housing is open." in text_of(desktop)


def test_the_qc_lead_recalls_a_heat_and_prints_where_it_went(floor: Floor, site: Any, desktop: Any) -> None:
    usual_heats(floor)
    housing = made_with_steel(floor, "jig")
    sign_in_at_desk(desktop, site.url, "badge-Q1", "/materials/")
    # A label scanned anywhere on the list opens its heat.
    desktop.evaluate("document.activeElement.blur()")
    with desktop.expect_navigation():
        scan(desktop, "T-4130")
    check_page(desktop)
    follow(desktop, "Recall it")
    assert "It is in 1 housing." in text_of(desktop)
    desktop.fill("[name=why]", "The mill found its furnace log was of another charge.")
    press(desktop, "Recall it")
    assert "Recalled. It is in 1 housing; held: 1, certificates under question: 0." in text_of(desktop)
    assert Heat.objects.get(number="T-4130").recalled_by == "Q1"
    assert Hold.objects.get().housing == housing
    with desktop.expect_download() as download:
        desktop.get_by_role("link", name="As a file for a spreadsheet").click()
    assert download.value.suggested_filename == "heat-T-4130.csv"
