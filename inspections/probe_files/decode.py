"""From the bytes of a file to its lines."""

import codecs
import re

from inspections.probe_files.refusal import Unreadable

__all__ = ["MOST_BYTES", "lines_of"]

MOST_BYTES = 5_000_000
LONGEST_LINE = 4_000
# Blank lines and comments count too, so that a file of nothing but line ends is bounded as well.
MOST_LINES = 120_000

# What files begin with that somebody may take for a list of points.
_OTHER_FILES = {
    b"PK\x03\x04": "a spreadsheet or an archive; save it as CSV or text",
    b"\xd0\xcf\x11\xe0": "a spreadsheet of an older kind; save it as CSV or text",
    b"%PDF": "a PDF; have the instrument write CSV or text",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"\x1f\x8b": "a packed file; unpack it first",
}
_BOMS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
_LINE_END = re.compile(r"\r\n|\n|\r")
_NOT_TEXT = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")


def lines_of(content: bytes) -> list[str]:
    """The lines of a text file: UTF-8 or UTF-16 (with a byte order mark or without), else Windows-1252.

    Raises
    ------
    Unreadable
        Empty, over 5 MB, over 120,000 lines, a line over 4,000 characters, or no text.
    """
    if len(content) > MOST_BYTES:
        raise Unreadable(
            f"The file has {len(content) / 1e6:.1f} MB; at most {MOST_BYTES // 10**6} MB are read. Thin it."
        )
    for start, what in _OTHER_FILES.items():
        if content.startswith(start):
            raise Unreadable(f"This file is {what}.")
    # Old instruments end a file with the mark that DOS ended files with.
    text = _text(content).rstrip("\x1a")
    if not text.strip():
        raise Unreadable("The file is empty.")
    lines = _LINE_END.split(text)
    if len(lines) > MOST_LINES:
        raise Unreadable(f"The file has {len(lines)} lines; at most 100000 rows are read. Thin it.")
    for number, line in enumerate(lines, start=1):
        if len(line) > LONGEST_LINE:
            raise Unreadable(f"Line {number} has {len(line)} characters; a list of readings has short lines.")
        if _NOT_TEXT.search(line):
            raise Unreadable(f"Line {number} has characters that are no text; this is no list of readings.")
    return lines


def _text(content: bytes) -> str:
    for mark, encoding in _BOMS:
        if content.startswith(mark):
            return _decoded(content[len(mark) :], encoding)
    half = content[:2000]
    if half.count(0) * 4 > len(half):
        # Figures in UTF-16 have a zero in every other byte.
        return _decoded(content, "utf-16-le" if half[1::2].count(0) >= half[0::2].count(0) else "utf-16-be")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return _decoded(content, "cp1252")


def _decoded(content: bytes, encoding: str) -> str:
    try:
        return content.decode(encoding)
    except UnicodeDecodeError as error:
        raise Unreadable("This is no text file; have the instrument write CSV or text.") from error
