"""Orders out of a file at a tablet: chosen, looked at, corrected in place, placed; and their travelers."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from housings.engineering.order_table import COLUMNS, write
from housings.models import Order
from tests.browser.hands import go, press, sign_in_at_desk, text_of
from tests.factories import PLAIN_SPEC, Floor

pytestmark = pytest.mark.django_db(transaction=True)


def row(reference: str, **changes: str) -> list[str]:
    words = {True: "yes", False: "no"}
    cells = {"customer": "north", "reference": reference, "quantity": "2"}
    cells |= {name: str(words.get(value, value)) for name, value in PLAIN_SPEC.items()} | changes
    return [cells.get(name, "") for name in COLUMNS]


def test_a_file_is_looked_at_corrected_and_placed(
    floor: Floor, site: Any, tablet: Any, tmp_path: Path
) -> None:
    file = tmp_path / "orders of may.csv"
    # Plain carbon tube is refused by its grade: fact of the trade, common practice, no source.
    text = write([list(COLUMNS), row("PO-1"), row("PO-2", tube_grade="1020", note="größer")], ";")
    file.write_bytes(text.encode("cp1252"))
    sign_in_at_desk(tablet, site.url, "badge-O1", "/orders/file/")
    shot(tablet, "choose")
    tablet.set_input_files("[name=upload]", str(file))
    press(tablet, "Look at the orders")
    assert "orders of may.csv: 2 rows, 2 orders, 1 to be corrected." in text_of(tablet)
    assert "Row 3, Tube steel “1020”" in text_of(tablet)
    shot(tablet, "preview")
    press(tablet, "Place the order")
    assert "1 order is placed; 2 housings are released to the floor." in text_of(tablet)
    assert list(Order.objects.values_list("reference", flat=True)) == ["PO-1"]
    rows = tablet.input_value("#corrected")
    assert "größer" in rows
    tablet.fill("#corrected", rows.replace("1020", "4130"))
    press(tablet, "Look again")
    press(tablet, "Place the order")
    assert "Every order of this file is placed." in text_of(tablet)
    assert Order.objects.get(reference="PO-2").note == "größer"
    order = Order.objects.get(reference="PO-1")
    go(tablet, f"{site.url}/orders/{order.number}/")
    shot(tablet, "order")
    assert tablet.get_by_role("link", name="Print all travelers").get_attribute("href").count("serial=") == 2
    go(tablet, f"{site.url}/housings/")
    tablet.locator("input[name=serial]").first.check()
    shot(tablet, "housings")
    assert tablet.get_by_role("button", name="Print the travelers of those ticked").is_visible()


def shot(page: Any, name: str) -> None:
    """A picture and a print of a page, for whoever looks at them: SHOPQC_TEST_PICTURES names where."""
    if folder := os.environ.get("SHOPQC_TEST_PICTURES"):
        page.screenshot(path=f"{folder}/{name}.png", full_page=True)
        page.pdf(path=f"{folder}/{name}.pdf")
