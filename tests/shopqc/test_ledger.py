"""The record book is green on what was written, and red, naming the line, after one altered byte."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
import rfc8785
from django.db import connection

from inspections.models import Calibration
from inspections.operations.gauges import add_gauge, record_calibration
from shopqc import append_only, ledger
from shopqc.canonical import digest, row_digest
from shopqc.models import LedgerEntry, Shop
from shopqc.operations.shop import add_customer
from tests.shopqc.conftest import Do


@pytest.fixture
def book(shop: Shop, do: Do) -> None:
    """Some lines, and one fact: a calibration."""
    do(add_customer, code="north", name="North")
    do(add_gauge, code="MIC-1", name="Micrometer", kind="micrometer", uncertainty="0.0001")
    do(
        record_calibration,
        gauge="MIC-1",
        done_on="2026-05-01",
        due_on="2027-05-01",
        uncertainty="0.0001",
    )


def alter(table: str, column: str, where: str, change: Callable[[str], str]) -> None:
    """Change stored text behind everybody's back, as somebody with the database in hand could."""
    with append_only.lifted(), connection.cursor() as cursor:
        cursor.execute(f"SELECT {column} FROM {table} WHERE {where}")
        (before,) = cursor.fetchone()
        cursor.execute(f"UPDATE {table} SET {column} = %s WHERE {where}", [change(before)])
        assert cursor.rowcount == 1


def faults() -> list[str]:
    return [str(fault) for fault in ledger.verify().faults]


def test_it_agrees_with_what_was_written(book: None) -> None:
    found = ledger.verify()
    assert found.faults == ()
    assert (found.lines, found.facts) == (LedgerEntry.objects.count(), 1)


def test_an_altered_byte_of_a_line_is_named(book: None) -> None:
    alter(
        "shopqc_ledgerentry",
        "line",
        "chain = 'shop:shop' AND position = 2",
        lambda t: t.replace("north", "morth"),
    )
    assert any(fault.startswith("shop:shop, line 2: the text does not have the digest") for fault in faults())


def test_a_line_altered_together_with_its_digest_is_named_by_the_next(book: None) -> None:
    where = "chain = 'shop:shop' AND position = 2"
    alter("shopqc_ledgerentry", "line", where, lambda text: text.replace("north", "morth"))
    text = LedgerEntry.objects.get(chain="shop:shop", position=2).line
    alter("shopqc_ledgerentry", "digest", where, lambda _: digest(text.encode()))
    assert "shop:shop, line 3: does not name the line before it" in faults()


@pytest.mark.parametrize("column", ["uncertainty", "due_on", "by_stamp"])
def test_an_altered_fact_is_named_by_its_line(book: None, column: str) -> None:
    changed = {"uncertainty": "0.0002", "due_on": "2027-05-02", "by_stamp": "x"}[column]
    alter("inspections_calibration", column, "1 = 1", lambda _: changed)
    key = Calibration.objects.get().pk
    assert faults() == [f"gauge:MIC-1, line 2: inspections.calibration {key} is not what was recorded"]


@pytest.fixture
def book_of_before(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    """The same book, recorded while the table of calibrations had fewer columns."""
    with monkeypatch.context() as before:
        before.setattr(ledger, "row_digest", lambda row: row_digest(row, without=Calibration.added_later))
        request.getfixturevalue("book")


def test_a_fact_from_before_its_table_got_more_columns_still_agrees(book_of_before: None) -> None:
    assert ledger.verify().faults == ()


@pytest.mark.parametrize("column", ["uncertainty", "note", "error_offset"])
def test_a_fact_from_before_is_named_whichever_column_was_altered(book_of_before: None, column: str) -> None:
    alter("inspections_calibration", column, "1 = 1", lambda _: "0.0002")
    key = Calibration.objects.get().pk
    assert faults() == [f"gauge:MIC-1, line 2: inspections.calibration {key} is not what was recorded"]


def test_a_deleted_fact_is_named_by_its_line(book: None) -> None:
    key = Calibration.objects.get().pk
    with append_only.lifted():
        Calibration.objects.all().delete()
    assert faults() == [f"gauge:MIC-1, line 2: inspections.calibration {key} is gone"]


def test_a_fact_put_in_without_a_line_is_found(book: None) -> None:
    row = Calibration.objects.get()
    row.pk = None
    row.save(force_insert=True)
    assert faults() == [f"inspections.calibration: row {row.pk} is named by no line"]


def test_lines_cut_off_the_end_are_missed(book: None) -> None:
    with append_only.lifted():
        LedgerEntry.objects.filter(chain="gauge:MIC-1", position=2).delete()
    found = faults()
    assert "gauge:MIC-1, line 1: is the last line here, but gauge:MIC-1 says line 2 is" in found


def test_a_line_taken_out_of_the_middle_is_missed(book: None) -> None:
    with append_only.lifted():
        LedgerEntry.objects.filter(chain="shop:shop", position=2).delete()
    assert any("line 3: follows line 1; what stood between is gone" in fault for fault in faults())


def test_a_whole_chain_taken_away_is_missed(book: None) -> None:
    with append_only.lifted():
        LedgerEntry.objects.filter(chain="gauge:MIC-1").delete()
    assert any("gauge:MIC-1 says line 2 is" in fault for fault in faults())


def test_lines_are_canonical_json(book: None) -> None:
    for entry in LedgerEntry.objects.all():
        assert rfc8785.dumps(json.loads(entry.line)) == entry.line.encode()


def test_the_command_says_how_much_agrees_and_fails_loudly(
    book: None, capsys: pytest.CaptureFixture[str]
) -> None:
    from django.core.management import CommandError, call_command

    call_command("verify_ledger")
    assert "agrees" in capsys.readouterr().out
    alter("shopqc_ledgerentry", "line", "chain = 'shop:shop' AND position = 1", lambda t: t + " ")
    with pytest.raises(CommandError, match="does not agree"):
        call_command("verify_ledger")
    assert "shop:shop, line 1" in capsys.readouterr().err
