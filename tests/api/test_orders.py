"""Placing orders and following them."""

from __future__ import annotations

from typing import Any

from housings.models import Housing, Order
from tests.api.caller import Caller, done, pointers, refused, unlike
from tests.factories import PLAIN_SPEC, Floor


def an_order(**changes: Any) -> dict[str, Any]:
    return {
        "customer": "north",
        "reference": "PO-1",
        "lines": [{"quantity": 2, "spec": dict(PLAIN_SPEC)}],
        **changes,
    }


def test_it_places_an_order_and_says_where_it_stands(office: Caller) -> None:
    response = office.post("/orders", an_order(due_on="2026-07-01", note="white box"))
    answer = done(response, 201)
    assert response["Location"] == f"/api/v1/orders/{answer['order']}"
    assert [housing["line"] for housing in answer["housings"]] == [1, 1]
    found = done(office.get(response["Location"]))
    assert (found["reference"], found["due_on"], found["note"]) == ("PO-1", "2026-07-01", "white box")
    assert [housing["serial"] for housing in found["housings"]] == [
        housing["serial"] for housing in answer["housings"]
    ]
    assert found["housings"][0]["state"] == "released"
    assert found["housings"][0]["certificates"] == []


def test_it_gives_the_same_answer_to_the_same_request(office: Caller) -> None:
    first = office.post("/orders", an_order(), name="order-77")
    again = office.post("/orders", an_order(), name="order-77")
    assert (first.status_code, first.content) == (again.status_code, again.content)
    assert Order.objects.count() == 1


def test_it_refuses_another_body_under_the_same_key(office: Caller, nothing_changes: Any) -> None:
    done(office.post("/orders", an_order(), name="order-77"), 201)
    with nothing_changes():
        refused(office.post("/orders", an_order(reference="PO-2"), name="order-77"), 422, "key_reused")


def test_it_never_makes_one_reference_two_orders(office: Caller, nothing_changes: Any) -> None:
    done(office.post("/orders", an_order()), 201)
    with nothing_changes():
        problem = refused(office.post("/orders", an_order()), 422, "order_known")
    assert pointers(problem) == {"/reference"}


def test_it_refuses_a_whole_order_with_every_reason_and_its_field(
    office: Caller, nothing_changes: Any
) -> None:
    plain_carbon = {**PLAIN_SPEC, "tube_grade": "1020"}
    without_wall = {name: value for name, value in PLAIN_SPEC.items() if name != "tube_wall"}
    lines = [
        {"quantity": 1, "spec": dict(PLAIN_SPEC)},
        {"quantity": 1, "spec": plain_carbon},
        {"quantity": 1, "spec": without_wall},
        {"quantity": 1, "spec": dict(PLAIN_SPEC), "route": "the short one"},
    ]
    with nothing_changes():
        problem = refused(
            office.post("/orders", an_order(lines=lines)), 422, "spec_does_not_fit", "route_unknown"
        )
    # Plain carbon tube is refused by its grade: a fact of the trade; common practice, no source.
    assert {"/lines/1/spec/tube_grade", "/lines/2/spec/tube_wall", "/lines/3/route"} <= pointers(problem)
    assert not any(pointer.startswith("/lines/0") for pointer in pointers(problem))


WRONG: list[tuple[dict[str, Any], str]] = [
    ({"customer": 12}, "/customer"),
    ({"customer": None}, "/customer"),
    ({"customer": "n" * 300}, "/customer"),
    ({"reference": "r" * 300}, "/reference"),
    ({"reference": "  "}, "/reference"),
    ({"reference": ["PO-1"]}, "/reference"),
    ({"note": "n" * 2001}, "/note"),
    ({"note": "bell \x07"}, "/note"),
    ({"due_on": "2026-02-30"}, "/due_on"),
    ({"due_on": "1.7.2026"}, "/due_on"),
    ({"due_on": "0001-01-01"}, "/due_on"),
    ({"due_on": 20260701}, "/due_on"),
    ({"lines": {}}, "/lines"),
    ({"lines": []}, "/lines"),
    ({"lines": ["one housing"]}, "/lines/0"),
    ({"lines": [{"quantity": 1}]}, "/lines/0/spec"),
    ({"lines": [{"quantity": 0, "spec": dict(PLAIN_SPEC)}]}, "/lines/0/quantity"),
    ({"lines": [{"quantity": 10**30, "spec": dict(PLAIN_SPEC)}]}, "/lines/0/quantity"),
    ({"lines": [{"quantity": "2", "spec": dict(PLAIN_SPEC)}]}, "/lines/0/quantity"),
    ({"lines": [{"quantity": True, "spec": dict(PLAIN_SPEC)}]}, "/lines/0/quantity"),
    ({"lines": [{"quantity": 1.5, "spec": dict(PLAIN_SPEC)}]}, "/lines/0/quantity"),
    ({"lines": [{"quantity": 1, "spec": []}]}, "/lines/0/spec"),
    ({"lines": [{"quantity": 1, "spec": {"s" * 300: 1}}]}, "/lines/0/spec"),
    ({"lines": [{"quantity": 1, "spec": {**PLAIN_SPEC, "color": "red"}}]}, "/lines/0/spec/color"),
    ({"lines": [{"quantity": 1, "spec": {**PLAIN_SPEC, "width": [60]}}]}, "/lines/0/spec/width"),
    ({"lines": [{"quantity": 1, "spec": {**PLAIN_SPEC, "links": "no"}}]}, "/lines/0/spec/links"),
    ({"lines": [{"quantity": 1, "spec": dict(PLAIN_SPEC), "price": 1}]}, "/lines/0/price"),
    ({"color": "red"}, "/color"),
]


def test_it_names_the_field_that_is_wrong(office: Caller, nothing_changes: Any) -> None:
    with nothing_changes():
        sent = ((changes, office.post("/orders", an_order(**changes)), pointer) for changes, pointer in WRONG)
        assert unlike(sent) == []


def test_it_takes_numbers_of_a_spec_as_text_or_as_json_numbers(office: Caller) -> None:
    spec = {**PLAIN_SPEC, "tube_od": 3.5, "width": 60, "shaft": 40}
    answer = done(office.post("/orders", an_order(lines=[{"quantity": 1, "spec": spec}])), 201)
    kept = Housing.objects.get(serial=answer["housings"][0]["serial"]).spec.data
    assert (kept["tube_od"], kept["width"], kept["shaft"]) == ("3.5", "60", "40")


def test_a_key_for_one_customer_orders_for_nobody_else(north: Caller, nothing_changes: Any) -> None:
    with nothing_changes():
        refused(north.post("/orders", an_order(customer="basin")), 404, "not_found")
    done(north.post("/orders", an_order()), 201)


def test_the_order_system_may_cancel_what_it_ordered(north: Caller, floor: Floor) -> None:
    serial = done(north.post("/orders", an_order()), 201)["housings"][0]["serial"]
    assert done(north.post(f"/housings/{serial}/cancel", {"why": "built twice"}))["state"] == "cancelled"
    refused(north.post(f"/housings/{serial}/cancel", {"why": "again"}), 409, "housing_ended")
    (other,) = floor.order(customer="basin")
    refused(north.post(f"/housings/{other.serial}/cancel", {"why": "not ours"}), 404, "not_found")
