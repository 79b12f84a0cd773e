"""A welder alternates between two housings from the bench clock, one tap a pass, and others see it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from housings.models import Arc, Housing, WeldPass
from tests.browser.hands import PHONE, become_device, check_page, go, press, sign_in_at_desk, sign_in_with_pin
from tests.factories import Floor

pytestmark = pytest.mark.django_db(transaction=True)

SCREEN = {"viewport": {"width": 1920, "height": 1080}}
GLOVE = 48
SOON_MS = 6_000  # the page asks every 1.5 s; the rest is for a busy machine
JOINT = "snout_left"


@pytest.fixture
def two(floor: Floor) -> list[Housing]:
    """Two housings at the snouts; no pass here reaches 900 °F, so that nobody has to wait for cooling."""
    floor.procedures()
    floor.procedure("snout-4140-250", interpass_greatest="900")
    return [floor.housing(until="snouts") for _number in range(2)]


def line(page: Any, housing: Housing) -> Any:
    """The line of a joint on the clock; its id begins with letters of the serial."""
    return page.locator(f"[id='{housing.serial}-{JOINT}']")


def passes(housing: Housing) -> int:
    return WeldPass.objects.filter(housing=housing, joint__code=JOINT).count()


def test_a_welder_alternates_between_two_housings_one_tap_a_pass(
    floor: Floor, site: Any, open_page: Callable[..., Any], two: list[Housing]
) -> None:
    screen = open_page("desktop", **SCREEN)
    sign_in_at_desk(screen, site.url, "badge-Q1", then="/weld/")
    phone = open_page("phone", **PHONE)
    become_device(floor, phone, site.url)
    sign_in_with_pin(phone, site.url, "badge-W1")
    go(phone, f"{site.url}/weld/")

    taps = 0
    for number in (1, 2, 3):
        for housing in two:
            button = line(phone, housing).get_by_role("button")
            assert f"Pass {number} done" in button.inner_text()
            assert button.bounding_box()["height"] >= GLOVE
            with phone.expect_navigation():
                button.click()
            taps += 1
            check_page(phone)
            assert phone.url == f"{site.url}/weld/"
            assert passes(housing) == number
            # On the shared screen it stands without anybody loading the page again.
            line(screen, housing).get_by_text(f"pass {number + 1} is next").wait_for(timeout=SOON_MS)
    assert taps == WeldPass.objects.count() == 6
    assert set(WeldPass.objects.values_list("welder__stamp", flat=True)) == {"W1"}
    check_page(screen)


def test_a_double_tap_is_one_pass(
    floor: Floor, site: Any, open_page: Callable[..., Any], two: list[Housing]
) -> None:
    phone = open_page("phone", **PHONE)
    become_device(floor, phone, site.url)
    sign_in_with_pin(phone, site.url, "badge-W1")
    go(phone, f"{site.url}/weld/")
    line(phone, two[0]).get_by_role("button").dblclick()
    phone.get_by_text("Pass 1 is recorded.").wait_for()
    assert passes(two[0]) == 1


def test_a_scan_starts_the_pass_and_one_tap_ends_it(
    floor: Floor, site: Any, open_page: Callable[..., Any], two: list[Housing]
) -> None:
    page = open_page("phone", **PHONE)
    become_device(floor, page, site.url)
    sign_in_with_pin(page, site.url, "badge-W1")
    go(page, f"{site.url}/weld/")
    # A scanner types the address that the traveler's code holds, and Enter; nothing has the focus.
    page.keyboard.type(f"{site.url}/h/{two[1].serial}/")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/h/{two[1].serial}/weld/{JOINT}/")
    check_page(page)
    assert Arc.objects.get().housing_id == two[1].pk
    press(page, "Pass 1 done", within=".at-thumb")
    assert passes(two[1]) == 1 and Arc.objects.get().ended == "pass"


def test_without_scripts_the_clock_is_loaded_again_and_a_pass_is_one_tap(
    floor: Floor, site: Any, open_page: Callable[..., Any], two: list[Housing]
) -> None:
    page = open_page("phone", scripts=False, **PHONE)
    become_device(floor, page, site.url)
    sign_in_with_pin(page, site.url, "badge-W1")
    go(page, f"{site.url}/weld/")
    with page.expect_navigation():
        line(page, two[0]).get_by_role("button").click()
    check_page(page)
    assert passes(two[0]) == 1
    with page.expect_navigation():
        page.get_by_role("link", name="look again").click()
    assert "pass 2 is next" in line(page, two[0]).inner_text()


def test_what_somebody_is_at_does_not_move_under_the_finger(
    floor: Floor, site: Any, open_page: Callable[..., Any], two: list[Housing]
) -> None:
    page = open_page("desktop", **SCREEN)
    sign_in_at_desk(page, site.url, "badge-Q1", then="/weld/")
    button = line(page, two[1]).get_by_role("button")
    button.focus()
    floor.weld(two[0], JOINT)
    line(page, two[0]).get_by_text("pass 2 is next").wait_for(timeout=SOON_MS)
    # The lines were shown anew, and the button that had the focus has it still.
    page.locator(f"[id='tap-{two[1].serial}-{JOINT}']:focus").wait_for(timeout=SOON_MS)
