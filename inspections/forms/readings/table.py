"""A sheet that is one table of rows, typed cell by cell or pasted."""

from __future__ import annotations

from abc import abstractmethod

from django import forms

from inspections.forms.readings.rows import Column, Rows
from inspections.forms.readings.sheet import Sheet


class TableSheet(Sheet):
    """What a sheet of rows shows; ``columns`` are those of its table."""

    columns: tuple[Column, ...]

    @property
    @abstractmethod
    def rows(self) -> Rows:
        """The rows that are typed or pasted."""

    @property
    def table(self) -> list[list[forms.BoundField]]:
        """The cells, row by row."""
        return [
            [self.form[self.rows.name(column, number)] for column in self.columns]
            for number in range(1, self.rows.count + 1)
        ]

    @property
    def pasted(self) -> forms.BoundField:
        """The field that takes all rows at once."""
        return self.form[self.rows.list_name]
