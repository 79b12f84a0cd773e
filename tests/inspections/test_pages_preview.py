"""What stands in the form so far, judged and drawn, with nothing written."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from housings.models import Housing
from inspections.models import Reading
from shopqc.models import LedgerEntry
from tests.factories import GAUGE, Floor
from tests.inspections.conftest import SignedIn

STATION = "face_and_drill"
FACE = "\n".join(f"{x} {y} 0.00{(x * y) % 2}" for x in range(4) for y in range(6))
# Session, person, housing, its characteristics, its visits, gauges, the shop: none more for a picture.
QUERIES = 7


@pytest.fixture
def housing(floor: Floor) -> Housing:
    """A housing whose face was cut and is to be measured."""
    found = floor.housing(until=STATION)
    floor.work(found, STATION)
    return found


def ask(signed_in: SignedIn, housing: Housing, code: str, stamp: str = "W1", **typed: Any) -> Any:
    visitor = signed_in(stamp)
    return visitor.post(f"/h/{housing.serial}/readings/{code}/preview/", {"unit": "in", **typed})


def test_a_face_is_judged_and_drawn_and_nothing_is_written(housing: Housing, signed_in: SignedIn) -> None:
    before = (Reading.objects.count(), LedgerEntry.objects.count())
    response = ask(signed_in, housing, "face_flatness", list=FACE, gauge=GAUGE)
    assert response.status_code == 200
    text = response.content.decode()
    assert "would pass" in text and "Not recorded yet" in text and "<svg" in text
    assert "<html" not in text
    assert (Reading.objects.count(), LedgerEntry.objects.count()) == before


def test_it_agrees_with_what_is_recorded_afterwards(
    floor: Floor, housing: Housing, signed_in: SignedIn
) -> None:
    for value, words in (("7.2510", "would pass"), ("7.3", "would fail")):
        assert words in ask(signed_in, housing, "pilot_bore", value=value, gauge=GAUGE).content.decode()
        raw = {"value": value, "unit": "in"}
        floor.record(
            housing, floor.reading(housing, floor.characteristic(housing, "pilot_bore"), STATION, raw=raw)
        )
        made = Reading.objects.filter(characteristic__code="pilot_bore").latest(
            "received_at", "record_position"
        )
        assert made.verdict in words


def test_while_it_is_incomplete_a_sentence_says_what_is_missing(
    housing: Housing, signed_in: SignedIn
) -> None:
    response = ask(signed_in, housing, "journal_runout_left", turn_0="0.001")
    assert response.status_code == 422
    assert "Nothing stands at" in response.content.decode()
    response = ask(signed_in, housing, "face_flatness", list="1 2 3\n1 2 x")
    assert response.status_code == 422 and "Line 2" in response.content.decode()
    response = ask(signed_in, housing, "face_flatness", list="1 2 3\n2 2 3")
    assert response.status_code == 422


def test_without_a_gauge_the_figure_is_shown_all_the_same(housing: Housing, signed_in: SignedIn) -> None:
    response = ask(signed_in, housing, "pilot_bore", value="7.251")
    assert response.status_code == 200
    assert "still missing" in response.content.decode()


def test_a_gauge_that_sends_millimeters_is_believed(housing: Housing, signed_in: SignedIn) -> None:
    """1 in = 25.4 mm exactly."""
    response = ask(signed_in, housing, "pilot_bore", value="184,15 mm", gauge=GAUGE)
    assert "7.25" in response.content.decode() and "would pass" in response.content.decode()
    response = ask(signed_in, housing, "pilot_bore", value="2.5 psi", gauge=GAUGE)
    assert response.status_code == 422 and "The gauge sent psi" in response.content.decode()


def test_who_may_not_record_gets_none(housing: Housing, signed_in: SignedIn) -> None:
    assert ask(signed_in, housing, "pilot_bore", "O1", value="2.5").status_code == 403
    assert ask(signed_in, housing, "nothing_such", value="2.5").status_code == 404
    assert ask(signed_in, housing, "leak", value="2.5").status_code in {404, 422}
    stranger = Client().post(f"/h/{housing.serial}/readings/pilot_bore/preview/", {"value": "2.5"})
    assert stranger.status_code == 403
    assert signed_in("W1").get(f"/h/{housing.serial}/readings/pilot_bore/preview/").status_code == 405


def test_it_needs_the_token_against_forgery(floor: Floor, housing: Housing) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(floor.person("W1"))
    assert (
        client.post(f"/h/{housing.serial}/readings/pilot_bore/preview/", {"value": "2.5"}).status_code == 403
    )


def test_too_much_is_refused(housing: Housing, signed_in: SignedIn) -> None:
    assert ask(signed_in, housing, "face_flatness", list="1 2 3\n" * 200_000).status_code == 413


def test_it_costs_the_same_few_queries_however_much_was_measured(
    floor: Floor, housing: Housing, signed_in: SignedIn
) -> None:
    floor.measure_due(housing, STATION)
    visitor = signed_in("W1")
    url = f"/h/{housing.serial}/readings/face_flatness/preview/"
    with CaptureQueriesContext(
        connection,
    ) as asked:
        assert visitor.post(url, {"list": FACE, "gauge": GAUGE, "unit": "in"}).status_code == 200
    said = [
        query["sql"]
        for query in asked.captured_queries
        if not query["sql"].startswith(("SAVEPOINT", "RELEASE"))
    ]
    assert len(said) == QUERIES, "\n".join(said)
