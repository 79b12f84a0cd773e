"""From a table and what its columns are to the figures of a reading, with the place of whatever is wrong."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from inspections.probe_files.columns import ROLES, Shape, check_columns, feature_named
from inspections.probe_files.figures import figure
from inspections.probe_files.refusal import Unreadable, quoted
from inspections.probe_files.table import Column, Row, Table

__all__ = ["Taken", "feature_names", "take"]

# The figures of each shape that are lengths, in the order in which they are handed on.
_LENGTHS = {
    Shape.POINTS: ("x", "y", "z"),
    Shape.TURN: ("reading",),
    Shape.HOLES: ("x", "y"),
    Shape.VALUES: ("reading",),
    Shape.ALONG: ("z", "x", "y", "rolled_x", "rolled_y"),
    Shape.BORES: ("z", "x", "y", "bore"),
    Shape.LOG: (),
}
_OWN_UNITS = {"angle": ("°", "h"), "minutes": ("min",), "pressure": ("psi", "kPa"), "temperature": ("F", "C")}
WORDS = {
    Shape.POINTS: "points", Shape.TURN: "readings", Shape.HOLES: "holes", Shape.VALUES: "readings",
    Shape.ALONG: "places", Shape.BORES: "places", Shape.LOG: "readings",
}  # fmt: skip


@dataclass(frozen=True)
class Taken:
    """The figures of a file.

    `parts`: rows of decimal text by the feature they belong to (``""`` where a file has only one), in the
    order of `columns`. `unit`: of the lengths, ``"in"``, ``"mm"`` or ``""`` where nothing says it.
    `temperature_unit`: ``"F"``, ``"C"`` or ``""``; `pressure_unit`: ``"psi"``, ``"kPa"`` or ``""``.
    """

    columns: tuple[str, ...]
    parts: Mapping[str, list[list[str]]]
    unit: str
    temperature_unit: str = ""
    pressure_unit: str = ""

    @property
    def count(self) -> int:
        return sum(len(rows) for rows in self.parts.values())


def feature_names(table: Table, place: int) -> list[str]:
    """What a column of features calls them, each once, in the order of the file; at most 40."""
    seen: dict[str, None] = {}
    for row in table.rows:
        seen.setdefault(row.cells[place])
        if len(seen) == 40:
            break
    return list(seen)


def take(
    table: Table,
    shape: Shape,
    columns: Mapping[str, int],
    *,
    what: str,
    most: int,
    features: Sequence[str] = (),
    called: Mapping[str, str] | None = None,
) -> Taken:
    """Take the figures out of a table.

    Parameters
    ----------
    table, shape
        The file, and what it holds.
    columns : mapping of str to int
        Column (from 0) of each role.
    what, most : str, int
        What is measured, as a sentence names it, and how many rows of it are taken at most.
    features : sequence of str
        Features that are measured together; empty: the file holds one, and every row belongs to it.
    called : mapping of str to str, optional
        Which feature is meant by a name of the file; ``""``: leave these rows out.

    Raises
    ------
    Unreadable
        Names the line, the column and what stands there; mixed units; a place or a hole that stands twice;
        too many rows.
    """
    check_columns(table, shape, columns)
    reader = _Reader(table, shape, columns)
    parts: dict[str, list[list[str]]] = {}
    for feature, rows in _by_feature(table, shape, columns, features, called or {}).items():
        if len(rows) > most:
            whose = f"{what}, {feature}," if len(features) > 1 else what
            raise Unreadable(
                f"The file has {len(rows)} {WORDS[shape]}; {whose} takes at most {most}. Thin the file."
            )
        ordered = _in_order(reader, shape, columns, rows)
        parts[feature] = [[reader.of(row, role) for role in reader.roles] for row in ordered]
    if not any(parts.values()):
        raise Unreadable(f"The file has no {WORDS[shape]} of {what}.")
    return Taken(
        reader.roles,
        parts,
        reader.unit_of("length"),
        reader.unit_of("temperature"),
        reader.unit_of("pressure"),
    )


class _Reader:
    """Reads the cells of the columns, and keeps which unit each kind of figure has."""

    def __init__(self, table: Table, shape: Shape, columns: Mapping[str, int]) -> None:
        self.table, self.columns = table, columns
        self.lengths = _LENGTHS[shape]
        self.roles = tuple(
            role.name
            for role in ROLES[shape]
            if role.name in columns and role.name not in ("feature", "hole", "angle")
        )
        self.units: dict[str, tuple[str, int]] = {}
        if table.unit and table.unit not in ("in", "mm"):
            raise Unreadable(f"The file says that its unit is {quoted(table.unit)}; lengths are in mm or in.")
        if table.unit and self.lengths:
            self.units["length"] = (table.unit, 0)
        for role in self.roles:
            self._see(role, self._column(role).unit, 0)

    def _column(self, role: str) -> Column:
        return self.table.columns[self.columns[role]]

    def of(self, row: Row, role: str) -> str:
        """The figure of one role in a row, as decimal text with a point."""
        cell = row.cells[self.columns[role]]
        try:
            text, unit = figure(cell, self.table.dialect.decimal or None)
            self._see(role, unit, row.line)
        except Unreadable as error:
            name = self.table.names[self.columns[role]]
            raise Unreadable(f"Line {row.line}, column {quoted(name)}: {error}") from error
        return text

    def _see(self, role: str, unit: str, line: int) -> None:
        if not unit:
            return
        is_length = role in self.lengths
        allowed = ("in", "mm") if is_length else _OWN_UNITS[role]
        if unit not in allowed:
            raise Unreadable(f"{_unit_word(unit)} is no unit of {role}; it takes {_either(allowed)}.")
        kind = "length" if is_length else role
        before, at = self.units.setdefault(kind, (unit, line))
        if before != unit:
            where = f"line {at}" if at else "the headings"
            raise Unreadable(
                f"Mixed units: {where} says {_unit_word(before)}, this says {_unit_word(unit)}. "
                "Have the instrument write one unit throughout."
            )

    def unit_of(self, kind: str) -> str:
        """The unit that the file says for a kind of figure, or nothing."""
        return self.units.get(kind, ("", 0))[0]


def _by_feature(
    table: Table, shape: Shape, columns: Mapping[str, int], features: Sequence[str], called: Mapping[str, str]
) -> dict[str, list[Row]]:
    """The rows of each feature. Names that nobody has matched to a feature are refused, not left out."""
    if not features:
        return {"": list(table.rows)}
    if shape is not Shape.POINTS or "feature" not in columns:
        only = called.get("", features[0] if len(features) == 1 else "")
        if only not in features:
            raise Unreadable(
                "No column says what each point belongs to. Say which of these the file is of: "
                f"{', '.join(features)}."
            )
        return {only: list(table.rows)}
    place = columns["feature"]
    parts: dict[str, list[Row]] = {}
    meant: dict[str, str] = {}
    for row in table.rows:
        name = row.cells[place]
        if name not in meant:
            found = called[name] if name in called else feature_named(name, features)
            if found is None or (found and found not in features):
                raise Unreadable(
                    f"Line {row.line}: {quoted(name)} is none of {', '.join(features)}. "
                    "Say what is meant by it."
                )
            meant[name] = found
        if meant[name]:
            parts.setdefault(meant[name], []).append(row)
    return parts


def _in_order(
    reader: _Reader, shape: Shape, columns: Mapping[str, int], rows: Sequence[Row]
) -> Sequence[Row]:
    """Rows in the order in which they are judged: a turn from 12 o'clock on, holes by their numbers."""
    if shape is Shape.TURN and "angle" in columns:
        return _round_a_turn(reader, columns["angle"], rows)
    if shape is Shape.HOLES and "hole" in columns:
        return _by_number(columns["hole"], rows)
    return rows


def _by_number(place: int, rows: Sequence[Row]) -> Sequence[Row]:
    seen: dict[str, int] = {}
    for row in rows:
        name = row.cells[place].casefold()
        if name and name in seen:
            raise Unreadable(
                f"Hole {quoted(row.cells[place])} stands twice, in line {seen[name]} and line {row.line}."
            )
        seen[name] = row.line
    digits = ["".join(c for c in row.cells[place] if c in "0123456789") for row in rows]
    if all(digits) and len({int(d) for d in digits}) == len(rows):
        ranked = sorted(zip(map(int, digits), range(len(rows)), strict=True))
        return [rows[index] for _number, index in ranked]
    return rows


def _round_a_turn(reader: _Reader, place: int, rows: Sequence[Row]) -> Sequence[Row]:
    """The readings of one turn by their angles, which have to be even steps from 0° (12 o'clock) on."""
    column = reader.table.columns[place]
    is_clock = column.unit == "h" or column.name.casefold() in ("clock", "hour", "o'clock")
    placed = sorted(
        ((_angle(row, place, is_clock, reader), row) for row in rows),
        key=lambda pair: (pair[0], pair[1].line),
    )
    for (angle, row), (following, next_row) in pairwise(placed):
        if angle == following:
            first, second = sorted((row.line, next_row.line))
            raise Unreadable(
                f"{quoted(next_row.cells[place])} in line {second} is the same place as "
                f"{quoted(row.cells[place])} in line {first}. Each place of a turn is read once."
            )
    step = Fraction(360, len(placed))
    for number, (angle, row) in enumerate(placed):
        if abs(angle - number * step) > step / 20:
            raise Unreadable(
                f"Line {row.line}: {len(placed)} readings of one turn stand {float(step):g}° apart from 0° "
                f"(12 o'clock) on, so here {float(number * step):g}° is expected, not "
                f"{quoted(row.cells[place])}."
            )
    return [row for _angle, row in placed]


def _angle(row: Row, place: int, is_clock: bool, reader: _Reader) -> Fraction:
    """Where on the turn a row is, in degrees from 0 to below 360."""
    cell = row.cells[place].strip()
    hour, colon, minute = cell.partition(":")
    try:
        if colon:
            if not (hour.isdecimal() and minute.isdecimal() and len(cell) <= 5 and int(minute) < 60):
                raise Unreadable(f"{quoted(cell)} is no place on a clock.")
            degrees = Fraction(int(hour) % 12 * 60 + int(minute), 2)
        else:
            text, unit = figure(cell, reader.table.dialect.decimal or None)
            if unit not in ("", "°", "h"):
                raise Unreadable(f"{_unit_word(unit)} is no unit of an angle.")
            degrees = Fraction(text) * (30 if is_clock or unit == "h" else 1)
    except Unreadable as error:
        raise Unreadable(f"Line {row.line}, column {quoted(reader.table.names[place])}: {error}") from error
    if not -360 <= degrees <= 360:
        raise Unreadable(f"Line {row.line}: {quoted(cell)} is more than one turn.")
    return degrees % 360


def _unit_word(unit: str) -> str:
    return {"F": "°F", "C": "°C"}.get(unit, unit)


def _either(units: Iterable[str]) -> str:
    return " or ".join(_unit_word(unit) for unit in units)
