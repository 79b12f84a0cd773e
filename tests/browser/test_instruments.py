"""Instruments at the bench: a file, a gauge that types, a pasted column, the picture while somebody types."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from housings.models import Housing
from inspections.models import Reading
from tests.browser.hands import become_device, check_page, go, press, sign_in_with_pin, text_of
from tests.factories import GAUGE, Floor

pytestmark = pytest.mark.django_db(transaction=True)

STATION = "face_and_drill"
FACE = "\n".join(f"{x};{y};0,00{(x * y) % 2}" for x in range(4) for y in range(4))
PASTE = """([selector, text]) => {
    const field = document.querySelector(selector);
    field.focus();
    const data = new DataTransfer();
    data.setData("text/plain", text);
    const event = new ClipboardEvent("paste", {clipboardData: data, bubbles: true, cancelable: true});
    if (field.dispatchEvent(event)) document.execCommand("insertText", false, text);
}"""


@pytest.fixture
def housing(floor: Floor) -> Housing:
    """A housing whose face was cut and is to be measured."""
    found = floor.housing(until=STATION)
    floor.work(found, STATION)
    return found


def at(site: Any, housing: Housing, code: str) -> str:
    return f"{site.url}/h/{housing.serial}/readings/{code}/"


@pytest.fixture
def worker(floor: Floor, site: Any, open_page: Callable[..., Any]) -> Callable[..., Any]:
    """``worker(device)``: a page at which a worker has signed in."""

    def opened(device: str = "tablet", **options: Any) -> Any:
        page = open_page(device, **options)
        become_device(floor, page, site.url)
        sign_in_with_pin(page, site.url, "badge-W1")
        return page

    return opened


def raw_of(code: str) -> dict[str, Any]:
    return Reading.objects.get(characteristic__code=code).raw


@pytest.mark.parametrize("scripts", [True, False])
def test_a_file_is_mapped_once_taken_and_recorded(
    housing: Housing, site: Any, worker: Callable[..., Any], tmp_path: Path, scripts: bool
) -> None:
    page = worker(scripts=scripts)
    file = tmp_path / "arm.csv"
    file.write_text(f"east;north;height\n{FACE}\n")
    go(page, at(site, housing, "face_flatness"))
    page.get_by_role("link", name="From a file").click()
    page.set_input_files("[name=upload]", file)
    press(page, "Look at the file")
    assert "cannot be found" in text_of(page)
    for place, axis in enumerate("xyz"):
        page.select_option(f"[name=column_{axis}]", str(place))
    page.select_option("[name=unit]", "in")
    press(page, "Look again")
    assert "16 rows, semicolon, decimal comma, in." in text_of(page)
    assert "would pass" in text_of(page) and page.locator("main svg").count() >= 1
    press(page, "Take these figures")
    page.evaluate("document.querySelector('details.how')?.setAttribute('open', '')") if scripts else None
    page.select_option("[name=gauge]", GAUGE)
    press(page, "Record")
    assert "Pass" in text_of(page, ".verdict")
    assert raw_of("face_flatness")["points"][5] == ["1", "1", "0.001"]

    # The next file of the same instrument asks nothing.
    go(page, at(site, housing, "face_flatness") + "file/")
    file.write_text(f"east;north;height\n{FACE.replace('0,001', '0,002')}\n")
    page.set_input_files("[name=upload]", file)
    press(page, "Look at the file")
    assert "cannot be found" not in text_of(page) and "would pass" in text_of(page)


def test_verdict_and_picture_come_while_somebody_types_and_nothing_jumps(
    housing: Housing, site: Any, worker: Callable[..., Any]
) -> None:
    page = worker()
    go(page, at(site, housing, "pilot_bore"))
    page.locator("details.how").evaluate("how => how.setAttribute('open', '')")
    page.select_option("[name=gauge]", GAUGE)
    page.focus("[name=value]")
    before = page.locator(".at-thumb .do").bounding_box()
    page.keyboard.type("7.2510")
    page.locator("[data-preview-at] .ahead-pass").wait_for()
    assert "would pass" in text_of(page, "[data-preview-at]")
    assert page.locator(".at-thumb .do").bounding_box() == before
    assert page.evaluate("document.activeElement.name") == "value"
    page.fill("[name=value]", "7.9")
    page.locator("[data-preview-at] .ahead-fail").wait_for()
    # Half a figure: a sentence instead of a verdict, and what stands below stays where it is.
    height = page.locator("[data-preview-at]").bounding_box()["height"]
    page.fill("[name=value]", "7.9.")
    page.locator("[data-preview-at] .ahead-fail").wait_for(state="detached")
    assert page.locator("[data-preview-at]").bounding_box()["height"] >= height
    assert not Reading.objects.filter(characteristic__code="pilot_bore").exists()


def test_a_face_is_drawn_while_it_is_pasted(housing: Housing, site: Any, worker: Callable[..., Any]) -> None:
    page = worker("phone")
    go(page, at(site, housing, "face_flatness"))
    page.fill("[name=list]", FACE)
    page.locator("[data-preview-at] svg").first.wait_for()
    check_page(page)


def test_a_gauge_that_types_goes_round_the_clock(
    housing: Housing, site: Any, worker: Callable[..., Any]
) -> None:
    page = worker()
    go(page, at(site, housing, "journal_runout_left"))
    page.locator("details.how").evaluate("how => how.setAttribute('open', '')")
    page.select_option("[name=gauge]", GAUGE)
    count = page.locator("[name^=turn_]").count()
    page.focus("[name=turn_0]")
    for number in range(count):
        assert page.evaluate("document.activeElement.name") == f"turn_{number}"
        page.keyboard.type(f"+0.000{number % 3} in")
        if number == 2:
            page.locator(".dial [data-read]").nth(2).wait_for()
            assert page.locator(".dial [data-read]").count() == 3
        if number < count - 1:
            page.keyboard.press("Enter")
    page.locator("[data-preview-at] svg").first.wait_for()
    with page.expect_navigation():
        page.keyboard.press("Enter")
    check_page(page)
    assert "Pass" in text_of(page, ".verdict")
    assert raw_of("journal_runout_left")["readings"][:4] == ["0.0000", "0.0001", "0.0002", "0.0000"]


def test_a_pasted_column_fills_the_places_below(
    housing: Housing, site: Any, worker: Callable[..., Any]
) -> None:
    page = worker("desktop")
    go(page, at(site, housing, "journal_runout_left"))
    count = page.locator("[name^=turn_]").count()
    column = [f"0,000{number % 4}" for number in range(count)]
    page.evaluate(PASTE, ["[name=turn_0]", "indicator\r\n" + "\r\n".join(column) + "\r\n"])
    assert [field.input_value() for field in page.locator("[name^=turn_]").all()] == column
    page.locator("[data-preview-at] svg").first.wait_for()
    # One figure is pasted as always.
    page.fill("[name=turn_0]", "")
    page.evaluate(PASTE, ["[name=turn_0]", "0.0009"])
    assert page.input_value("[name=turn_0]") == "0.0009"


def test_a_pasted_column_of_diameters_fills_its_places(
    floor: Floor, site: Any, worker: Callable[..., Any]
) -> None:
    page = worker("desktop")
    go(page, at(site, floor.housing(until="jig"), "journal_left"))
    page.evaluate(PASTE, ["[name=across_1]", "2.4991\n2.4992\n2.4993"])
    assert [page.input_value(f"[name=across_{n}]") for n in (1, 2, 3)] == ["2.4991", "2.4992", "2.4993"]


def test_a_pasted_table_fills_rows_and_what_is_too_long_goes_to_the_list(
    housing: Housing, site: Any, worker: Callable[..., Any]
) -> None:
    page = worker("desktop")
    go(page, at(site, housing, "face_flatness") + "?points=12")
    # A gauge that types goes along the row and on to the next one.
    page.focus("[name=x_1]")
    for cell in ("y_1", "z_1", "x_2"):
        page.keyboard.type("0")
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.name") == cell
    page.evaluate(PASTE, ["[name=x_2]", "1\t2\t3\n4\t5\t6"])
    assert [page.input_value(f"[name={axis}_{number}]") for number in (2, 3) for axis in "xyz"] == list(
        "123456"
    )
    assert page.evaluate("document.activeElement.name") in {"x_4", "x_1"}
    go(page, at(site, housing, "face_flatness") + "?points=12")
    page.evaluate(PASTE, ["[name=x_1]", "\n".join("1\t2\t3" for _ in range(40))])
    assert page.input_value("[name=list]").count("\n") == 39
    assert page.input_value("[name=x_1]") == ""
