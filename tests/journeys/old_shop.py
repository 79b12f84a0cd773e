"""Rows that an older commit wrote (`data/keep_old_shop.py`), laid into tables as they were then.

Imported by a process that has Django running on a database without tables, never by the tests themselves.
"""

from __future__ import annotations

import gzip
from pathlib import Path
from unittest import mock

from django.core import serializers
from django.core.management.color import no_style
from django.core.serializers import python
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor

from shopqc import append_only

OURS = ("shopqc", "housings", "inspections")
DATA = Path(__file__).resolve().parent / "data"


def lay(name: str, migration: str) -> None:
    """Make the tables of each app's migration of that number and fill them with the rows kept as ``name``."""
    leaves = MigrationExecutor(connection).loader.graph.leaf_nodes()
    first = [key for key in leaves if key[0] not in OURS]
    known = MigrationExecutor(connection).loader.disk_migrations
    targets = first + [key for key in known if key[0] in OURS and key[1].startswith(migration)]
    then = MigrationExecutor(connection).migrate(targets).apps
    text = gzip.decompress((DATA / f"{name}.json.gz").read_bytes()).decode()
    with transaction.atomic(), mock.patch.object(python, "apps", then):
        for row in serializers.deserialize("json", text):
            row.save()
    models = [model for model in then.get_models() if model._meta.app_label in OURS]
    # What a migration of then left sealed is sealed.
    append_only.lay()
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), models):
            cursor.execute(statement)
