"""What the work of a station was, in words: for the housing's page, the history and the certificate."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext as _

from housings.engineering.work_details import DetailField, DetailKind, fields_of

UNITS = {"F": "°F", "C": "°C", "hours": "h"}


def work_words(station: str, details: Mapping[str, str]) -> list[tuple[str, str]]:
    """Each detail that was said, as (label, value with its unit); documents are left out."""
    return [
        (_(field.label), _value(field, details))
        for field in fields_of(station)
        if details.get(field.name) and field.kind is not DetailKind.FILE
    ]


def documents_of(station: str, details: Mapping[str, str]) -> list[tuple[str, str]]:
    """The documents of a description, as (label, digest)."""
    return [
        (_(field.label), details[field.name])
        for field in fields_of(station)
        if field.kind is DetailKind.FILE and details.get(field.name)
    ]


def _value(field: DetailField, details: Mapping[str, str]) -> str:
    text = details[field.name]
    if field.kind is DetailKind.CHOICE:
        return _(dict(field.choices).get(text, text))
    unit = details.get(field.unit_name, "")
    return f"{text} {UNITS.get(unit, unit)}".strip()
