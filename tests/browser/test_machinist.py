"""The machinist at the mill: the map of the housing, its places, and the facing cut, on a phone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.browser.hands import PHONE, check_page, go, press, sign_in_at_desk, text_of
from tests.factories import LINKS_SPEC, Floor
from tests.inspections.test_facing_plan import flat_face
from tests.inspections.test_pages_pictures import JACKS, STATION, probed

pytestmark = pytest.mark.django_db(transaction=True)

GLOVE = 48  # px: the design's own figure
AREAS = """() => [...document.querySelectorAll('svg.picture a')].map(a => {
    const box = a.querySelector('path').getBoundingClientRect();
    return Math.min(box.width, box.height);
})"""
OVER = """() => [...document.querySelectorAll('figure.drawn svg')].map(svg => {
    const sheet = svg.getBoundingClientRect();
    return Math.max(...[...svg.querySelectorAll('text')].map(text => {
        const box = text.getBoundingClientRect();
        return Math.max(sheet.left - box.left, box.right - sheet.right, box.bottom - sheet.bottom);
    }));
})"""


def test_a_place_is_touched_on_the_map_and_its_pictures_are_seen(
    floor: Floor, site: Any, open_page: Callable[..., Any]
) -> None:
    housing = floor.housing(until="final_inspection", spec=LINKS_SPEC)
    floor.measure_due(housing, "final_inspection", only=("face_flatness", "hole_pattern"))
    page = open_page("phone", **PHONE)
    sign_in_at_desk(page, site.url, "badge-Q1")
    go(page, f"{site.url}/h/{housing.serial}/")
    areas = page.evaluate(AREAS)
    assert len(areas) == 11
    assert min(areas) >= GLOVE - 8, "on the smallest phone a place is a little less than a glove"
    with page.expect_navigation():
        page.locator("svg.picture a[aria-label^='Face:']").click()
    check_page(page)
    assert "Hatched is high, blank is low" in text_of(page)
    # What is written stays on its sheet with the type that the browser has loaded.
    assert max(page.evaluate(OVER)) <= 1


def test_the_facing_cut_is_planned_at_the_mill(
    floor: Floor, site: Any, open_page: Callable[..., Any]
) -> None:
    housing = floor.housing(until=STATION)
    probed(floor, housing, flat_face(2.535, rise=0.01))
    page = open_page("phone", **PHONE)
    sign_in_at_desk(page, site.url, "badge-Q1")
    go(page, f"{site.url}/h/{housing.serial}/")
    with page.expect_navigation():
        page.get_by_role("link", name="The facing cut").click()
    check_page(page)
    assert "It can be saved" in text_of(page)
    for name, value in JACKS.items():
        page.fill(f"[name={name}]", value)
    press(page, "Show the shims")
    assert "Shim under it" in text_of(page)
    assert max(page.evaluate(OVER)) <= 1


def test_without_scripts_the_page_of_the_cut_says_the_same(
    floor: Floor, site: Any, without_scripts: Any
) -> None:
    housing = floor.housing(until=STATION)
    probed(floor, housing, flat_face(2.535))
    sign_in_at_desk(without_scripts, site.url, "badge-Q1")
    go(without_scripts, f"{site.url}/h/{housing.serial}/facing/")
    assert "A cut from 0.030 to 0.040 in deep" in text_of(without_scripts)
