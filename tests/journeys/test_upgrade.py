"""A shop that an older version filled comes up with the newest tables: nothing lost, everything as recorded.

The rows under ``data/`` are what older commits of this program wrote themselves; nothing here computes again
what they ought to have written.
"""

from __future__ import annotations

import base64
import io
from collections.abc import Iterator
from typing import Any

import pytest
from pypdf import PdfReader

from tests.harness import homes
from tests.harness.homes import Home

KEPT = {"with_0001": "0001", "with_0002": "0002"}

LAY = """
from tests.journeys import old_shop
old_shop.lay({name!r}, {migration!r})
answer = None
"""
LOOK = """
from shopqc import append_only, ledger
found = ledger.verify()
answer = {"faults": [str(fault) for fault in found.faults], "lines": found.lines, "facts": found.facts,
          "triggers missing": append_only.missing()}
"""
CHANGE = """
from django.db import DatabaseError, connection, transaction
from shopqc.append_only import sealed_tables
refused, filled = [], []
for table in sealed_tables():
    with connection.cursor() as cursor:
        cursor.execute(f'SELECT count(*) FROM "{table}"')
        if not cursor.fetchone()[0]:
            continue
        filled.append(table)
        column = connection.introspection.get_primary_key_column(cursor, table)
        for statement in (f'UPDATE "{table}" SET "{column}" = "{column}"', f'DELETE FROM "{table}"'):
            try:
                with transaction.atomic():
                    cursor.execute(statement)
            except DatabaseError as error:
                refused.append("is sealed" in str(error))
answer = {"filled": filled, "refused": refused}
"""
WALK_ON = """
import itertools
from housings.models import Housing
from housings.queries import visit_here, visits_of
from inspections.models import Certificate
from tests.factories import AT, Floor
floor = Floor.__new__(Floor)
floor.at, floor._keys = AT, itertools.count(10_000)
states = {}
for housing in Housing.objects.order_by("pk"):
    state, holds = housing.state, housing.holds.filter(released_at=None).count()
    if state in {"released", "in_work"} and not holds:
        here = visit_here(visits_of(housing))
        if here:
            floor.finish(housing, here)
        floor.walk(housing, "measured" if housing.nonconformances.exists() else "signed")
    states[housing.serial] = [state, Housing.objects.get(pk=housing.pk).state]
answer = {"states": list(states.values()), "certificates": Certificate.objects.count()}
"""
PRINT_AGAIN = """
import base64, json
from inspections.certificate.render import render
from inspections.models import SignOff
facts = json.loads(SignOff.objects.earliest("pk").facts)
answer = {"format": facts["format"], "number": facts["number"], "serial": facts["housing"]["serial_grouped"],
          "pdf": base64.b64encode(render(facts)).decode()}
"""


@pytest.fixture(params=list(KEPT))
def old_home(request: pytest.FixtureRequest) -> Iterator[Home]:
    """A home with tables and rows of an older version."""
    with homes.bare_home() as home:
        home.ask(LAY.format(name=request.param, migration=KEPT[request.param]))
        yield home


def test_an_older_shop_is_brought_up_with_all_it_has_recorded(old_home: Home) -> None:
    old_home.manage("migrate", "--verbosity=0")
    old_home.manage("check", "--database", "default")
    looked: dict[str, Any] = old_home.ask(LOOK)
    assert looked["faults"] == [] and looked["triggers missing"] == []
    assert looked["lines"] > 100 and looked["facts"] > 100
    assert "The record book agrees" in old_home.manage("verify_ledger").stdout

    tried = old_home.ask(CHANGE)
    assert {"inspections_reading", "inspections_signoff", "shopqc_ledgerentry"} <= set(tried["filled"])
    assert tried["refused"] == [True] * (2 * len(tried["filled"]))

    # The housings that were on the floor go on from where they were, through the operations of today.
    walked = old_home.ask(WALK_ON)
    assert sorted(walked["states"]) == [
        ["in_work", "in_work"],  # the one that is held
        ["in_work", "in_work"],  # the one that was reworked, at the end of its route
        ["in_work", "signed_off"],
        ["released", "signed_off"],
        ["signed_off", "signed_off"],
    ]
    assert walked["certificates"] == 3
    assert old_home.ask(LOOK)["faults"] == []

    # A certificate of then is printed from its facts of then.
    printed = old_home.ask(PRINT_AGAIN)
    pages = PdfReader(io.BytesIO(base64.b64decode(printed["pdf"]))).pages
    text = " ".join(page.extract_text() for page in pages)
    assert printed["format"] in {1, 2}
    assert printed["number"] in text and printed["serial"] in text
