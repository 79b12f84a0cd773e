"""Plans between their dataclasses and the JSON that a published revision keeps."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Any

from inspections.planning.terms import (
    Kind,
    Nominal,
    Part,
    PlannedCharacteristic,
    PlannedDue,
    Severity,
    Term,
)


def to_data(plan: Sequence[PlannedCharacteristic]) -> list[dict[str, Any]]:
    """A plan as plain JSON values; what stands at its default is left out."""
    defaults: dict[str, Any] = {"constants": {}}
    for field in dataclasses.fields(PlannedCharacteristic):
        if field.default is not dataclasses.MISSING:
            defaults[field.name] = field.default
    return [
        {
            name: value
            for name, value in dataclasses.asdict(entry).items()
            if name not in defaults or getattr(entry, name) != defaults[name]
        }
        for entry in plan
    ]


def from_data(data: Sequence[Mapping[str, Any]]) -> tuple[PlannedCharacteristic, ...]:
    """The plan that `to_data` wrote.

    Raises
    ------
    ValueError
        An entry is not of this form; the sentence names its place and its code.
    """
    plan = []
    for number, entry in enumerate(data, start=1):
        try:
            plan.append(_characteristic(dict(entry)))
        except (KeyError, TypeError, ValueError) as error:
            code = entry.get("code", "?")
            raise ValueError(
                f"Characteristic {number} ({code}) of the plan cannot be read: {error}."
            ) from error
    return tuple(plan)


def _characteristic(entry: dict[str, Any]) -> PlannedCharacteristic:
    entry["kind"], entry["part"] = Kind(entry["kind"]), Part(entry["part"])
    entry["severity"] = Severity(entry["severity"])
    entry["due"] = tuple(PlannedDue(**due) for due in entry["due"])
    entry["movable_by"] = tuple(entry.get("movable_by", ()))
    if nominal := entry.get("nominal"):
        entry["nominal"] = _nominal(nominal)
    if center := entry.get("center"):
        entry["center"] = tuple(center)
    entry["centers"] = tuple(tuple(center) for center in entry.get("centers", ()))
    entry["constants"] = {
        name: _nominal(value) if isinstance(value, dict) else str(value)
        for name, value in entry.get("constants", {}).items()
    }
    return PlannedCharacteristic(**entry)


def _nominal(data: Mapping[str, Any]) -> Nominal:
    return Nominal(data.get("plus", "0"), tuple(Term(**term) for term in data.get("terms", ())))
