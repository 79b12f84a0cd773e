"""Pages ask the database as often with ten thousand housings, and many readings, as with few."""

from __future__ import annotations

from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import volume
from tests.factories import Floor
from tests.inspections.conftest import SignedIn
from tests.visitor import Visitor

MOST = 25
MANY = 10_000
STATION = "face_and_drill"


def queries_of(visitor: Visitor, url: str) -> int:
    with CaptureQueriesContext(connection) as seen:
        assert visitor.get(url).status_code == 200
    return len(seen)


def test_no_page_asks_more_often_when_there_is_more(floor: Floor, signed_in: SignedIn) -> None:
    floor.housing(until="signed")
    done = floor.housing(until="measured")
    housing = floor.housing(until=STATION)
    floor.work(housing, STATION)
    bore = floor.characteristic(housing, "pilot_bore")
    floor.record(housing, floor.reading(housing, bore, STATION, raw={"value": "7.3"}))
    welding = floor.housing(until="snouts")
    pages = [
        f"/h/{housing.serial}/",
        f"/h/{welding.serial}/",
        f"/h/{housing.serial}/readings/",
        f"/h/{housing.serial}/readings/width/",
        f"/h/{housing.serial}/readings/camber_left/",
        f"/h/{housing.serial}/readings/face_flatness/",
        f"/h/{housing.serial}/measured/",
        f"/h/{housing.serial}/problem/",
        f"/h/{done.serial}/sign-off/",
        "/sign-offs/",
        "/nonconformances/",
        f"/nonconformances/{housing.serial}/1/",
        "/certificates/",
        "/certificates/C-00001/",
        "/gauges/",
        "/plans/",
    ]
    lead = signed_in("Q1")
    few = {page: queries_of(lead, page) for page in pages}
    assert max(few.values()) <= MOST, few
    volume.many_like(done, MANY, whole=30)
    for code in ("face_distance", "face_parallelism", "pilot_bore") * 10:
        one = floor.characteristic(housing, code)
        floor.record(housing, *(floor.reading(housing, one, STATION) for _reading in range(5)))
    assert {page: queries_of(lead, page) for page in pages} == few


def test_the_list_of_certificates_asks_as_often_for_many(floor: Floor, signed_in: SignedIn) -> None:
    signed = floor.housing(until="signed")
    lead = signed_in("Q1")
    few = queries_of(lead, "/certificates/")
    volume.many_like(signed, 60, whole=60)
    assert queries_of(lead, "/certificates/") == few <= MOST
