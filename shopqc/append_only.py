"""Tables that the database itself will not let anybody change.

A sealed table refuses UPDATE and DELETE (and TRUNCATE) by trigger. The
triggers are laid from this registry after every migrate, because SQLite
silently drops them when a later migration rebuilds a table, and a system
check compares what is registered with what is there.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

from django.apps import apps
from django.db import connection, models, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

SEALED: list[type[models.Model]] = []
M = TypeVar("M", bound=models.Model)
REFUSAL = "is sealed: rows are added, never changed or deleted"


def sealed(model: type[M]) -> type[M]:
    """Class decorator: rows of this model can be added and nothing else."""
    SEALED.append(model)
    return model


def sealed_tables() -> list[str]:
    """Names of the sealed tables."""
    return sorted(model._meta.db_table for model in SEALED)


def _trigger_names(table: str) -> dict[str, str]:
    return {event: f"{table}_no_{event.lower()}" for event in ("UPDATE", "DELETE", "TRUNCATE")}


def _sqlite_statements(table: str) -> Iterator[str]:
    for event in ("UPDATE", "DELETE"):
        name = _trigger_names(table)[event]
        yield f'DROP TRIGGER IF EXISTS "{name}"'
        yield (
            f'CREATE TRIGGER "{name}" BEFORE {event} ON "{table}" '
            f"BEGIN SELECT RAISE(ABORT, '{table} {REFUSAL}'); END"
        )


def _postgresql_statements(table: str) -> Iterator[str]:
    for event, name in _trigger_names(table).items():
        each = "STATEMENT" if event == "TRUNCATE" else "ROW"
        yield f'DROP TRIGGER IF EXISTS "{name}" ON "{table}"'
        yield (
            f'CREATE TRIGGER "{name}" BEFORE {event} ON "{table}" '
            f"FOR EACH {each} EXECUTE FUNCTION shopqc_refuse_change()"
        )


POSTGRESQL_FUNCTION = f"""
CREATE OR REPLACE FUNCTION shopqc_refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION '% {REFUSAL}', TG_TABLE_NAME USING ERRCODE = 'restrict_violation';
END $$
"""


def lay(database: BaseDatabaseWrapper = connection) -> None:
    """Lay the triggers of every sealed table that exists."""
    present = set(database.introspection.table_names())
    with transaction.atomic(using=database.alias), database.cursor() as cursor:
        if database.vendor == "postgresql":
            cursor.execute(POSTGRESQL_FUNCTION)
        for table in sealed_tables():
            if table in present:
                for statement in _statements(database.vendor, table):
                    cursor.execute(statement)


def _statements(vendor: str, table: str) -> Iterator[str]:
    return _postgresql_statements(table) if vendor == "postgresql" else _sqlite_statements(table)


def missing(database: BaseDatabaseWrapper = connection) -> list[str]:
    """Triggers that should be there and are not, or are switched off."""
    present = set(database.introspection.table_names())
    with database.cursor() as cursor:
        if database.vendor == "postgresql":
            cursor.execute("SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgenabled <> 'D'")
        else:
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        laid = {row[0] for row in cursor.fetchall()}
    events = ("UPDATE", "DELETE", "TRUNCATE") if database.vendor == "postgresql" else ("UPDATE", "DELETE")
    wanted = [
        _trigger_names(table)[event] for table in sealed_tables() if table in present for event in events
    ]
    return [name for name in wanted if name not in laid]


@contextmanager
def lifted(database: BaseDatabaseWrapper = connection) -> Iterator[None]:
    """Take the triggers away for a moment: only for the flush between tests."""
    present = set(database.introspection.table_names())
    with database.cursor() as cursor:
        for table in sealed_tables():
            for name in _trigger_names(table).values() if table in present else ():
                on = f' ON "{table}"' if database.vendor == "postgresql" else ""
                cursor.execute(f'DROP TRIGGER IF EXISTS "{name}"{on}')
    try:
        yield
    finally:
        lay(database)


def lay_after_migrate(using: str, **_: Any) -> None:
    """Receiver of ``post_migrate``: runs once an app, so the last run finds every table."""
    from django.db import connections

    if apps.ready:
        lay(connections[using])
