"""A whole visit to a station, as hands in gloves do it: scan, arrive, work, measure, leave."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from housings.models import Housing, Visit
from inspections.models import Nonconformance, Reading
from inspections.operations.nonconformances import dispose
from tests.browser.hands import (
    PHONE,
    become_device,
    check_page,
    follow,
    go,
    press,
    sign_in_with_pin,
    text_of,
)
from tests.factories import GAUGE, Floor

pytestmark = pytest.mark.django_db(transaction=True)

STATION = "face_and_drill"
# One of each kind that the default plan has at this station.
MEASURED_BY_HAND = {
    "pilot_bore",
    "width",
    "inside_clean",
    "journal_runout_left",
    "face_flatness",
    "hole_pattern",
}
FACE = "\n".join(f"{x} {y} 0.00{(x * y) % 2}" for x in range(4) for y in range(4))


def at_face(floor: Floor) -> Housing:
    """A housing that goes to the facing next."""
    housing = floor.housing(until="snouts")
    floor.finish(housing, Visit.objects.get(housing=housing, station="snouts"))
    return housing


def readings(housing: Housing, code: str) -> int:
    return Reading.objects.filter(housing=housing, characteristic__code=code).count()


def test_a_worker_brings_a_housing_through_a_station(
    floor: Floor, site: Any, open_page: Callable[..., Any]
) -> None:
    page = open_page("phone", **PHONE)
    housing = at_face(floor)
    become_device(floor, page, site.url)
    sign_in_with_pin(page, site.url, "badge-W1")

    # A scanner types the address that the traveler's code holds, and Enter.
    page.keyboard.type(f"{site.url}/h/{housing.serial}/")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/h/{housing.serial}/")
    press(page, "Arrive at Face and drill")
    press(page, "The work is done")

    entry = f"{site.url}/h/{housing.serial}/readings/"
    go(page, f"{entry}pilot_bore/")
    page.select_option("[name=gauge]", GAUGE)
    page.fill("[name=value]", "7.251")
    page.locator(".at-thumb .do").dblclick()
    page.wait_for_url("**recorded=**")
    check_page(page)
    assert "Pass" in text_of(page, ".verdict")
    assert readings(housing, "pilot_bore") == 1
    # The verdict and the next figure's field stand on one screen, and a gauge that types goes on typing.
    page.locator("[data-focus-quietly]:focus").wait_for()
    for selector in (".verdict", "[data-focus-quietly]", ".at-thumb .do"):
        box = page.locator(selector).bounding_box()
        assert box["y"] >= 0 and box["y"] + box["height"] <= PHONE["viewport"]["height"], selector
    recorded = page.url
    page.go_back()
    page.wait_for_load_state()
    page.goto(recorded)
    page.reload()
    assert readings(housing, "pilot_bore") == 1

    go(page, f"{entry}inside_clean/")
    page.locator("[name=result][value=go]").click()
    page.wait_for_url("**recorded=**")
    assert "Pass" in text_of(page, ".verdict")

    go(page, f"{entry}journal_runout_left/")
    for place in page.locator("[name^=turn_]").all():
        place.fill("0.001")
    press(page, "Record")
    assert "Pass" in text_of(page, ".verdict")

    go(page, f"{entry}face_flatness/")
    page.fill("[name=list]", FACE)
    press(page, "Record")
    assert "Pass" in text_of(page, ".verdict")

    go(page, f"{entry}hole_pattern/")
    for number, (x, y) in enumerate(floor.characteristic(housing, "hole_pattern").parameters["centers"], 1):
        page.fill(f"[name=x_{number}]", x)
        page.fill(f"[name=y_{number}]", y)
    press(page, "Record")
    assert "Pass" in text_of(page, ".verdict")

    go(page, f"{entry}width/")
    page.fill("[name=value]", "61,5")  # a comma is a decimal point as well
    press(page, "Record")
    assert "Fail" in text_of(page, ".verdict")
    follow(page, "nonconformance 1 of this housing")
    assert "61.5" in text_of(page)
    assert Nonconformance.objects.filter(housing=housing, characteristic__code="width").count() == 1

    # The rest of what is due is entered the same way; here the program is told directly.
    due = {standing.characteristic.code for standing in floor.measured(housing).due_at(STATION)}
    floor.measure_due(housing, STATION, only=sorted(due - MEASURED_BY_HAND))
    go(page, f"{site.url}/h/{housing.serial}/")
    assert "Not yet. What is in the way" in text_of(page)
    floor.do(
        dispose, by="Q1", housing=housing.serial, nonconformance=1, decision="use_as_is", reason="it fits"
    )
    page.reload()
    press(page, "Leave Face and drill")
    visit = Visit.objects.get(housing=housing, station=STATION, kind="planned")
    assert visit.left_by == "W1" and visit.left_at
    assert "It has left." in text_of(page, ".messages")


def test_without_scripts_a_whole_visit_is_made(
    floor: Floor, site: Any, open_page: Callable[..., Any]
) -> None:
    page = open_page("phone", scripts=False, **PHONE)
    (housing,) = floor.order()
    become_device(floor, page, site.url)
    sign_in_with_pin(page, site.url, "badge-W1")
    page.fill("#scan", housing.serial)
    press(page, "Open the housing")
    press(page, "Arrive at Jig")
    while (link := page.get_by_role("link", name="Measure what is due")).count():
        with page.expect_navigation():
            link.click()
        check_page(page)
        _answer(page)
        go(page, f"{site.url}/h/{housing.serial}/")
    press(page, "Leave Jig")
    visit = Visit.objects.get(housing=housing, station="jig")
    assert visit.left_by == "W1"
    assert Reading.objects.filter(housing=housing, by_stamp="W1").count() == 3


def _answer(page: Any) -> None:
    """Answer what the station asks: what is seen by a tap, a journal by what the gauge says."""
    if page.locator("[name=result]").count():
        page.locator("[name=result][value=go]").click()
    else:
        if page.locator("[name=gauge]").is_visible():  # asked for once, then kept
            page.select_option("[name=gauge]", GAUGE)
        for place in page.locator("[name^=across_]").all():
            place.fill("2.49925")  # 0.00075 under 2.5, in the middle of what is allowed
        press(page, "Record")
    assert "Pass" in text_of(page, ".verdict")
