"""The list of housings, and finding one."""

from __future__ import annotations

import datetime

import pytest

from housings.models import Order
from housings.operations.holds import hold_housing
from tests.factories import AT, Floor
from tests.housings.conftest import SignedIn


def test_an_empty_list_says_what_will_be_here(floor: Floor, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    assert worker.get("/housings/").status_code == 200
    assert "Every housing will stand here" in worker.page.text


def test_it_lists_the_newest_first_with_where_each_one_is(floor: Floor, signed_in: SignedIn) -> None:
    old, new = floor.housing(until="tack"), floor.housing()
    worker = signed_in("W1")
    worker.get("/housings/")
    text = worker.page.text
    assert text.index(new.serial_grouped.partition("-")[0]) < text.index(old.serial_grouped.partition("-")[0])
    assert "at Tack" in text and "not begun; first is Jig" in text


def test_it_pages_and_keeps_what_was_asked_for(floor: Floor, signed_in: SignedIn) -> None:
    floor.order(quantity=30)
    worker = signed_in("W1")
    worker.get("/housings/?which=released")
    assert "1 to 25 of 30" in worker.page.text
    older = next(link for link in worker.page.links if "page=2" in link)
    assert "which=released" in older
    worker.get(f"/housings/{older}")
    assert "26 to 30 of 30" in worker.page.text


def test_it_narrows_to_what_is_held_late_or_in_a_state(floor: Floor, signed_in: SignedIn) -> None:
    held, late, other = floor.order(quantity=1)[0], floor.order()[0], floor.housing(until="jig")
    floor.do(hold_housing, by="W1", housing=held.serial, why="crack")
    Order.objects.filter(pk=late.order_id).update(due_on=AT.date() - datetime.timedelta(days=1))
    lead = signed_in("Q1")
    for which, housing in (("held", held), ("late", late), ("in_work", other)):
        lead.get(f"/housings/?which={which}")
        found = [link for link in lead.page.links if link.startswith("/h/")]
        assert found == [f"/h/{housing.serial}/"], which
    lead.get("/housings/?which=held")
    assert "held: crack" in lead.page.text


@pytest.mark.parametrize("typed", ["serial", "grouped", "number of the order", "reference"])
def test_it_finds_by_serial_order_or_reference(floor: Floor, signed_in: SignedIn, typed: str) -> None:
    wanted = floor.order(reference="White rig 7")[0]
    floor.order()
    words = {
        "serial": wanted.serial.lower(),
        "grouped": wanted.serial_grouped,
        "number of the order": wanted.order.number,
        "reference": "white RIG",
    }[typed]
    worker = signed_in("W1")
    worker.get(f"/housings/?words={words}")
    assert [link for link in worker.page.links if link.startswith("/h/")] == [f"/h/{wanted.serial}/"]


@pytest.mark.parametrize(
    "query", ["page=last", "page=-1", "page=99999999999999999999", "which=nonsense", "words=%25"]
)
def test_a_strange_question_gets_a_list(floor: Floor, signed_in: SignedIn, query: str) -> None:
    floor.housing()
    assert signed_in("W1").get(f"/housings/?{query}").status_code == 200


@pytest.mark.parametrize("form", ["{serial}", " {serial} ", "http://127.0.0.1:8000/h/{serial}", "{grouped}"])
def test_what_is_scanned_at_the_start_opens_the_housing(floor: Floor, signed_in: SignedIn, form: str) -> None:
    housing = floor.housing()
    worker = signed_in("W1")
    worker.get("/")
    worker.client.get("/h/", {"serial": ""})
    response = worker.client.get(
        "/h/", {"serial": form.format(serial=housing.serial, grouped=housing.serial_grouped)}
    )
    assert (response.status_code, response["Location"]) == (302, f"/h/{housing.serial}/")


def test_what_cannot_be_a_serial_stays_in_the_field_with_the_reason(
    floor: Floor, signed_in: SignedIn
) -> None:
    worker = signed_in("W1")
    assert worker.get("/h/?serial=AX000O01MN").status_code == 422
    assert "a digit stands there (is it a zero?)" in worker.page.text
    assert any(form.values.get("serial") == "AX000O01MN" for form in worker.page.forms)
