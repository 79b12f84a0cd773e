"""Numbers and lists of numbers as people and gauges type them.

A decimal point or a decimal comma; both in one number are refused, and so
are separators of thousands, because nobody can tell 1,234 from 1.234 later.
What comes out is the text that was typed, with a point.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.probe_files import Unreadable, figure
from inspections.verdicts import LENGTHS, MOST_POINTS

LONGEST_SAID = 40
# Gauges and office programs write a true minus, and other spaces.
_AS_TYPED = str.maketrans({"\u2212": "-", "\u2013": "-", "\u00a0": " ", "\u202f": " "})
_SAYS = {
    "missing": gettext_lazy("A number is missing."),
    "two_marks": gettext_lazy("%(typed)s has a point and a comma. Write one of them, for the decimals only."),
    "more_marks": gettext_lazy("%(typed)s has more than one decimal sign. Write no separators of thousands."),
    "no_number": gettext_lazy("%(typed)s is no number. Write it like 0.0035."),
    "unit": gettext_lazy("%(typed)s has a unit in which nothing is taken here."),
}


class Typed(str):
    """A typed number with a point, and the ``unit`` that a gauge sent with it (``""``: none)."""

    unit = ""

    def __new__(cls, text: str, unit: str = "") -> Typed:
        made = super().__new__(cls, text)
        made.unit = unit
        return made


def typed_number(text: str) -> Typed:
    """One number as typed or as a gauge types it, with a point.

    What gauges put round it is understood: a label before it, a unit after it.

    Raises
    ------
    ValidationError
        With a sentence that says what to type instead.

    >>> typed_number(" 0,0035 ")
    '0.0035'
    >>> typed_number("+0.0012 in"), typed_number("+0.0012 in").unit
    ('0.0012', 'in')
    """
    try:
        # Hands that type an exponent slip; only files have them.
        return Typed(*figure(text, exponents=False))
    except Unreadable as error:
        tidy = text.strip()
        said = tidy if len(tidy) <= LONGEST_SAID else tidy[:LONGEST_SAID] + "…"
        raise ValidationError(_SAYS[error.problem] % {"typed": said}) from error


def unit_said(typed: Iterable[str], chosen: str) -> str:
    """The unit of numbers that belong together: what the gauge sent with them, else ``chosen``.

    A gauge knows what it shows, so a length that it sends in mm is taken in mm though inches are chosen.

    Raises
    ------
    ValidationError
        Two units, one that does not fit, or some numbers with another unit than chosen and some with none.
    """
    units = {number.unit if isinstance(number, Typed) else "" for number in typed if number}
    said = units - {""}
    if not said or said == {chosen}:
        return chosen
    if len(said) > 1:
        raise ValidationError(
            _("Some numbers are in %(one)s and some in %(other)s. Set the gauge to one unit.")
            % dict(zip(("one", "other"), sorted(said), strict=False))
        )
    unit = said.pop()
    if unit not in LENGTHS or chosen not in LENGTHS:
        raise ValidationError(
            _("The gauge sent %(said)s, and this is taken in %(unit)s.")
            % {"said": {"F": "°F", "C": "°C"}.get(unit, unit), "unit": chosen}
        )
    if "" in units:
        raise ValidationError(
            _("Some numbers say %(said)s and some say nothing. Say the unit of all of them.") % {"said": unit}
        )
    return unit


class NumberField(forms.CharField):
    """A typed number; its value is text, `Typed` with the unit a gauge sent."""

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


def parse_rows(text: str, columns: Sequence[str], further: Sequence[str] = ()) -> list[list[str]]:
    """Lines of numbers, as typed or pasted from a gauge's list.

    Each line has all of ``columns``; ``further`` ones stand in every line or in none.

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
    rows: list[list[str]] = []
    if further and tokens and len(tokens[0][1]) == len(columns) + len(further):
        columns = [*columns, *further]
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
