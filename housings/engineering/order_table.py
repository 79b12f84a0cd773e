"""Orders as a table of a spreadsheet: from the bytes of a file to rows whose cells have names.

Read as people's spreadsheets write it: separated by commas, semicolons or tabs, columns in any order and
called as in the template or by their words, with or without a byte order mark. Nothing is judged here.
"""

import codecs
import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from .spec_fields import FIELDS

__all__ = [
    "COLUMNS",
    "MOST_BYTES",
    "MOST_ROWS",
    "NEEDED",
    "REASONS",
    "NoOrderTable",
    "OrderTable",
    "Row",
    "read",
    "write",
]

MOST_BYTES, MOST_ROWS = 1_000_000, 500
REASONS = "reasons"
"""A column that is written for people and not read: why a row was not placed."""
_HEAD = {
    "customer": "Customer",
    "reference": "Their reference",
    "due": "Due",
    "note": "Note",
    "quantity": "How many",
    "route": "Route",
}
_OTHER_NAMES = {"due on": "due", "due date": "due", "number": "quantity", "pieces": "quantity"}
COLUMNS: Mapping[str, str] = MappingProxyType(
    {**_HEAD, **{name: description.label for name, description in FIELDS.items()}}
)
"""The label of each column by its name, in the order of the template."""
NEEDED = ("customer", "reference", "quantity", *(name for name, field in FIELDS.items() if field.required))
_DELIMITERS: tuple[str, ...] = (",", ";", "\t")
_BOMS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
_OTHER_FILES = {
    b"PK\x03\x04": "a spreadsheet or an archive",
    b"\xd0\xcf\x11\xe0": "a spreadsheet of an older kind",
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
}
_SEPARATOR_LINE = re.compile(r"sep=([,;\t])\r?\n", re.IGNORECASE)
_LONGEST_SHOWN = 40


class NoOrderTable(ValueError):
    """A file that is no table of orders; `reasons` has every sentence why, at least one."""

    def __init__(self, *reasons: str) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons


@dataclass(frozen=True, slots=True)
class Row:
    """One row: `line` is its line in the file, `cells` the text of each known column, `given` all cells.

    `too_many` counts cells that stand under no name.
    """

    line: int
    cells: Mapping[str, str]
    given: tuple[str, ...]
    too_many: int = 0


@dataclass(frozen=True, slots=True)
class OrderTable:
    """A file that was read: how its cells are parted, the names in its first line, its rows."""

    delimiter: str
    heads: tuple[str, ...]
    rows: tuple[Row, ...]


def read(content: bytes) -> OrderTable:
    """Read a file.

    Raises
    ------
    NoOrderTable
        Empty, too large, no text, no or doubtful column names, too many rows, a quote that never ends.

    >>> try:
    ...     read(b"Reference;HOW MANY;tube-wall;wheels")
    ... except NoOrderTable as error:
    ...     error.reasons[0]
    'The column “wheels” is not known; correct its name or take it out.'
    """
    text = _text(content)
    delimiters = _DELIMITERS
    if stated := _SEPARATOR_LINE.match(text):
        text, delimiters = text[stated.end() :], (str(stated[1]),)
    delimiter = max(delimiters, key=lambda sign: _known_in(text, sign))
    before = 1 if stated else 0
    lines = _lines(text, delimiter, before)
    if not lines:
        raise NoOrderTable("The file is empty.")
    heads, names = lines[0][1], [_name(head) for head in lines[0][1]]
    _check_names(heads, names)
    if len(lines) == 1:
        raise NoOrderTable("The file has names of columns and no row below them.")
    if len(lines) - 1 > MOST_ROWS:
        raise NoOrderTable(
            f"The file has {len(lines) - 1} rows; at most {MOST_ROWS} are read at once. Split it."
        )
    rows = []
    for line, given in lines[1:]:
        cells = {
            name: cell.strip() for name, cell in zip(names, given, strict=False) if name and name != REASONS
        }
        nameless = (
            cell for place, cell in enumerate(given) if place >= len(heads) or not heads[place].strip()
        )
        too_many = sum(bool(cell.strip()) for cell in nameless)
        rows.append(Row(line, cells, tuple(given), too_many))
    return OrderTable(delimiter, tuple(heads), tuple(rows))


def write(rows: Iterable[Sequence[str]], delimiter: str = ",") -> str:
    """Rows as the text of a file that `read` reads again."""
    file = io.StringIO(newline="")
    csv.writer(file, delimiter=delimiter, lineterminator="\r\n").writerows(rows)
    return file.getvalue()


def _text(content: bytes) -> str:
    if len(content) > MOST_BYTES:
        raise NoOrderTable("The file has more than 1 MB; split it.")
    for start, what in _OTHER_FILES.items():
        if content.startswith(start):
            raise NoOrderTable(f"This file is {what}; save it as CSV.")
    for mark, encoding in _BOMS:
        if content.startswith(mark):
            text = _decoded(content[len(mark) :], encoding)
            break
    else:
        try:
            text = content.decode("utf-8")
        except UnicodeDecodeError:
            text = _decoded(content, "cp1252")
    if "\x00" in text:
        raise NoOrderTable("This is no text file; save the table as CSV.")
    if not text.strip():
        raise NoOrderTable("The file is empty.")
    return text


def _decoded(content: bytes, encoding: str) -> str:
    try:
        return content.decode(encoding)
    except UnicodeDecodeError:
        raise NoOrderTable("This is no text file; save the table as CSV.") from None


def _lines(text: str, delimiter: str, before: int) -> list[tuple[int, list[str]]]:
    """Every line that is not blank, with the number of its first line in the file."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    found, line = [], before + 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                found.append((line, cells))
            line = before + reader.line_num + 1
    except csv.Error:
        raise NoOrderTable(
            f"The cells of line {line} cannot be told apart: a quotation mark stands there alone."
        ) from None
    return found


def _known_in(text: str, delimiter: str) -> int:
    first = next((line for line in text.splitlines() if line.strip()), "")
    return sum(bool(_name(head.strip('"'))) for head in first.split(delimiter))


def _plain(name: str) -> str:
    """The name of a column without what people write differently.

    >>> _plain(" Tube_wall (in)"), _plain("TUBE-WALL")
    ('tube wall', 'tube wall')
    """
    without_unit = re.sub(r"\s*[(\[][^)\]]*[)\]]\s*$", "", name)
    return re.sub(r"[\s_-]+", " ", without_unit).strip().casefold()


_NAMES = {
    **{_plain(label): name for name, label in COLUMNS.items()},
    **{_plain(name): name for name in COLUMNS},
    **_OTHER_NAMES,
    REASONS: REASONS,
}


def _name(head: str) -> str:
    return _NAMES.get(_plain(head), "")


def _check_names(heads: Sequence[str], names: Sequence[str]) -> None:
    if not any(names):
        raise NoOrderTable("The first line names no column that is known; begin with the template.")
    reasons = []
    for head, name in zip(heads, names, strict=True):
        shown = "".join(sign for sign in head.strip() if sign.isprintable())[:_LONGEST_SHOWN]
        if not name and shown:
            reasons.append(f"The column “{shown}” is not known; correct its name or take it out.")
    for name in dict.fromkeys(names):
        if name and names.count(name) > 1:
            reasons.append(f"The column “{name}” stands twice.")
    missing = [name for name in NEEDED if name not in names]
    if missing:
        reasons.append(f"Missing: {', '.join(missing)}.")
    if reasons:
        raise NoOrderTable(*reasons)
