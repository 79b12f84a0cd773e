"""Lists in pages: newest first, whole, and the same while rows are added."""

from __future__ import annotations

from typing import Any

from tests.api.caller import Caller, done, refused
from tests.factories import Floor


def walk(caller: Caller, path: str, name: str) -> list[dict[str, Any]]:
    """Every row of a list, page by page."""
    found: list[dict[str, Any]] = []
    while path:
        answer = done(caller.get(path))
        found += answer[name]
        path = answer["next"]
    return found


def test_it_goes_through_all_orders_while_others_come_in(floor: Floor, office: Caller) -> None:
    before = [floor.order()[0].order.number for _ in range(7)]
    first = done(office.get("/orders?limit=3"))
    came = [floor.order()[0].order.number for _ in range(4)]
    rest = walk(office, first["next"], "orders")
    assert [order["number"] for order in first["orders"] + rest] == before[::-1]
    everything = walk(office, "/orders?limit=2", "orders")
    assert [order["number"] for order in everything] == came[::-1] + before[::-1]


def test_the_last_page_has_no_next(floor: Floor, office: Caller) -> None:
    assert done(office.get("/orders")) == {"orders": [], "next": None}
    for _ in range(3):
        floor.order()
    assert done(office.get("/orders?limit=3"))["next"] is None
    assert done(office.get("/orders?limit=2"))["next"] is not None


def test_the_next_page_is_chosen_like_this_one(floor: Floor, office: Caller) -> None:
    first, *_ = floor.order(quantity=5)
    floor.order(quantity=2)
    path = f"/housings?order={first.order.number}&state=released&limit=2"
    found = walk(office, path, "housings")
    assert len({housing["serial"] for housing in found}) == 5
    assert {housing["order"] for housing in found} == {first.order.number}


def test_readings_come_in_the_order_of_the_record(floor: Floor, desk: Caller) -> None:
    housing = floor.housing(until="face_and_drill")
    floor.work(housing, "face_and_drill")
    floor.measure_due(housing, "face_and_drill")
    found = walk(desk, f"/housings/{housing.serial}/readings?limit=5", "readings")
    assert len(found) == housing.readings.count() > 10
    expected = housing.readings.order_by("-record_position", "-place").values_list("pk", flat=True)
    assert [reading["id"] for reading in found] == [str(pk) for pk in expected]


def test_it_refuses_parameters_that_it_does_not_know(floor: Floor, office: Caller) -> None:
    (housing,) = floor.order()
    for query, code in (
        ("limit=0", "parameter_wrong"),
        ("limit=101", "parameter_wrong"),
        ("limit=-1", "parameter_wrong"),
        ("limit=ten", "parameter_wrong"),
        ("limit=%D9%A3", "parameter_wrong"),
        ("limit=99999999999999999999", "parameter_wrong"),
        ("page=2", "parameter_unknown"),
        ("format=json", "parameter_unknown"),
        ("after=1&after=2", "parameter_twice"),
        ("after=nothing", "place_unknown"),
        ("after=" + "9" * 500, "place_unknown"),
    ):
        refused(office.get(f"/orders?{query}"), 422, code)
    path = f"/housings/{housing.serial}"
    refused(office.get(f"{path}/readings?after=nothing"), 422, "place_unknown")
    refused(office.get(f"{path}/nonconformances?after=nothing"), 422, "place_unknown")
    refused(office.get(f"{path}?fields=all"), 422, "parameter_unknown")
