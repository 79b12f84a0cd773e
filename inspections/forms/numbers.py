"""Numbers and lists of numbers as people and gauges type them.

A decimal point or a decimal comma; both in one number are refused, and so
are separators of thousands, because nobody can tell 1,234 from 1.234 later.
What comes out is the text that was typed, with a point.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.verdicts import MOST_POINTS

LONGEST_NUMBER = 40
_NUMBER = re.compile(r"[+-]?(\d{1,15}([.,]\d{0,15})?|[.,]\d{1,15})", re.ASCII)
# Gauges and office programs write a true minus, and other spaces.
_AS_TYPED = str.maketrans({"\u2212": "-", "\u2013": "-", "\u00a0": " ", "\u202f": " "})


def typed_number(text: str) -> str:
    """One number as typed, with a point.

    Raises
    ------
    ValidationError
        With a sentence that says what to type instead.

    >>> typed_number(" 0,0035 ")
    '0.0035'
    >>> typed_number("-.5")
    '-0.5'
    """
    tidy = text.translate(_AS_TYPED).strip()
    if not tidy:
        raise ValidationError(_("A number is missing."))
    said = tidy if len(tidy) <= LONGEST_NUMBER else tidy[:LONGEST_NUMBER] + "…"
    if "." in tidy and "," in tidy:
        raise ValidationError(
            _("%(typed)s has a point and a comma. Write one of them, for the decimals only.")
            % {"typed": said}
        )
    if tidy.count(".") + tidy.count(",") > 1:
        raise ValidationError(
            _("%(typed)s has more than one decimal sign. Write no separators of thousands.") % {"typed": said}
        )
    if not _NUMBER.fullmatch(tidy):
        raise ValidationError(_("%(typed)s is no number. Write it like 0.0035.") % {"typed": said})
    tidy = tidy.replace(",", ".")
    sign, digits = ("-", tidy[1:]) if tidy[0] == "-" else ("", tidy.lstrip("+"))
    return sign + ("0" + digits if digits.startswith(".") else digits.removesuffix("."))


class NumberField(forms.CharField):
    """A typed number; its value is text."""

    default_error_messages = {"required": gettext_lazy("Type what the gauge says.")}

    def __init__(self, *, signed: bool = False, **kwargs: Any) -> None:
        # The number pad of some phones has no minus, so it is asked for only where none can be needed.
        attrs = {
            "inputmode": "text" if signed else "decimal",
            "autocomplete": "off",
            "autocapitalize": "off",
            "spellcheck": "false",
            "enterkeyhint": "next",
            "class": "input-number",
        }
        super().__init__(widget=forms.TextInput(attrs=attrs), **kwargs)

    def clean(self, value: Any) -> str:
        text: str = super().clean(value)
        return typed_number(text) if text else ""


def parse_rows(text: str, columns: Sequence[str]) -> list[list[str]]:
    """Lines of numbers, as typed or pasted from a gauge's list.

    Between the numbers of a line: a tab, a semicolon, spaces, or, if the
    decimals have points, a comma. A first line without digits is a heading
    and is left out.

    Raises
    ------
    ValidationError
        Names the line that cannot be read.
    """
    lines = [(number, line) for number, line in enumerate(text.splitlines(), start=1) if line.strip()]
    if lines and not any(character.isdigit() for character in lines[0][1]):
        lines = lines[1:]
    if len(lines) > MOST_POINTS:
        raise ValidationError(
            _("%(count)d lines are more than can be taken at once; send at most %(most)d.")
            % {"count": len(lines), "most": MOST_POINTS}
        )
    tokens = [(number, _tokens(line)) for number, line in lines]
    used = {sign for _number, row in tokens for token in row for sign in ".," if sign in token}
    rows = []
    for number, row in tokens:
        if len(row) != len(columns):
            raise ValidationError(
                _(
                    "Line %(line)d has %(count)d numbers; each line has %(columns)s. If the decimals have "
                    "commas, put semicolons, tabs or spaces between the numbers."
                )
                % {"line": number, "count": len(row), "columns": ", ".join(columns)}
            )
        try:
            rows.append([typed_number(token) for token in row])
        except ValidationError as error:
            raise ValidationError(
                _("Line %(line)d: %(why)s") % {"line": number, "why": error.message}
            ) from error
    if len(used) == 2:
        raise ValidationError(
            _("Some numbers have a decimal point and some a decimal comma. Use one of them throughout.")
        )
    return rows


def _tokens(line: str) -> list[str]:
    line = line.translate(_AS_TYPED).strip()
    for separator in ("\t", ";"):
        if separator in line:
            return [token.strip() for token in line.strip(separator).split(separator)]
    # "1.5, 2.5, 0.1": commas that end a word are separators, those inside one are decimals.
    words = line.split()
    if len(words) > 1:
        return [word.rstrip(",") for word in words if word != ","]
    return [word for word in line.split(",") if word] if "," in line else words
