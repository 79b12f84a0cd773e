"""The two figures of welding that are the shop's own: months of continuity, minutes of fire watch.

That half an hour of watch is the least that anybody asks: OSHA 1910.252 (a)(2)(iii)(B), from memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from shopqc import ledger
from shopqc.operations.shop import change_shop
from shopqc.rules import the_shop
from tests.at_the_gate import refused
from tests.factories import Floor
from tests.visitor import Visitor


@pytest.fixture
def floor(db: None) -> Floor:
    return Floor()


def test_a_new_shop_has_the_usual_figures(floor: Floor) -> None:
    shop = the_shop()
    assert (shop.continuity_months, shop.fire_watch_minutes) == (6, 60)


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("continuity_months", "1"),
        ("continuity_months", 24),
        ("fire_watch_minutes", "30"),
        ("fire_watch_minutes", "480"),
    ],
)
def test_a_whole_number_in_bounds_is_kept_as_one(floor: Floor, column: str, value: Any) -> None:
    floor.do(change_shop, by="O1", changes={column: value})
    assert getattr(the_shop(), column) == int(value)
    assert ledger.verify().faults == ()


@pytest.mark.parametrize("value", ["0", "25", "-6", "six", "6.5", "", "٦", True, "9" * 5000, None])
def test_anything_else_is_refused_and_nothing_changes(floor: Floor, value: Any) -> None:
    with refused("count_wrong"):
        floor.do(change_shop, by="O1", changes={"continuity_months": value})
    with refused("count_wrong"):
        floor.do(change_shop, by="O1", changes={"fire_watch_minutes": "29" if value == "25" else value})
    assert (the_shop().continuity_months, the_shop().fire_watch_minutes) == (6, 60)


def test_the_owner_changes_them_on_the_page_and_the_qc_lead_reads_them(floor: Floor) -> None:
    owner = Visitor(floor.person("O1"))
    owner.get("/shop/")
    sent = owner.press("do", "change", continuity_months="3", fire_watch_minutes="20")
    assert sent.status_code == 422 and "This is a whole number from 30 to 480." in owner.page.text
    owner.press("do", "change", continuity_months="3", fire_watch_minutes="45")
    owner.follow()
    assert "The shop is changed." in owner.page.text
    assert (the_shop().continuity_months, the_shop().fire_watch_minutes) == (3, 45)
    # What is the same is no change.
    owner.press("do", "change")
    owner.follow()
    assert "Nothing was different" in owner.page.text
    lead = Visitor(floor.person("Q1"))
    lead.get("/shop/")
    assert "Minutes of fire watch after the last arc 45" in lead.page.text
