"""The main job as processes: an order document and raw files go in over HTTP, a certificate comes out."""

from __future__ import annotations

import copy
import hashlib
import json
import operator
import re
import urllib.request
from functools import reduce
from typing import Any

import pytest

from fixtures_demo.client import Client, Problem
from fixtures_demo.set_up import SHOP, password_of
from shopqc.rules import RULES
from tests.harness.homes import Home
from tests.harness.processes import web, worker
from tests.journeys.floor_over_http import Driver, order_document, set_up_in, walk_called
from tests.journeys.paper import Paper, missing_from, squeezed

LABEL = "b1"

ALTER = """
from django.db import connection
from shopqc import append_only
with append_only.lifted(), connection.cursor() as cursor:
    cursor.execute({statement!r})
    answer = cursor.rowcount
"""

READING = """
from inspections.models import Reading
reading = Reading.objects.filter(characteristic__code="tube_runout_left").order_by("record_position").last()
answer = {"position": reading.record_position, "value": reading.value}
"""


def alter(home: Home, statement: str) -> None:
    """Change a row behind the seals' back."""
    assert home.ask(ALTER.format(statement=statement)) == 1


def test_from_an_order_document_to_a_certificate_and_its_proof(home: Home) -> None:
    keys = set_up_in(home)
    walk = walk_called(LABEL)
    order = order_document(walk["order"])
    with web(home) as server, worker(home.with_variables(SHOPQC_LEASE_SECONDS="60")) as making:
        office = Client(server.url, keys["order system"])
        floor, desk = (Client(server.url, keys[name]) for name in ("welder's phone", "QC desk"))
        placed = office.post("/orders", order, name="the-order")
        assert office.post("/orders", order, name="the-order") == placed
        assert len(placed["housings"]) == sum(line["quantity"] for line in order["lines"])
        driver = Driver(floor, desk, placed["housings"][walk["place"]]["serial"], LABEL)
        with pytest.raises(Problem) as early:
            driver.post(desk, "too-early", "sign-off", {"secret": password_of("Q1")})
        assert early.value.status == 409

        verdicts = driver.drive(walk, links=order["lines"][0]["spec"]["links"])
        tube = [verdict for verdict in verdicts if verdict.startswith("tube_runout_left ")]
        assert tube[:2] == ["tube_runout_left fail", "tube_runout_left pass"]
        assert [verdict for verdict in verdicts if not verdict.endswith(" pass")] == tube[:1]

        signed = driver.post(desk, "end", "sign-off", {"secret": password_of("Q1")})
        number = signed["certificate"]
        making.wait_until_well(
            lambda: desk.get(f"/certificates/{number}")["status"] == "genuine", "the certificate"
        )
        shown = desk.get(f"/certificates/{number}")
        raw_facts, pdf = (desk.get_file(f"/certificates/{number}/{what}") for what in ("facts", "file"))
        with urllib.request.urlopen(f"{server.url}/c/{signed['code']}/", timeout=30) as answer:
            public_page = answer.read().decode()
        with urllib.request.urlopen(f"{server.url}/c/{signed['code']}/certificate.pdf", timeout=30) as answer:
            assert answer.read() == pdf

    facts = json.loads(raw_facts)
    assert number == facts["number"] == "KC-00001"
    assert hashlib.sha256(raw_facts).hexdigest() == shown["facts_sha256"]
    (event,) = shown["events"]
    assert (event["kind"], event["file_sha256"]) == ("issued", hashlib.sha256(pdf).hexdigest())
    read = squeezed(re.sub("<[^>]+>", "", public_page))
    for word in ("Genuine", number, facts["housing"]["serial_grouped"], facts["signed"]["name"]):
        assert squeezed(word) in read

    assert (facts["code"], facts["housing"]["serial"]) == (signed["code"], driver.serial)
    assert facts["signed"]["stamp"] == "Q1"
    (disposition,) = facts["dispositions"]
    assert (disposition["decision"], disposition["reason"]) == ("rework", walk["decisions"][0]["reason"])
    # This shop does not ask for its welds yet; the certificate says so, rule by rule, and nothing else.
    off = {str(RULES[code].when_off) for code in SHOP["rules_of_welding"]}
    assert set(facts["not_recorded"]) == off and len(off) == 9
    results = {row["code"]: row for group in facts["results"] for row in group["rows"]}
    assert {verdict.split()[0] for verdict in verdicts} == set(results)
    assert {row["verdict"] for row in results.values()} == {"pass"}
    paper = Paper(pdf)
    assert missing_from(paper, facts) == []
    assert_the_paper_is_really_read(paper, facts)

    agreed = home.manage("verify_ledger")
    assert "The record book agrees" in agreed.stdout


def assert_the_paper_is_really_read(paper: Paper, facts: dict[str, Any]) -> None:
    """Facts that differ in one figure, one name or one sentence are found missing."""
    for path in (("number",), ("signed", "name"), ("dispositions", 0, "reason")):
        assert missing_from(paper, changed(facts, *path))
    for key in ("asked", "found", "stamp", "verdict_word"):
        assert missing_from(paper, changed(facts, "results", 0, "rows", 2, key))


def changed(facts: dict[str, Any], *path: str | int) -> dict[str, Any]:
    """The facts, the text at a path made another."""
    copied: Any = copy.deepcopy(facts)
    *way, last = path
    place = reduce(operator.getitem, way, copied)
    place[last] = f"{place[last]}8"
    assert isinstance(copied, dict)
    return copied


@pytest.fixture
def measured_home(home: Home) -> tuple[Home, str]:
    """A home with one housing driven past the truss, and its serial."""
    keys = set_up_in(home)
    walk = {**walk_called(LABEL), "until": "truss"}
    with web(home) as server:
        office = Client(server.url, keys["order system"])
        floor, desk = (Client(server.url, keys[name]) for name in ("welder's phone", "QC desk"))
        placed = office.post("/orders", order_document(walk["order"]), name="the-order")
        serial = placed["housings"][0]["serial"]
        Driver(floor, desk, serial, LABEL).drive(walk, links=True)
    return home, serial


def test_one_altered_byte_in_a_fact_or_a_line_is_named(measured_home: tuple[Home, str]) -> None:
    home, serial = measured_home
    assert home.manage("verify_ledger", check=False).returncode == 0
    reading = home.ask(READING)
    position, value = reading["position"], reading["value"]
    line = f"housing:{serial}, line {position}: "
    other = value[:-1] + ("1" if value[-1] != "1" else "2")
    where = "characteristic_id IN (SELECT id FROM inspections_characteristic WHERE code = 'tube_runout_left')"
    change = (
        "UPDATE inspections_reading SET value = '{}' WHERE value = '{}' AND record_position = {} AND " + where
    )

    alter(home, change.format(other, value, position))
    found = home.manage("verify_ledger", check=False)
    assert found.returncode == 1
    (fault,) = [text for text in found.stderr.splitlines() if text.startswith("housing:")]
    assert fault.startswith(line + "inspections.reading ")
    assert fault.endswith("is not what was recorded")

    alter(home, change.format(value, other, position))
    assert home.manage("verify_ledger", check=False).returncode == 0

    alter(
        home,
        'UPDATE shopqc_ledgerentry SET line = REPLACE(line, \'"stamp":"W1"\', \'"stamp":"W2"\') '
        f"WHERE chain = 'housing:{serial}' AND position = {position}",
    )
    found = home.manage("verify_ledger", check=False)
    assert found.returncode == 1
    assert line + "the text does not have the digest that stands beside it" in found.stderr
