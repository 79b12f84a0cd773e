"""The part of the page that asks for the raw reading; each kind of measuring has its own."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django import forms

from inspections.measuring import Measuring
from inspections.verdicts import LENGTHS
from shopqc.canonical import canonical, digest

if TYPE_CHECKING:
    from inspections.forms.readings.form import ReadingForm


@dataclass(frozen=True)
class Figure:
    """One typed number that can be looked at for a slip: its field, and what it should be near."""

    field: str
    typed: str
    lower: str | None = None
    upper: str | None = None
    nominal: str | None = None
    others: tuple[str, ...] = ()


def digest_of(raws: Mapping[str, Mapping[str, Any]]) -> str:
    """What tells the figures of a measuring from any other."""
    return digest(canonical(raws))


class Sheet(ABC):
    """What every sheet has. `form` is set when its form is made, so that the template reaches the fields.

    ``template`` stands under ``inspections/entry/``. ``points``: how many points are typed one by one; with
    0 they are pasted. ``way``: the other way to measure it, where there is one. ``supports``: the ways to
    hold it.
    """

    template = ""
    form: ReadingForm
    # Buttons of its own send it, so that none is drawn under it.
    sends_itself = False
    supports: tuple[str, ...] = ()
    asks_section = False
    asks_bar = False
    asks_master = False

    def __init__(self, measuring: Measuring, *, points: int = 0, way: str = "") -> None:
        self.measuring, self.points, self.way = measuring, points, way

    @classmethod
    def way_of(cls, raws: Mapping[str, Mapping[str, Any]]) -> str:
        """In which of its ways raw readings that were recorded had been entered."""
        return ""

    @abstractmethod
    def fields(self) -> dict[str, forms.Field]:
        """The fields of the raw reading, in the order they are typed in."""

    @abstractmethod
    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        """The raw reading of each characteristic that can be made of what was typed, by code.

        Raises
        ------
        Wrong
            What cannot be read, and beside which field that is said.
        """

    @abstractmethod
    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        """What the fields hold for raw readings that were recorded, by code."""

    def figures(self, data: Mapping[str, Any]) -> list[Figure]:
        """The numbers that are looked at for slips."""
        return []

    @property
    def scripts(self) -> tuple[str, ...]:
        """The page's scripts that save time with it; an answer of one tap needs none."""
        if self.sends_itself:
            return ()
        cells = [name for name in self.fields() if name[-1].isdigit()]
        return ("drafts", "preview", *(("paste",) if len(cells) > 1 else ()))

    @property
    def typed_in_lengths(self) -> bool:
        """Whether inch or millimeter is chosen."""
        return self.measuring.unit in LENGTHS

    def with_unit(self, raw: dict[str, Any], data: Mapping[str, Any]) -> dict[str, Any]:
        """A raw reading that says the unit it was typed in."""
        return {**raw, "unit": data["unit"]} if data.get("unit") else raw

    def only(self, raw: dict[str, Any]) -> dict[str, dict[str, Any]]:
        """The raw reading of a measuring that gives one figure."""
        return {self.measuring.first.code: raw}

    def limits(self) -> tuple[str | None, str | None, str | None]:
        """What a figure of the only characteristic should be near: lower and upper limit, nominal."""
        due = self.measuring.due(self.measuring.first)
        nominal = self.measuring.first.parameters.get("nominal")
        return due.lower, due.upper, nominal
