"""Reading the lists of a raw reading: complete, bounded, of one length, in the unit of the characteristic."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from inspections.metrology.numbers import exact
from inspections.verdicts.asked import Asked
from inspections.verdicts.engine_2 import doubt
from inspections.verdicts.typed import LARGEST, MOST_DIGITS, MOST_POINTS, in_unit

Rows = list[list[Fraction]]


def length(asked: Asked, raw: Mapping[str, Any], value: Any, unit: str | None = None) -> Fraction:
    """One typed length in the unit of the characteristic."""
    no_longer(value)
    return in_unit(value, raw.get("unit"), unit or asked.unit)


def figures(
    asked: Asked, raw: Mapping[str, Any], name: str, least: int = 1, *, unit: str | None = None
) -> list[Fraction]:
    """A list of lengths of a raw reading, as the gauge showed them, in the unit of the characteristic."""
    return [length(asked, raw, value, unit) for value in listed(raw, name, least)]


def true_figures(
    asked: Asked, raw: Mapping[str, Any], name: str, least: int = 1, *, unit: str | None = None
) -> list[Fraction]:
    """The same with what the gauge is known to read wrong taken off."""
    return [doubt.true_figure(asked, value) for value in figures(asked, raw, name, least, unit=unit)]


def plain(raw: Mapping[str, Any], name: str, least: int = 1) -> list[Fraction]:
    """A list of numbers without a unit of length."""
    return [number(value, name) for value in listed(raw, name, least)]


def number(value: Any, name: str) -> Fraction:
    """One typed number without a unit of length."""
    no_longer(value)
    found = exact(value, name)
    if abs(found) > LARGEST:
        raise ValueError("A number is far too large for a measurement; check what was typed.")
    return found


def no_longer(value: Any) -> None:
    """Refuse a number with more digits than any gauge shows."""
    if isinstance(value, str) and len(value) > MOST_DIGITS:
        raise ValueError(f"A number has {len(value)} characters; no gauge gives more than {MOST_DIGITS}.")


def points(asked: Asked, raw: Mapping[str, Any], name: str, dimension: int, least: int) -> Rows:
    """Points of a raw reading, with what the gauge is known to read wrong taken off."""
    rows = []
    axes = "x, y and z" if dimension == 3 else "x and y"
    for place, point in enumerate(listed(raw, name, least), start=1):
        if not isinstance(point, list) or len(point) != dimension:
            raise ValueError(f"Point {place} of {name} does not have the coordinates {axes}.")
        rows.append([doubt.true_figure(asked, length(asked, raw, c)) for c in point])
    return rows


def listed(raw: Mapping[str, Any], name: str, least: int) -> list[Any]:
    """A list of a raw reading with at least so many entries."""
    found = raw[name]
    count = len(found) if isinstance(found, list) else 0
    if not isinstance(found, list) or not least <= count <= MOST_POINTS:
        raise ValueError(f"{name} has {count} entries; {least} to {MOST_POINTS} are needed.")
    return found


def same_length(**lists: list[Any]) -> None:
    """Refuse columns of one table that do not have the same number of rows."""
    if len({len(values) for values in lists.values()}) > 1:
        counts = ", ".join(f"{name} {len(values)}" for name, values in lists.items())
        raise ValueError(f"The columns do not have the same number of rows: {counts}.")
