"""Gauges at a browser: on file with kind and code, opened by a scan, found wrong after a look."""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Hold
from inspections.models import Gauge
from inspections.operations.gauges import add_gauge
from tests.browser.hands import press, sign_in_at_desk, text_of
from tests.factories import Floor
from tests.inspections.wrong_caliper import CODE, at_jig, just_inside, shows

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_caliper_is_on_file_with_a_kind_and_a_scanned_code(floor: Floor, site: Any, desktop: Any) -> None:
    sign_in_at_desk(desktop, site.url, "badge-Q1", "/gauges/new/")
    desktop.select_option("[name=kind]", "caliper")
    # A scanner types the code and sends Enter.
    desktop.locator("[name=code]").press_sequentially("CAL-7")
    with desktop.expect_navigation():
        desktop.keyboard.press("Enter")
    assert "Gauge CAL-7 is on file." in text_of(desktop)
    assert Gauge.objects.get(code="CAL-7").uncertainty == "0.002"


def test_a_scan_opens_a_gauge_wherever_the_focus_is(floor: Floor, site: Any, desktop: Any) -> None:
    floor.do(add_gauge, by="Q1", code=CODE, kind="caliper")
    sign_in_at_desk(desktop, site.url, "badge-Q1", "/gauges/")
    desktop.evaluate("document.activeElement.blur()")
    desktop.keyboard.type(CODE)
    with desktop.expect_navigation():
        desktop.keyboard.press("Enter")
    assert text_of(desktop, "h1").startswith(CODE)


def test_found_wrong_is_looked_at_and_then_recorded(floor: Floor, site: Any, desktop: Any) -> None:
    floor.do(add_gauge, by="Q1", code=CODE, kind="caliper")
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))
    sign_in_at_desk(desktop, site.url, "badge-Q1", f"/gauges/{Gauge.objects.get(code=CODE).pk}/")
    with desktop.expect_navigation():
        desktop.get_by_role("link", name="It was found to read wrong").click()
    desktop.fill("[name=error_offset]", "-0.0002")
    press(desktop, "See what that changes")
    assert "1 verdict changes" in text_of(desktop) and not Hold.objects.exists()
    press(desktop, "Record it; the gauge goes out of use")
    assert "Recorded. The gauge is out of use; one verdict changed." in text_of(desktop)
    assert Hold.objects.get().housing == housing
