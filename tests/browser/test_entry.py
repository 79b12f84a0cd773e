"""Each kind of entry by hand, on a phone, a tablet and a desktop: typed, judged, shown, and nothing lost."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from housings.models import Housing
from housings.operations.visits import arrive, leave_station
from inspections.models import EntryDraft, Reading
from inspections.operations.gauges import add_gauge
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
from tests.good_readings import ring

pytestmark = pytest.mark.django_db(transaction=True)

SIZES = {
    "phone": PHONE["viewport"],
    "tablet": {"width": 820, "height": 1180},
    "desktop": {"width": 1366, "height": 900},
}
FACING, LAST = "face_and_drill", "final_inspection"


def lines(rows: list[list[str]]) -> str:
    return "\n".join("\t".join(row) for row in rows)


def cells(names: str, rows: list[list[str]]) -> dict[str, str]:
    """Cells of a table by their names: column, then row."""
    return {
        f"{name}_{n}": t for n, row in enumerate(rows, 1) for name, t in zip(names.split(), row, strict=True)
    }


STATIONS = [["-28", "0", "0"], ["-16", "0", "0"], ["16", "0", "0"], ["28", "0", "0"]]
FACE = {
    "list": lines(ring(4.75, "2.5")),
    "left_list": "-30 0 0",
    "right_list": "30;0;0",
    "bore_list": lines(ring(3.625, "2.5", 8)),
}
# What is typed at the facing, by the characteristic whose page it is typed on.
AT_FACING: Mapping[str, Mapping[str, str]] = {
    "width": {"value": "60,001"},
    "journal_runout_left": {f"turn_{n}": text for n, text in enumerate(["0", "0.001", "0.002", "0.001"])},
    "face_flatness": FACE,
    "camber_left": cells("z x y", STATIONS),
    "hole_threads": {"go": "yes", "no_go_turns": "1.5"},
}
AT_LAST: Mapping[str, Mapping[str, str]] = {
    "journal_left": cells("across", [["2.4992"], ["2.4993"], ["2.4992"], ["2.4993"]]),
    "shaft_clearance_left": cells("z x y bore", [["4", "0", "0", "1.82"], ["16", "0", "0", "1.82"]]),
    "drain_thread": {"turns": "-0.5"},
}


def fill(page: Any, typed: Mapping[str, str]) -> None:
    for name, text in typed.items():
        if name == "go":
            page.check(f"[name=go][value={text}]")
        else:
            page.fill(f"[name={name}]", text)


def at(site: Any, housing: Housing, code: str) -> str:
    return f"{site.url}/h/{housing.serial}/readings/{code}/"


def signed_in(floor: Floor, site: Any, open_page: Callable[..., Any], **options: Any) -> Any:
    page = open_page("phone", **{**PHONE, **options})
    become_device(floor, page, site.url)
    sign_in_with_pin(page, site.url, "badge-W1")
    return page


def look(page: Any) -> None:
    """The page as it is at each size of screen."""
    for size in SIZES.values():
        page.set_viewport_size(size)
        check_page(page)
    page.set_viewport_size(SIZES["phone"])


def enter(page: Any, site: Any, housing: Housing, code: str, typed: Mapping[str, str]) -> None:
    go(page, at(site, housing, code))
    if page.locator("[name=gauge]").count() and not page.locator("[name=gauge]").input_value():
        page.select_option("[name=gauge]", GAUGE)
    look(page)
    fill(page, typed)
    press(page, "Record")
    look(page)
    assert "Pass" in text_of(page, ".verdict"), code


def test_each_kind_at_the_facing(floor: Floor, site: Any, open_page: Callable[..., Any]) -> None:
    housing = floor.housing(until=FACING)
    floor.work(housing, FACING)
    page = signed_in(floor, site, open_page)
    for code, typed in AT_FACING.items():
        enter(page, site, housing, code, typed)
    centers = floor.characteristic(housing, "hole_pattern").parameters["centers"]
    enter(page, site, housing, "hole_pattern", cells("x y", centers))
    go(page, at(site, housing, "inside_clean"))
    look(page)
    page.locator("[name=result][value=go]").click()
    page.wait_for_url("**recorded=**")
    taken = set(Reading.objects.filter(station=FACING).values_list("characteristic__kind", flat=True))
    assert taken == {
        "size",
        "runout",
        "face_points",
        "face_to_axis",
        "pilot_to_axis",
        "end_alignment",
        "thread_gauge",
        "hole_pattern",
        "go_no_go",
    }
    # The bar's four figures and the face's four are one write each.
    assert len(set(Reading.objects.filter(station=FACING).values_list("record_position"))) == 7


def test_each_kind_at_the_end(floor: Floor, site: Any, open_page: Callable[..., Any]) -> None:
    housing = floor.housing(until="leak_test")
    page = signed_in(floor, site, open_page)
    floor.work(housing, "leak_test")
    log = cells("minutes pressure warmth", [["0", "4.00", "70"], ["5", "3.99", "70"]])
    enter(page, site, housing, "leak", log)
    floor.do(leave_station, by="W1", housing=housing.serial, station="leak_test")
    floor.do(arrive, by="W1", housing=housing.serial, station=LAST)
    for code, typed in AT_LAST.items():
        enter(page, site, housing, code, typed)


def test_a_slip_is_asked_about_before_anything_else(
    floor: Floor, site: Any, open_page: Callable[..., Any]
) -> None:
    housing = floor.housing(until=FACING)
    floor.work(housing, FACING)
    page = signed_in(floor, site, open_page)
    go(page, at(site, housing, "width"))
    page.select_option("[name=gauge]", GAUGE)
    page.fill("[name=value]", "1524")
    press(page, "Record")
    # 1524 mm / 25.4 = 60 in exactly.
    assert "Did you mean 1524 mm?" in text_of(page, ".asked-first")
    box = page.locator(".asked-first").bounding_box()
    assert box["y"] >= 0 and box["y"] + box["height"] <= PHONE["viewport"]["height"]
    page.keyboard.press("Enter")  # a gauge that types once more answers nothing
    assert not Reading.objects.filter(station=FACING).exists()
    look(page)
    page.locator("[name=meant]").click()
    page.wait_for_url("**recorded=**")
    assert Reading.objects.get(station=FACING).raw == {"value": "1524", "unit": "mm"}


def test_what_was_typed_survives_being_called_away(
    floor: Floor, site: Any, open_page: Callable[..., Any]
) -> None:
    housing = floor.housing(until=FACING)
    floor.work(housing, FACING)
    page = signed_in(floor, site, open_page)
    go(page, at(site, housing, "journal_runout_left"))
    page.select_option("[name=gauge]", GAUGE)
    page.fill("[name=turn_0]", "0.001")
    page.fill("[name=turn_1]", "0.002")
    go(page, f"{site.url}/h/{housing.serial}/")  # leaving the page keeps it
    go(page, at(site, housing, "journal_runout_left"))
    page.get_by_role("link", name="Go on with it").click()
    page.wait_for_url("**draft=1**")
    assert page.input_value("[name=turn_1]") == "0.002"
    page.fill("[name=turn_2]", "0.001")
    page.fill("[name=turn_3]", "0.001")
    look(page)
    press(page, "Record")
    assert not EntryDraft.objects.exists()


def test_a_master_settles_what_no_gauge_can(floor: Floor, site: Any, open_page: Callable[..., Any]) -> None:
    master = {"size": "2.50000"}
    floor.do(add_gauge, code="M-1", name="Setting ring", kind="master", unit="in", constants=master)
    housing = floor.housing(until=LAST)
    page = signed_in(floor, site, open_page)
    go(page, at(site, housing, "journal_left"))
    page.get_by_role("link", name="Compare with a master instead").click()
    page.select_option("[name=gauge]", GAUGE)
    page.select_option("[name=master]", "M-1")
    fill(page, cells("across", [["-0.0008"], ["-0.0007"], ["-0.0008"], ["-0.0007"]]))
    look(page)
    press(page, "Record")
    assert "Pass" in text_of(page, ".verdict")
    assert Reading.objects.get(station=LAST).setup["master"] == "M-1"


def test_what_was_not_accepted_is_kept_when_the_person_walks_away(
    floor: Floor, site: Any, open_page: Callable[..., Any]
) -> None:
    housing = floor.housing(until=FACING)
    page = signed_in(floor, site, open_page)
    go(page, at(site, housing, "width"))
    page.fill("[name=value]", "60.001")
    press(page, "Record")
    assert page.evaluate("document.activeElement.className") == "error-summary"
    go(page, f"{site.url}/h/{housing.serial}/")
    go(page, at(site, housing, "width"))
    follow(page, "Go on with it")
    assert page.input_value("[name=value]") == "60.001"
