"""The pages around a housing in a real browser: hands in gloves, small screens, no scripts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.utils import timezone

from housings.models import Visit
from housings.operations.holds import hold_housing
from tests.factories import SECRET, Floor

pytestmark = pytest.mark.django_db(transaction=True)

GLOVE = 48  # px: what a glove hits; the design's own figure, twice the 24 of WCAG 2.2, 2.5.8
OF_HANDS = (
    "button, .button, .do, summary, select, input:not([type=hidden], [type=checkbox], [type=radio]), textarea"
)
SMALL = """([selector, least]) => [...document.querySelectorAll(selector)]
    .filter(e => e.checkVisibility() && !e.closest('.visually-hidden'))
    .map(e => [e.getBoundingClientRect().height, e.outerHTML.slice(0, 120)])
    .filter(([height]) => height > 2 && height < least - 0.5)"""
SCREENS = {"phone": (360, 740), "tablet": (820, 1180), "desktop": (1920, 1080)}


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    return Floor(at=timezone.now())


def sign_in(page: Any, url: str, badge: str) -> None:
    page.goto(f"{url}/sign-in/")
    page.fill("[name=badge]", badge)
    if not page.locator("[name=password]").is_visible():
        page.locator("summary").first.click()
    page.fill("[name=password]", SECRET)
    page.locator("main .do").click()
    page.wait_for_selector("[data-scan]")


@pytest.mark.parametrize("screen", SCREENS)
def test_every_page_fits_its_screen_and_every_target_a_glove(
    floor: Floor, site: Any, open_page: Callable[..., Any], screen: str
) -> None:
    width, height = SCREENS[screen]
    page = open_page(screen, viewport={"width": width, "height": height})
    housing = floor.housing(until="tack")
    sign_in(page, site.url, "badge-O1")
    places = [
        "/",
        "/housings/",
        "/orders/",
        "/orders/new/",
        "/routes/",
        "/shop/",
        "/shop/people/",
        "/shop/keys/",
    ]
    places += [f"/h/{housing.serial}/", f"/orders/{housing.order.number}/", f"/record-book/{housing.chain}/"]
    for place in places:
        page.goto(site.url + place)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), place
        assert page.evaluate(SMALL, [OF_HANDS, GLOVE]) == [], place
        assert page.locator("h1").count() == 1, place


def test_the_next_scan_goes_where_the_focus_is(floor: Floor, site: Any, tablet: Any) -> None:
    housing = floor.housing()
    sign_in(tablet, site.url, "badge-Q1")
    tablet.keyboard.type(housing.serial)
    tablet.keyboard.press("Enter")
    tablet.wait_for_url(f"**/h/{housing.serial}/")
    assert housing.serial[2:5] in tablet.locator(".serial-loud").inner_text()


def test_the_main_action_stays_at_the_thumb(floor: Floor, site: Any, open_page: Callable[..., Any]) -> None:
    page = open_page("phone", viewport={"width": 360, "height": 640})
    housing = floor.housing(until="tack")
    sign_in(page, site.url, "badge-Q1")
    page.goto(f"{site.url}/h/{housing.serial}/")
    box = page.locator(".at-thumb .do").bounding_box()
    assert box["height"] >= 60
    assert box["y"] > 640 / 2 and box["y"] + box["height"] <= 640


def test_without_scripts_a_housing_goes_on(floor: Floor, site: Any, without_scripts: Any) -> None:
    housing = floor.housing()
    sign_in(without_scripts, site.url, "badge-Q1")
    without_scripts.goto(f"{site.url}/h/{housing.serial}/")
    without_scripts.locator(".at-thumb .do").click()
    without_scripts.wait_for_selector(".messages")
    assert Visit.objects.get(housing=housing, station="jig").arrived_by == "Q1"


def test_two_taps_arrive_once(floor: Floor, site: Any, phone: Any) -> None:
    housing = floor.housing()
    sign_in(phone, site.url, "badge-Q1")
    phone.goto(f"{site.url}/h/{housing.serial}/")
    phone.locator(".at-thumb .do").dblclick()
    phone.wait_for_selector(".messages")
    assert "Arrived at Jig." in phone.locator(".messages").inner_text()
    housing.refresh_from_db()
    assert housing.record_position == 2


def test_a_page_says_when_somebody_else_has_written_and_keeps_what_is_typed(
    floor: Floor, site: Any, tablet: Any
) -> None:
    housing = floor.housing()
    sign_in(tablet, site.url, "badge-Q1")
    tablet.goto(f"{site.url}/h/{housing.serial}/")
    tablet.locator("summary", has_text="Hold this housing").click()
    tablet.fill("#hold_why", "half a sentence")
    assert not tablet.locator(".changed").is_visible()
    floor.do(hold_housing, by="W1", housing=housing.serial, why="wait")
    tablet.wait_for_selector(".changed", state="visible", timeout=30_000)
    assert tablet.input_value("#hold_why") == "half a sentence"
