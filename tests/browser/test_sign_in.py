"""Signing in at a tablet that people share."""

from __future__ import annotations

from typing import Any

import pytest

from inspections.models import Nonconformance
from tests.browser.hands import become_device, check_page, go, press, sign_in_with_pin, sign_out, text_of
from tests.factories import GAUGE, Floor

pytestmark = pytest.mark.django_db(transaction=True)


def test_what_one_person_typed_is_not_there_for_the_next(floor: Floor, site: Any, tablet: Any) -> None:
    housing = floor.housing(until="jig")
    become_device(floor, tablet, site.url)
    sign_in_with_pin(tablet, site.url, "badge-W1")
    place = f"{site.url}/h/{housing.serial}/readings/journal_left/"
    go(tablet, place)
    tablet.select_option("[name=gauge]", GAUGE)
    tablet.fill("[name=across_1]", "2,5.1")
    press(tablet, "Record")
    assert tablet.input_value("[name=across_1]") == "2,5.1"
    go(tablet, place)
    tablet.fill("[name=across_1]", "2.4993")  # typed, and not sent
    sign_out(tablet)
    # The back button brings the sign-in, not the page that was left.
    tablet.go_back()
    tablet.wait_for_load_state()
    assert tablet.locator("[name=across_1]").count() == 0 and tablet.locator("[name=pin]").count() == 1
    sign_in_with_pin(tablet, site.url, "badge-M1")
    assert "Mara Lindqvist" in text_of(tablet, ".who")
    go(tablet, place)
    assert tablet.input_value("[name=across_1]") == ""
    assert tablet.input_value("[name=gauge]") == ""


def test_wrong_pins_slow_this_badge_down_and_nobody_else(floor: Floor, site: Any, tablet: Any) -> None:
    become_device(floor, tablet, site.url)
    for _try in range(3):
        go(tablet, f"{site.url}/sign-in/")
        tablet.fill("[name=badge]", "badge-W1")
        tablet.fill("[name=pin]", "1111")
        press(tablet, "Sign in")
        assert "This PIN does not go with this badge." in text_of(tablet)
        assert tablet.input_value("[name=badge]") == "badge-W1"
        assert tablet.input_value("[name=pin]") == ""
    assert "Wait 5 seconds before the next try." in text_of(tablet)
    tablet.fill("[name=pin]", "2468")  # the right one, too early
    press(tablet, "Sign in")
    assert "Everybody else, and other devices, can go on." in text_of(tablet)
    sign_in_with_pin(tablet, site.url, "badge-M1")
    check_page(tablet)
    assert "Mara Lindqvist" in text_of(tablet, ".who")


def test_a_pin_is_worth_nothing_at_a_device_of_a_stranger(floor: Floor, site: Any, phone: Any) -> None:
    go(phone, f"{site.url}/sign-in/")
    phone.fill("[name=badge]", "badge-W1")
    phone.fill("[name=pin]", "2468")
    press(phone, "Sign in")
    assert phone.locator(".who form").count() == 0
    assert "registered" in text_of(phone)


def test_a_session_that_ends_in_the_middle_takes_nothing_along(floor: Floor, site: Any, tablet: Any) -> None:
    housing = floor.housing(until="jig")
    become_device(floor, tablet, site.url)
    sign_in_with_pin(tablet, site.url, "badge-W1")
    go(tablet, f"{site.url}/h/{housing.serial}/problem/")
    tablet.fill("[name=what]", "A crack beside the <left> seam 🔧")
    tablet.context.clear_cookies(name="sessionid")
    press(tablet, "Open a nonconformance")
    assert "You were signed out meanwhile" in text_of(tablet)
    assert "A crack beside the <left> seam 🔧" in text_of(tablet)
    assert not Nonconformance.objects.exists()
    # What somebody typed does not become the next one's, and is not sent under another name.
    sign_in_with_pin(tablet, site.url, "badge-M1")
    go(tablet, f"{site.url}/h/{housing.serial}/problem/")
    assert tablet.input_value("[name=what]") == ""


def test_a_page_of_somebody_else_in_another_tab_writes_nothing(floor: Floor, site: Any, tablet: Any) -> None:
    (housing,) = floor.order()
    become_device(floor, tablet, site.url)
    sign_in_with_pin(tablet, site.url, "badge-W1")
    go(tablet, f"{site.url}/h/{housing.serial}/")
    other = tablet.context.new_page()
    go(other, site.url)
    sign_out(other)
    sign_in_with_pin(other, site.url, "badge-M1")
    press(tablet, "Arrive at Jig")
    assert "Nothing was written down." in text_of(tablet)
    housing.refresh_from_db()
    assert housing.record_position == 1
