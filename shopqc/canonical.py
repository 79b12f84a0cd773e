"""Canonical text of facts: what digests are computed over (RFC 8785)."""

from __future__ import annotations

import datetime
import hashlib
import uuid
from collections.abc import Collection
from decimal import Decimal
from typing import Any

import rfc8785
from django.db import models

from shopqc.secret import Secret


def canonical(value: Any) -> bytes:
    """Canonical JSON bytes of plain data (RFC 8785)."""
    return rfc8785.dumps(value)


def digest(content: bytes) -> str:
    """SHA-256 in lower-case hex."""
    return hashlib.sha256(content).hexdigest()


def moment(at: datetime.datetime) -> str:
    """A moment as RFC 3339 in UTC with microseconds, the same on every database."""
    return at.astimezone(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def plain(value: Any) -> Any:
    """A column's value as plain data that reads the same before and after the database."""
    match value:
        case Secret():
            return value.fingerprint()
        case None | bool() | str():
            return value
        case int():
            # Beyond 2**53 a JSON number is not exact everywhere.
            return value if abs(value) < 2**53 else str(value)
        case datetime.datetime():
            return moment(value)
        case datetime.date():
            return value.isoformat()
        case uuid.UUID():
            return str(value)
        case Decimal():
            return format(value.normalize(), "f")
        case dict():
            return {str(key): plain(item) for key, item in value.items()}
        case list() | tuple():
            return [plain(item) for item in value]
    raise TypeError(f"{type(value).__name__} has no canonical form here; store it as text.")


def row_digest(row: models.Model, without: Collection[str] = ()) -> str:
    """Digest of all columns of one row.

    Every concrete column counts, so that no byte of a stored fact can change
    without its line in the record book disagreeing. ``without`` names columns
    that the table did not have when the row was recorded.
    """
    columns = [field.attname for field in row._meta.concrete_fields if field.name not in without]
    return digest(canonical({column: plain(getattr(row, column)) for column in columns}))
