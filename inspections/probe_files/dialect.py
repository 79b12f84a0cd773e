"""How the cells of a line are divided and which decimal mark they have, decided by what the file shows.

A file says neither. Every way of reading it is tried on its first lines, and one that gives whole numbers and
names in every line is taken; if two of them do, the person is asked.
"""

import csv
import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from inspections.probe_files.figures import is_figure
from inspections.probe_files.refusal import Unreadable, quoted

__all__ = ["DELIMITERS", "Dialect", "cells_of", "dialect_of"]

SAMPLE = 500
DELIMITERS = {"\t": "tab", ";": "semicolon", ",": "comma", " ": "space", "": "one value a line"}
# Looking back, so that a long run of spaces is gone through once.
_BRACKET = re.compile(r"(?<!\s)\s+(?=[\[(])")


class Dialect(NamedTuple):
    """The sign between cells (``"\\t"``, ``";"``, ``","``, ``" "``; ``""``: one a line) and the decimal mark.

    `decimal` is ``"."``, ``","``, or ``""`` where no number of the file has decimals.
    """

    delimiter: str
    decimal: str


def cells_of(line: str, delimiter: str) -> list[str]:
    """The cells of one line, without the spaces round them; quotation marks may hold a cell together.

    Raises
    ------
    Unreadable
        A quotation mark is not closed.
    """
    if not delimiter:
        return [line.strip().strip('"').strip()]
    if delimiter == " ":
        # "x [mm]" is one heading though the cells are set apart by spaces.
        line = _BRACKET.sub("", line.strip())
    if '"' not in line:
        parts = line.split() if delimiter == " " else line.split(delimiter)
        return [part.strip() for part in parts]
    try:
        rows = list(csv.reader([line], delimiter=delimiter, skipinitialspace=True, strict=True))
    except csv.Error as error:
        raise Unreadable(f"{quoted(line)}: a quotation mark is not closed.") from error
    return [cell.strip() for cell in rows[0]] if rows else []


def dialect_of(lines: Sequence[str], decimal: str | None = None) -> Dialect:
    """The dialect of a file by the lines that stand in it (no blank ones, no comments).

    `decimal`: the mark that the person chose, where that was asked before.

    Raises
    ------
    Unreadable
        Both marks stand in its numbers, or it reads in two ways (`question` is then ``"decimal"``).
    """
    sample = lines[:SAMPLE]
    for delimiter in "\t;":
        if sum(delimiter in line for line in sample) * 2 > len(sample):
            return Dialect(delimiter, _mark(lines, delimiter))
    with_comma = sum("," in line for line in sample)
    spaced = _is_spaced(sample)
    if not with_comma:
        delimiter = " " if spaced else ""
        return Dialect(delimiter, _mark(lines, delimiter))
    ways = [Dialect(",", ".")]
    ways.append(Dialect(" " if spaced else "", ","))
    if spaced:
        ways.append(Dialect(" ", "."))
    fits = [way for way in ways if _fits(sample, way)]
    if decimal and len(fits) > 1:
        fits = [way for way in fits if way.decimal == decimal] or fits
    if len(fits) > 1:
        fits = [way for way in fits if not _has_odd_whole_numbers(sample, way)] or fits
    if len(fits) > 1 and len({_shape(sample, way) for way in fits}) > 1:
        raise Unreadable(
            f"{quoted(sample[-1])} can be read in two ways: the comma as the decimal mark, or as the sign "
            "between two numbers. Say which.",
            question="decimal",
        )
    if fits:
        return fits[0]._replace(decimal=_mark(lines, fits[0].delimiter))
    # Nothing fits: the likeliest way, so that what is wrong is said of a line.
    return ways[0] if with_comma * 2 > len(sample) and not _is_spaced_numbers(sample) else ways[1]


def _is_spaced(sample: Sequence[str]) -> bool:
    """Whether most lines have cells set apart by spaces alone."""
    return sum(len(_BRACKET.sub("", line.strip()).split()) > 1 for line in sample) * 2 > len(sample)


def _is_spaced_numbers(sample: Sequence[str]) -> bool:
    """Whether most lines are numbers set apart by spaces, as far as that can be said."""
    count = sum(all(is_figure(word) for word in words) for line in sample if len(words := line.split()) > 1)
    return count * 2 > len(sample)


def _fits(sample: Sequence[str], way: Dialect) -> bool:
    """Whether every line reads as numbers with that mark, names and empty cells, as many in each row."""
    widths = set()
    figures = 0
    for line in sample:
        try:
            cells = cells_of(line, way.delimiter)
        except Unreadable:
            return False
        kinds = [_kind(cell, way.decimal) for cell in cells]
        if None in kinds:
            return False
        figures += kinds.count("figure")
        # Before the first figures stands what is no table: a title, the name of a program.
        if figures:
            widths.add(len(_without_empty_end(cells)))
        else:
            widths = {len(_without_empty_end(cells))}
    return figures > 0 and len(widths) == 1


def _kind(cell: str, decimal: str) -> str | None:
    """What a cell holds: ``"figure"``, ``"name"`` or ``"empty"``; None: nothing that is written so."""
    if not cell:
        return "empty"
    if is_figure(cell):
        digits = re.sub(r"[^\d.,]", "", cell)
        other = "," if decimal == "." else "."
        # "1," at the end of a word is a sign between words, not a decimal mark.
        return None if other in digits or (decimal == "," and digits.endswith(",")) else "figure"
    starts_like_a_number = cell[0].isdigit() or cell[0] in "+-.,"
    if starts_like_a_number and not re.search(r"[A-Za-z:/]", cell):
        return None
    return None if cell.endswith(",") or re.search(r"\S,\S", cell) else "name"


def _has_odd_whole_numbers(sample: Iterable[str], way: Dialect) -> bool:
    """Whether some cells would be written as nobody writes whole numbers: 05, -0."""
    return any(
        re.fullmatch(r"[+-]?0\d+|-0", cell) for line in sample for cell in cells_of(line, way.delimiter)
    )


def _shape(sample: Sequence[str], way: Dialect) -> tuple[int, ...]:
    return tuple(len(cells_of(line, way.delimiter)) for line in sample)


def _mark(lines: Sequence[str], delimiter: str) -> str:
    """The decimal mark of all numbers of a file.

    Raises
    ------
    Unreadable
        Some have a point and some a comma.
    """
    found: dict[str, str] = {}
    for line in lines:
        if ("," in found or "," not in line) and ("." in found or "." not in line):
            continue
        for cell in cells_of(line, delimiter):
            # A number with both is said of its own line and column when it is read.
            if is_figure(cell) and ("." in cell) != ("," in cell):
                found.setdefault("." if "." in cell else ",", cell)
    if len(found) == 2:
        raise Unreadable(
            f"Some numbers have a decimal point ({quoted(found['.'])}) and some a decimal comma "
            f"({quoted(found[','])}). Have the instrument write one of them throughout."
        )
    return next(iter(found), "")


def _without_empty_end(cells: Sequence[str]) -> Sequence[str]:
    end = len(cells)
    while end and not cells[end - 1]:
        end -= 1
    return cells[:end]
