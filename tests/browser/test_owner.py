"""The owner at a tablet: an order, a rule, a person, a key."""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Order
from shopqc.models import ApiKey, Person, Shop
from shopqc.rules import RULES, in_use
from tests.browser.hands import go, press, sign_in_at_desk, sign_out, text_of
from tests.factories import PLAIN_SPEC, SECRET, Floor

pytestmark = pytest.mark.django_db(transaction=True)

NOTE = "Crate <b>it</b>, please 🔧"


def test_an_order_is_refused_with_every_reason_and_placed_once_it_is_right(
    floor: Floor, site: Any, tablet: Any
) -> None:
    sign_in_at_desk(tablet, site.url, "badge-O1", "/orders/new/")
    tablet.select_option("[name=customer]", "north")
    tablet.fill("[name=reference]", "PO 7 / left")
    tablet.fill("[name=note]", NOTE)
    _fill_line(tablet, {**PLAIN_SPEC, "tube_wall": "", "width": "60,5.0"}, quantity="two")
    press(tablet, "Place the order")
    for name in ("quantity", "tube_wall", "width"):
        assert tablet.locator(f"#id_line-0-{name}_error").is_visible(), name
    _fill_line(tablet, {**PLAIN_SPEC, "tube_grade": "1020", "snout_size": "3.25"}, quantity="2")
    press(tablet, "Place the order")
    # A plain carbon tube is refused by its grade, and a 3.25 in snout does not go with a 3.5 in tube:
    # facts of the trade, common practice, no source.
    for name in ("tube_grade", "snout_size"):
        assert tablet.locator(f"#id_line-0-{name}_error").is_visible(), name
    assert not Order.objects.exists()
    assert tablet.input_value("[name=reference]") == "PO 7 / left"
    assert tablet.input_value("[name=note]") == NOTE
    assert tablet.input_value("[name=line-0-tube_grade]") == "1020"
    _fill_line(tablet, PLAIN_SPEC, quantity="2")
    press(tablet, "Place the order")
    assert "its 2 housings are released to the floor" in text_of(tablet)
    assert NOTE in text_of(tablet)
    assert Order.objects.get().note == NOTE


def _fill_line(page: Any, spec: Any, quantity: str) -> None:
    page.fill("[name=line-0-quantity]", quantity)
    for name, value in spec.items():
        field = page.locator(f"[name=line-0-{name}]")
        if field.count() > 1:
            chosen = "yes" if value else "no"
            page.check(f"[name=line-0-{name}][value={chosen}]")
        elif field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)


def test_the_owner_switches_a_rule_and_adds_somebody_who_then_signs_in(
    floor: Floor, site: Any, tablet: Any
) -> None:
    sign_in_at_desk(tablet, site.url, "badge-O1", "/shop/")
    asks = str(RULES["temperature_recorded"].asks)
    assert "temperature_recorded" not in in_use(Shop.objects.get())
    row = tablet.locator("li", has_text=asks)
    with tablet.expect_navigation():
        row.get_by_role("button").click()
    assert "temperature_recorded" in in_use(Shop.objects.get())

    go(tablet, f"{site.url}/shop/people/new/")
    for name, typed in {
        "badge": "badge-N1",
        "stamp": "N1",
        "name": "Nia Ødegård",
        "password": "short",
    }.items():
        tablet.fill(f"[name={name}]", typed)
    tablet.check("[name=roles][value=qc_lead]")
    press(tablet, "Add")
    assert tablet.locator("#id_password_error").is_visible()
    assert tablet.input_value("[name=name]") == "Nia Ødegård"
    assert tablet.is_checked("[name=roles][value=qc_lead]")
    assert tablet.input_value("[name=password]") == ""
    tablet.fill("[name=password]", SECRET)
    press(tablet, "Add")
    assert "Nia Ødegård is added." in text_of(tablet, ".messages")
    assert Person.objects.get(stamp="N1").roles == ["qc_lead"]
    sign_out(tablet)
    sign_in_at_desk(tablet, site.url, "badge-N1")
    assert "Nia Ødegård" in text_of(tablet, ".who"), text_of(tablet)


def test_a_new_key_is_shown_once(floor: Floor, site: Any, tablet: Any) -> None:
    sign_in_at_desk(tablet, site.url, "badge-O1", "/shop/keys/")
    tablet.fill("[name=name]", "order system")
    tablet.check("[name=scopes][value=orders]")
    press(tablet, "Make the key")
    key = text_of(tablet, ".key-shown")
    assert ApiKey.objects.get().prefix in key and len(key) > 40
    go(tablet, f"{site.url}/shop/keys/")
    assert key not in tablet.content() and "order system" in text_of(tablet)
    with tablet.expect_navigation():
        tablet.locator("li", has_text="order system").get_by_role("button").click()
    assert ApiKey.objects.get().revoked_at
