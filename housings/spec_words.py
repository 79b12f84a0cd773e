"""A build spec in words: for the housing's page, the order's and the traveler."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from housings.engineering.spec_fields import FIELDS, FieldKind


def spec_words(data: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Each field that was asked for, as (label, value with its unit); lengths as they were typed."""
    return [
        (_(field.label), _value(field.kind, data[name], field.unit))
        for name, field in FIELDS.items()
        if data.get(name) is not None
    ]


def _value(kind: FieldKind, value: Any, unit: str) -> str:
    match kind:
        case FieldKind.YES_NO:
            return _("yes") if value else _("no")
        case FieldKind.LENGTH:
            return f"{value} {unit}"
        case FieldKind.ANGLE:
            return f"{value}{unit}"
        case _:
            return _(str(value))
