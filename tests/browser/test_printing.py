"""Pages on paper: what can be pressed is gone, black stands on white, nothing is wider than the sheet."""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Heat
from tests.browser.hands import go, sign_in_at_desk
from tests.browser.test_orders_file import shot
from tests.factories import Floor
from tests.housings.steel import steel_of, use, usual_heats

pytestmark = pytest.mark.django_db(transaction=True)

# CSS Values and Units Module Level 3: 96 px are an inch; Letter is 8.5 in wide, less two margins of 14 mm.
LETTER = int((8.5 - 2 * 14 / 25.4) * 96)
OFF_PAPER = ".places a, .act button, .act a, .pager a, form[role=search] input"


def test_every_sort_of_page_prints(floor: Floor, site: Any, tablet: Any) -> None:
    housing = floor.housing(until="armor")
    usual_heats(floor)
    use(floor, housing, *steel_of(housing, "armor"))
    plate = Heat.objects.get(number="P-4130").pk
    sign_in_at_desk(tablet, site.url, "badge-Q1", "/housings/")
    pages = {
        "housing": f"/h/{housing.serial}/",
        "readings": f"/h/{housing.serial}/readings/",
        "order": f"/orders/{housing.order.number}/",
        "orders": "/orders/",
        "gauges": "/gauges/",
        "steel": "/materials/",
        "heat": f"/materials/{plate}/",
        "labels": f"/materials/{plate}/labels/",
        "trace": f"/materials/{plate}/trace/",
        "made-of": f"/h/{housing.serial}/materials/",
        "paper-pack": "/paper-pack/",
        "plans": "/plans/",
    }
    for name, url in pages.items():
        go(tablet, site.url + url)
        tablet.emulate_media(media="print", color_scheme="dark")
        tablet.set_viewport_size({"width": LETTER, "height": 900})
        assert tablet.locator(OFF_PAPER).filter(visible=True).count() == 0, name
        colors = tablet.evaluate(
            "() => [getComputedStyle(document.body).backgroundColor,"
            " getComputedStyle(document.querySelector('h1')).color]"
        )
        assert colors == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"], name
        assert tablet.evaluate("document.documentElement.scrollWidth") <= LETTER, name
        shot(tablet, f"print-{name}")
        tablet.emulate_media(media="screen", color_scheme="light")
