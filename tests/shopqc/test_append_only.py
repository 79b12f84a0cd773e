"""Sealed tables: the database itself refuses every change."""

from __future__ import annotations

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from shopqc import append_only, checks
from shopqc.models import LedgerEntry, Shop

TABLES = append_only.sealed_tables()


def refused(statement: str) -> None:
    with pytest.raises(DatabaseError, match="is sealed"), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


def test_the_tables_of_the_record_are_sealed() -> None:
    assert set(TABLES) >= {
        "shopqc_ledgerentry",
        "housings_workdone",
        "inspections_reading",
        "inspections_disposition",
        "inspections_signoff",
        "inspections_certificate",
        "inspections_certificateevent",
    }


def test_rows_cannot_be_changed_by_the_orm(shop: Shop) -> None:
    with pytest.raises(DatabaseError, match="is sealed"), transaction.atomic():
        LedgerEntry.objects.update(line="x")
    with pytest.raises(DatabaseError, match="is sealed"), transaction.atomic():
        LedgerEntry.objects.all().delete()
    entry = LedgerEntry.objects.get()
    entry.line = "x"
    with pytest.raises(DatabaseError, match="is sealed"), transaction.atomic():
        entry.save()


def test_rows_cannot_be_changed_by_hand(shop: Shop) -> None:
    refused("UPDATE shopqc_ledgerentry SET line = 'x'")
    refused("DELETE FROM shopqc_ledgerentry")
    if connection.vendor == "postgresql":
        refused("TRUNCATE shopqc_ledgerentry")
    else:
        # Without recursive_triggers this would pass the DELETE trigger.
        refused(
            "INSERT OR REPLACE INTO shopqc_ledgerentry (id, chain, position, line, digest) "
            "SELECT id, chain, position, 'x', digest FROM shopqc_ledgerentry"
        )


@pytest.mark.parametrize("table", TABLES)
def test_every_sealed_table_has_its_triggers(db: None, table: str) -> None:
    assert append_only.missing() == []
    event = {"sqlite": "DELETE", "postgresql": "TRUNCATE"}[connection.vendor]
    name = f"{table}_no_{event.lower()}"
    on = f" ON {table}" if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER {name}{on}")
    assert append_only.missing() == [name]
    (error,) = checks.seals_are_laid(databases=["default"])
    assert error.id == "shopqc.E001"
    assert name in error.msg


def test_a_trigger_that_is_switched_off_is_found(db: None) -> None:
    if connection.vendor != "postgresql":
        assert connection.vendor == "sqlite"  # SQLite's triggers cannot be switched off, only dropped
        return
    with connection.cursor() as cursor:
        cursor.execute("ALTER TABLE shopqc_ledgerentry DISABLE TRIGGER shopqc_ledgerentry_no_update")
    assert append_only.missing() == ["shopqc_ledgerentry_no_update"]


def test_migrate_lays_what_a_rebuilt_table_has_lost(db: None) -> None:
    on = " ON shopqc_ledgerentry" if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER shopqc_ledgerentry_no_update{on}")
    # With the checks that a person's call runs: that of the triggers must not keep away what lays them.
    call_command("migrate", verbosity=0, skip_checks=False)
    assert append_only.missing() == []
