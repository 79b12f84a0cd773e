"""Whole numbers that a browser sends outside the fields of a form: in an address, in the name of a button."""

from __future__ import annotations

# Beyond that no row, place or count of a shop goes; and Python itself refuses to read thousands of digits.
MOST_DIGITS = 9


def whole(text: str) -> int | None:
    """The number that a text of ASCII digits is; ``None`` for any other text, and for more than nine digits.

    >>> whole("12"), whole("-1"), whole("٣"), whole("1" * 5000)
    (12, None, None, None)
    """
    return int(text) if text.isascii() and text.isdigit() and len(text) <= MOST_DIGITS else None
