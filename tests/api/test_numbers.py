"""How many queries the API asks: few, and the same with 10 and with 10,000 housings."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test.utils import CaptureQueriesContext

from tests.api.caller import Caller, done
from tests.factories import Floor
from tests.volume import many_like

MOST_FOR_A_READING = 14


def count(ask: Callable[[], HttpResponse], status: int = 200) -> int:
    with CaptureQueriesContext(connection) as queries:
        done(ask(), status)
    return len(queries)


@pytest.fixture
def asked(floor: Floor, phone: Caller, desk: Caller) -> dict[str, Callable[[], int]]:
    """Each thing that is asked often, and the number of queries it costs."""
    housing = floor.housing(until="face_and_drill")
    floor.work(housing, "face_and_drill")
    order = f"/orders/{housing.order.number}"
    bore = floor.characteristic(housing, "pilot_bore")

    def record(**changes: Any) -> int:
        reading = floor.reading(housing, bore, "face_and_drill", **changes)
        path, body = f"/housings/{housing.serial}/readings", {"readings": [reading]}
        return count(lambda: phone.post(path, body), 201)

    return {
        "a reading": record,
        "a failing reading": lambda: record(raw={"value": "1"}),
        "a late reading": lambda: record(seen_position=1, measured="after"),
        "the housing": lambda: count(lambda: phone.get(f"/housings/{housing.serial}")),
        "its readings": lambda: count(lambda: phone.get(f"/housings/{housing.serial}/readings")),
        "its order": lambda: count(lambda: desk.get(order)),
        "the housings": lambda: count(lambda: desk.get("/housings?limit=20&state=in_work")),
        "the orders": lambda: count(lambda: desk.get("/orders?limit=20")),
        "the certificates": lambda: count(lambda: desk.get("/certificates?limit=20")),
    }


def test_a_reading_costs_few_queries(asked: dict[str, Callable[[], int]]) -> None:
    assert asked["a reading"]() <= MOST_FOR_A_READING
    assert asked["a late reading"]() <= MOST_FOR_A_READING
    assert asked["a failing reading"]() <= MOST_FOR_A_READING


def test_it_costs_the_same_with_10_and_with_10_000_housings(
    floor: Floor, asked: dict[str, Callable[[], int]]
) -> None:
    model = floor.housing(until="signed")
    floor.order(quantity=8)
    few = {name: ask() for name, ask in asked.items()}
    many_like(model, 10_000, whole=30)
    many = {name: ask() for name, ask in asked.items()}
    assert many == few
    assert many["a reading"] <= MOST_FOR_A_READING
