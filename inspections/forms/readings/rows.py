"""A table of figures, typed row by row or pasted: points, stations of a bar, bores, pressures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.numbers import NumberField, parse_rows
from inspections.forms.readings.wrong import Wrong
from inspections.verdicts import MOST_POINTS

# The longest paste that is looked at: the most rows, each as long as a line of numbers can be.
LONGEST_PASTE = MOST_POINTS * 150
MOST_ROWS = 60


@dataclass(frozen=True)
class Column:
    """One figure of each row; ``optional`` ones stand in every row or in none."""

    name: str
    label: Any
    signed: bool = True
    optional: bool = False


@dataclass(frozen=True)
class Rows:
    """A table, whose fields are called ``{prefix}{column}_{number}`` and ``{prefix}list`` for what is pasted.

    ``count`` rows are typed one by one; with 0 they are pasted only.
    """

    columns: tuple[Column, ...]
    label: Any
    prefix: str = ""
    count: int = 0
    row_name: Any = "Point"
    hint: Any = ""
    paste_rows: int = 3

    @property
    def list_name(self) -> str:
        return f"{self.prefix}list"

    @property
    def first_name(self) -> str:
        return self.name(self.columns[0], 1) if self.count else self.list_name

    def name(self, column: Column, number: int) -> str:
        return f"{self.prefix}{column.name}_{number}"

    def fields(self) -> dict[str, forms.Field]:
        """The fields, by name: the table first, then the list."""
        made: dict[str, forms.Field] = {}
        for number in range(1, self.count + 1):
            for column in self.columns:
                label = f"{self.row_name} {number}, {column.label}"
                field = NumberField(label=label, signed=column.signed, required=False)
                # On a phone a row has no heading of its columns; each cell then says what it is.
                field.widget.attrs["placeholder"] = column.label
                made[self.name(column, number)] = field
        made[self.list_name] = paste_field(self.label, rows=self.paste_rows)
        return made

    def read(self, data: Mapping[str, Any]) -> list[list[str]]:
        """The rows as typed or pasted; optional columns only where they are filled.

        Raises
        ------
        Wrong
            The field that it is said beside, and why.
        """
        typed = [[data.get(self.name(c, n)) or "" for c in self.columns] for n in range(1, self.count + 1)]
        pasted = (data.get(self.list_name) or "").strip()
        if pasted:
            if any(any(row) for row in typed):
                raise Wrong(
                    self.list_name, _("There are figures in the table and in the list; keep one of the two.")
                )
            return self._pasted(pasted)
        return self._typed(typed)

    def _pasted(self, text: str) -> list[list[str]]:
        needed = [str(c.label) for c in self.columns if not c.optional]
        further = [str(c.label) for c in self.columns if c.optional]
        try:
            return parse_rows(text, needed, further)
        except ValidationError as error:
            raise Wrong(self.list_name, error.message) from error

    def _typed(self, typed: Sequence[Sequence[str]]) -> list[list[str]]:
        rows = []
        further = [index for index, column in enumerate(self.columns) if column.optional]
        with_further = any(row[index] for row in typed for index in further)
        for number, row in enumerate(typed, start=1):
            if not any(row):
                continue
            for index, column in enumerate(self.columns):
                if not row[index] and (not column.optional or with_further):
                    raise Wrong(self.name(column, number), self._missing(column, number))
            rows.append([text for index, text in enumerate(row) if with_further or index not in further])
        return rows

    def _missing(self, column: Column, number: int) -> str:
        facts = {"row": self.row_name, "number": number, "column": column.label}
        if column.optional:
            return _("%(row)s %(number)d has no %(column)s, and others have it.") % facts
        return _("%(row)s %(number)d is not complete: %(column)s is missing.") % facts

    def initial(self, rows: Sequence[Sequence[str]]) -> dict[str, str]:
        """What the fields hold for rows that were recorded: in the table if they fit, else in the list."""
        if not rows:
            return {}
        if len(rows) <= self.count:
            return {
                self.name(column, number): text
                for number, row in enumerate(rows, start=1)
                for column, text in zip(self.columns, row, strict=False)
            }
        return {self.list_name: "\n".join(" ".join(row) for row in rows)}


def paste_field(label: Any, rows: int = 3) -> forms.CharField:
    """A field for a column or a table that is pasted."""
    return forms.CharField(
        label=label,
        required=False,
        max_length=LONGEST_PASTE,
        widget=forms.Textarea(attrs={"rows": rows, "class": "input-code", "spellcheck": "false"}),
        error_messages={
            "max_length": gettext_lazy(
                "This is %(show_value)d characters long; a reading has at most %(limit_value)d."
            ),
        },
    )
