"""An order file read back: what people's spreadsheets write, and what is no order file."""

from __future__ import annotations

import codecs
import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering.order_table import (
    COLUMNS,
    MOST_ROWS,
    NEEDED,
    REASONS,
    NoOrderTable,
    read,
    write,
)

# Cells as people type them: any text without what ends lines in a way of its own or is no character.
CELL = st.text(
    st.characters(codec="utf-8", exclude_characters="\x00\x1a\x85\x0b\x0c\x1c\x1d\x1e\u2028\u2029"),
    max_size=12,
).map(str.strip)
DELIMITER = st.sampled_from([",", ";", "\t"])
CODING = st.sampled_from(["utf-8", "utf-8-sig", "utf-16"])


@given(
    order=st.permutations(list(COLUMNS)),
    cells=st.lists(st.lists(CELL, min_size=len(COLUMNS), max_size=len(COLUMNS)), min_size=1, max_size=4),
    delimiter=DELIMITER,
    coding=CODING,
    named=st.booleans(),
)
def test_what_the_standard_writer_writes_is_read_again(
    order: list[str], cells: list[list[str]], delimiter: str, coding: str, named: bool
) -> None:
    """Reference: RFC 4180 (quoting) as Python's csv module writes it; UTF-8 and UTF-16 byte order marks."""
    file = io.StringIO(newline="")
    writer = csv.writer(file, delimiter=delimiter)
    writer.writerow([COLUMNS[name] if named else name for name in order])
    kept = [row for row in cells if any(row)]
    writer.writerows(kept)
    content = file.getvalue().encode(coding)
    if not kept:
        with pytest.raises(NoOrderTable, match="no row below"):
            read(content)
        return
    table = read(content)
    assert table.delimiter == delimiter
    assert [dict(row.cells) for row in table.rows] == [dict(zip(order, row, strict=True)) for row in kept]


@given(content=st.one_of(st.binary(max_size=400), st.text(max_size=300).map(lambda text: text.encode())))
def test_anything_else_is_refused_with_a_sentence(content: bytes) -> None:
    try:
        read(content)
    except NoOrderTable as error:
        assert error.reasons and all(reason.endswith(".") for reason in error.reasons)


HEAD = ",".join(NEEDED)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "empty"),
        (b" \r\n\r\n", "empty"),
        (codecs.BOM_UTF8, "empty"),
        (HEAD.encode(), "no row below"),
        (b"PK\x03\x04zip", "spreadsheet or an archive"),
        (b"%PDF-1.7", "a PDF"),
        (b"a\x00b", "no text file"),
        (codecs.BOM_UTF16_LE + b"a", "no text file"),
        (b"1,2,3\n4,5,6", "names no column that is known"),
        (f"{HEAD},wheels\nx".encode(), "“wheels” is not known"),
        (f"{HEAD},Customer\nx".encode(), "“customer” stands twice"),
        (b"customer,reference\nnorth,PO-1", "Missing: quantity, tube_od"),
        (f'{HEAD}\nnorth,"PO-1'.encode(), "line 2 cannot be told apart"),
        (f'{HEAD}\nnorth,"PO"1",2'.encode(), "line 2 cannot be told apart"),
        (b"x" * 1_000_001, "more than 1 MB"),
        ((HEAD + "\nnorth" * (MOST_ROWS + 1)).encode(), "501 rows; at most 500"),
    ],
)
def test_what_is_no_order_file_is_refused_with_its_reason(content: bytes, says: str) -> None:
    with pytest.raises(NoOrderTable, match=says):
        read(content)


def test_lines_are_counted_as_an_editor_counts_them() -> None:
    content = (
        f'sep=;\r\n{HEAD.replace(",", ";")};note\r\n\r\nnorth;PO-1;1{";" * 12}"two\r\nlines"\r\nnorth;PO-2'
    )
    table = read(content.encode())
    assert [row.line for row in table.rows] == [4, 6]
    assert table.rows[0].cells["note"] == "two\r\nlines"


def test_columns_without_a_name_are_only_counted_where_something_stands_in_them() -> None:
    """A spreadsheet writes empty columns at the right edge: common practice, no source."""
    table = read(f"{HEAD},,\nnorth,PO-1{',' * 14}\nnorth,PO-2{',' * 13}stray".encode())
    assert [row.too_many for row in table.rows] == [0, 1]


def test_a_column_of_reasons_is_for_people() -> None:
    table = read(write([[*NEEDED, REASONS], ["north", *[""] * (len(NEEDED) - 1), "why"]]).encode())
    assert REASONS not in table.rows[0].cells


def test_older_spreadsheets_write_windows_letters() -> None:
    table = read(f"{HEAD}\nnorth,Gr\xf6\xdfe".encode("cp1252"))
    assert table.rows[0].cells["reference"] == "Größe"
