"""Pages ask the database as often with ten thousand housings as with ten."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings.operations.holds import hold_housing
from tests import volume
from tests.factories import Floor
from tests.housings.conftest import SignedIn
from tests.visitor import Visitor

MOST = 25
MANY = 10_000


def queries_of(visitor: Visitor, url: str) -> int:
    with CaptureQueriesContext(
        connection,
    ) as seen:
        assert visitor.get(url).status_code == 200
    return len(seen)


@pytest.mark.parametrize("until", ["released", "face_and_drill", "measured", "signed"])
def test_a_housings_page_asks_at_most_25_times(floor: Floor, signed_in: SignedIn, until: str) -> None:
    housing = floor.housing(until=until)
    if until != "signed":
        floor.do(hold_housing, by="W1", housing=housing.serial, why="one")
        floor.do(hold_housing, by="W1", housing=housing.serial, why="two")
    for stamp in ("W1", "Q1"):
        assert queries_of(signed_in(stamp), f"/h/{housing.serial}/") <= MOST


def test_no_page_asks_more_often_with_ten_thousand_housings(floor: Floor, signed_in: SignedIn) -> None:
    done = floor.housing(until="signed")
    housing = floor.housing(until="face_and_drill")
    floor.order(quantity=8)
    pages = [
        f"/h/{housing.serial}/",
        f"/record-book/{housing.chain}/",
        "/housings/",
        "/housings/?which=late",
        "/orders/",
        f"/orders/{housing.order.number}/",
        "/routes/",
        "/",
    ]
    lead = signed_in("Q1")
    few = {page: queries_of(lead, page) for page in pages}
    volume.many_like(done, MANY)
    many: dict[str, Any] = {page: queries_of(lead, page) for page in pages}
    assert many == few
    assert many[pages[0]] <= MOST
