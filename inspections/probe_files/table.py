"""The table in a file that an instrument wrote: its columns, their names and units, and what else it says."""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from inspections.probe_files.decode import lines_of
from inspections.probe_files.dialect import Dialect, cells_of, dialect_of
from inspections.probe_files.figures import is_figure, unit_named
from inspections.probe_files.refusal import Unreadable, quoted

__all__ = ["MOST_ROWS", "Column", "Row", "Table", "read", "same_serial"]

MOST_ROWS = 100_000
MOST_COLUMNS = 60
LONGEST_CELL = 200
MOST_LOOKED_AT = 500
_COMMENT = re.compile(r"\s*(?:#|//|%|!)")
_NAME = re.compile(r"[^\W\d][\w /.-]{0,30}")
_SERIAL = re.compile(r"(?:housing\s*)?(?:serial(?:\s*(?:no\.?|number))?|s/?n|housing)", re.IGNORECASE)
_UNIT = re.compile(r"units?(?: of length)?", re.IGNORECASE)
_IN_BRACKETS = re.compile(r"(.*?)\s*[\[(]\s*([^\])]*?)\s*[\])]\s*")
_LAST_WORD = re.compile(r"(.+?)(?:\s+|_|/|,\s*)([^\s_/,]+)")


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name as it stands in the file (``""``: none), and the unit that stands with it."""

    name: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the table: its number in the file, counted from 1, and its cells, one for each column."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """What stands in a file.

    `said`: what lines of the form ``name: value`` outside the table say, names in lower case. `serials`:
    every serial that the file names, with the line. `left_out`: numbers of the lines before the table
    that were read as something else. `unit`: the unit of length that such a line names, or ``""``.
    """

    dialect: Dialect
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    has_header: bool
    said: Mapping[str, str] = field(default_factory=dict)
    serials: tuple[tuple[int, str], ...] = ()
    left_out: tuple[int, ...] = ()
    unit: str = ""

    @property
    def names(self) -> tuple[str, ...]:
        """A name for every column, also of a file without headings: ``"column 2"``."""
        return tuple(column.name or f"column {number}" for number, column in enumerate(self.columns, start=1))

    @property
    def header(self) -> str:
        """What tells files of one instrument from those of another: its headings, or how many columns."""
        return "\t".join(name.casefold() for name in self.names)


def read(content: bytes, *, decimal: str | None = None) -> Table:
    """Read a file.

    Parameters
    ----------
    content : bytes
        At most 5 MB and 100,000 rows.
    decimal : ``"."``, ``","`` or None
        The decimal mark that the person chose where the file reads in two ways.

    Raises
    ------
    Unreadable
        No text, no table, more than is read, or a line with another number of cells than the table has.

    Examples
    --------
    >>> table = read(b"x [mm];y [mm]\\n1,5;2\\n")
    >>> table.names, table.columns[0].unit, table.rows[0].cells, table.dialect.decimal
    (('x', 'y'), 'mm', ('1,5', '2'), ',')
    """
    said: dict[str, str] = {}
    serials: list[tuple[int, str]] = []
    content_lines: list[tuple[int, str]] = []
    comment = ""
    for number, line in enumerate(lines_of(content), start=1):
        if not line.strip():
            continue
        if _COMMENT.match(line) or (not content_lines and _says_something(line)):
            _hear(line, number, said, serials)
            comment = line if not content_lines else comment
        else:
            content_lines.append((number, line))
    if not content_lines:
        raise Unreadable("The file has no line with a reading.")
    if len(content_lines) > MOST_ROWS + 1:
        raise Unreadable(f"The file has {len(content_lines)} rows; at most {MOST_ROWS} are read. Thin it.")
    dialect = dialect_of([line for _number, line in content_lines], decimal)
    return _table(content_lines, comment, dialect, said, serials)


def _says_something(line: str) -> bool:
    """Whether a line before the table is of the form "serial: …", and so no heading."""
    return _said_in(line) is not None and not any(
        is_figure(cell) for cell in re.split(r"[;,\t]", line) if ":" not in cell
    )


def _said_in(line: str) -> tuple[str, str] | None:
    """Name and value of a line such as ``# serial: KR000123H7``."""
    bare = line.strip().lstrip("#/%! \t").rstrip(";, \t")
    place = next((index for index, sign in enumerate(bare[:40]) if sign in ":="), 0)
    name, value = bare[:place].strip(), bare[place + 1 :].strip()
    return (name, value) if value and _NAME.fullmatch(name) else None


def _hear(line: str, number: int, said: dict[str, str], serials: list[tuple[int, str]]) -> None:
    if found := _said_in(line):
        name, value = found[0].casefold(), found[1].strip('"')
        if len(said) < 100:
            said.setdefault(name, value[:LONGEST_CELL])
        if _SERIAL.fullmatch(name):
            serials.append((number, value[:LONGEST_CELL]))


def _table(
    lines: Sequence[tuple[int, str]],
    comment: str,
    dialect: Dialect,
    said: dict[str, str],
    serials: list[tuple[int, str]],
) -> Table:
    rows = list(_rows(lines, dialect.delimiter))
    width, first = _first_of_table(rows)
    if width > MOST_COLUMNS:
        raise Unreadable(f"Line {rows[first].line} has {width} columns; at most {MOST_COLUMNS} are read.")
    header, units, start = _headings(rows, width, first)
    if header is None and start == 0:
        header = _header_in(comment, dialect.delimiter, width)
    left_out = []
    for row in rows[:start]:
        if row is header or row is units:
            continue
        if all(is_figure(cell) for cell in row.cells if cell):
            _of_width(row, width, header)
        left_out.append(row.line)
        _hear(": ".join(cell for cell in row.cells if cell), row.line, said, serials)
    columns = _columns(header, units, width)
    taken = tuple(_of_width(row, width, header) for row in rows[start:])
    for place, column in enumerate(columns):
        if _SERIAL.fullmatch(column.name.strip()):
            serials += _different(taken, place)
    unit = next((value for name, value in said.items() if _UNIT.fullmatch(name)), "")
    return Table(
        dialect=dialect,
        columns=columns,
        rows=taken,
        has_header=header is not None,
        said=said,
        serials=tuple(serials),
        left_out=tuple(left_out),
        unit=(unit_named(unit) or "") if unit else "",
    )


def _header_in(comment: str, delimiter: str, width: int) -> Row | None:
    """The headings in the last comment before the first figures, as some programs write them."""
    cells = cells_of(_COMMENT.sub("", comment, count=1), delimiter) if '"' not in comment else []
    fits = len(cells) == width and any(cells) and not any(map(is_figure, cells))
    return Row(0, tuple(cells)) if fits and _said_in(comment) is None else None


def _rows(lines: Sequence[tuple[int, str]], delimiter: str) -> Iterator[Row]:
    for number, line in lines:
        try:
            cells = cells_of(line, delimiter)
        except Unreadable as error:
            raise Unreadable(f"Line {number}: {error}") from error
        if long := next((cell for cell in cells if len(cell) > LONGEST_CELL), None):
            raise Unreadable(f"Line {number}: {quoted(long)} is too long for a reading.")
        yield Row(number, tuple(cells))


def _first_of_table(rows: Sequence[Row]) -> tuple[int, int]:
    """How many cells most rows with figures have, and the place of the first such row."""
    places = [place for place, row in enumerate(rows[:MOST_LOOKED_AT]) if any(map(is_figure, row.cells))]
    if not places:
        raise Unreadable("The file has no line with a number.")
    widths = Counter(_filled(rows[place].cells) for place in places)
    width = max(widths, key=lambda width: (widths[width], width))
    return width, next(place for place in places if _filled(rows[place].cells) == width)


def _headings(rows: Sequence[Row], width: int, first: int) -> tuple[Row | None, Row | None, int]:
    """The headings, the units under them, and the place of the row after both.

    Rows between the headings and the first whole row belong to the table: that a value is missing is said.
    """
    if first and _are_headings(rows[first - 1].cells) and _filled(rows[first - 1].cells) < width - 1:
        _of_width(rows[first], _filled(rows[first - 1].cells), rows[first - 1])
    above = [place for place in range(first) if len(rows[place].cells) >= width]
    above = [place for place in above if _filled(rows[place].cells) in (width, width - 1)]
    above = [place for place in above if not any(map(is_figure, rows[place].cells))]
    if not above or not any(rows[above[-1]].cells):
        return None, None, first
    last = above[-1]
    if len(above) > 1 and above[-2] == last - 1 and _are_units(rows[last].cells):
        return rows[above[-2]], rows[last], last + 1
    return rows[last], None, last + 1


def _are_headings(cells: Sequence[str]) -> bool:
    """Whether a line is headings and not "Operator; Jo": several words, no figures."""
    words = [cell for cell in cells if cell]
    are_words = all(not cell[0].isdigit() and not is_figure(cell) for cell in words)
    return are_words and (len(words) > 2 or (len(words) == 2 and all(len(cell) < 3 for cell in words)))


def _filled(cells: Sequence[str]) -> int:
    """How many cells there are, without empty ones at the end."""
    end = len(cells)
    while end and not cells[end - 1]:
        end -= 1
    return end


def _of_width(row: Row, width: int, header: Row | None) -> Row:
    filled = _filled(row.cells)
    if filled > width or len(row.cells) < width:
        count = filled if filled > width else len(row.cells)
        whose = "there are headings for" if header else "the other lines have"
        raise Unreadable(
            f"Line {row.line} has {count} {'value' if count == 1 else 'values'}, and {whose} {width}. "
            "If the decimals have commas, put semicolons or tabs between the values."
        )
    return Row(row.line, row.cells[:width])


def _are_units(cells: Sequence[str]) -> bool:
    """Whether a line under the headings says the units of the columns."""
    found = 0
    for cell in cells:
        bare = cell.strip("[]() ")
        if not bare or bare == "-":
            continue
        try:
            if unit_named(bare) is None:
                return False
        except Unreadable:
            pass
        found += 1
    return found > 0


def _columns(header: Row | None, units: Row | None, width: int) -> tuple[Column, ...]:
    if header is None:
        return tuple(Column("") for _place in range(width))
    columns = []
    for place, heading in enumerate(header.cells[:width]):
        column = _column(heading)
        below = units.cells[place].strip("[]() ") if units and place < len(units.cells) else ""
        columns.append(Column(column.name, _unit_at(below, heading)) if below not in ("", "-") else column)
    return tuple(columns)


def _column(heading: str) -> Column:
    """A heading taken apart: ``"x [mm]"``, ``"Pressure (psi)"``, ``"x_mm"``."""
    if bracketed := _IN_BRACKETS.fullmatch(heading):
        return Column(bracketed[1].strip(), _unit_at(bracketed[2], heading))
    # The last word of a heading is a unit only if it is one of length that nothing else is called.
    if (parted := _LAST_WORD.fullmatch(heading)) and parted[2].casefold() in {
        "mm",
        "in",
        "inch",
        "psi",
        "min",
    }:
        return Column(parted[1].strip(), unit_named(parted[2]) or "")
    return Column(heading)


def _unit_at(written: str, heading: str) -> str:
    try:
        return unit_named(written) or ""
    except Unreadable as error:
        raise Unreadable(f"Column {quoted(heading)}: {error}") from error


def _different(rows: Sequence[Row], place: int) -> Iterator[tuple[int, str]]:
    """The serials of a column, each once, with the line where it stands first."""
    seen: set[str] = set()
    for row in rows:
        if row.cells[place] and row.cells[place] not in seen and len(seen) < 100:
            seen.add(row.cells[place])
            yield row.line, row.cells[place]


def same_serial(written: str, serial: str) -> bool:
    """Whether a serial in a file is that of a housing, however it is grouped and whatever the case."""

    def bare(text: str) -> str:
        return "".join(character for character in text.casefold() if character.isalnum())

    return bare(written) == bare(serial)
