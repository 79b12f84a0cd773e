"""What an indicator says round one turn, place by place on the clock, with a drawing of where."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.functional import cached_property
from django.utils.translation import gettext as _

from inspections.forms.numbers import NumberField, typed_number
from inspections.forms.readings.dial import Place, places
from inspections.forms.readings.rows import paste_field
from inspections.forms.readings.sheet import Figure, Sheet
from inspections.forms.readings.wrong import Wrong
from inspections.verdicts import MOST_POINTS

MOST_CLOCK_PLACES = 24


class ClockSheet(Sheet):
    """``{"readings": ["0", "0.0015", …]}``: even steps of one turn, the first at 12 o'clock."""

    template = "clock.html"
    supports = ("v_blocks", "centers", "bearings")
    asks_section = True

    @property
    def scripts(self) -> tuple[str, ...]:
        return (*super().scripts, "dial")

    @cached_property
    def count(self) -> int:
        return min(max(self.measuring.least(4), 4), MOST_CLOCK_PLACES)

    @cached_property
    def names(self) -> list[str]:
        return [f"turn_{number}" for number in range(self.count)]

    @property
    def dial(self) -> list[Place]:
        return places(self.count)

    def fields(self) -> dict[str, forms.Field]:
        made: dict[str, forms.Field] = {
            name: NumberField(label=clock_place(number, self.count), signed=True, required=False)
            for number, name in enumerate(self.names)
        }
        made["list"] = paste_field(_("Or paste all readings of one turn, in order"))
        return made

    @property
    def turn(self) -> list[tuple[forms.BoundField, Place]]:
        """Each field with its place on the dial."""
        return list(zip((self.form[name] for name in self.names), self.dial, strict=True))

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        return self.only(self.with_unit({"readings": self._turn(data)}, data))

    def _turn(self, data: Mapping[str, Any]) -> list[str]:
        typed = [data.get(name) or "" for name in self.names]
        pasted = (data.get("list") or "").strip()
        if pasted:
            if any(typed):
                said = _("There are readings in the fields and in the list; keep one of the two.")
                raise Wrong(self.names[0], said)
            try:
                return all_numbers(pasted)
            except ValidationError as error:
                raise Wrong("list", error.message) from error
        if not any(typed):
            raise Wrong(self.names[0], _("Type what the indicator says at each place."))
        missing = [clock_place(number, self.count) for number, text in enumerate(typed) if not text]
        if missing:
            said = _("Nothing stands at: %(places)s. A turn is read at every place.")
            raise Wrong(self.names[0], said % {"places": ", ".join(missing)})
        return typed

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        raw = raws[self.measuring.first.code]
        unit = {"unit": raw["unit"]} if "unit" in raw else {}
        if len(raw["readings"]) == self.count:
            return {**dict(zip(self.names, raw["readings"], strict=True)), **unit}
        return {"list": " ".join(raw["readings"]), **unit}

    def figures(self, data: Mapping[str, Any]) -> list[Figure]:
        typed = [(name, data.get(name) or "") for name in self.names]
        if not all(text for _name, text in typed):
            return []
        upper = self.measuring.due(self.measuring.first).upper
        return [
            Figure(name, text, upper=upper, others=tuple(t for n, t in typed if n != name))
            for name, text in typed
        ]


def clock_place(number: int, count: int) -> str:
    """Where on the clock the reading ``number`` (from 0) of ``count`` is: "12:00", "1:30"."""
    minutes = number * 720 // count
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


def all_numbers(text: str) -> list[str]:
    """Numbers in one or many lines, however many a line; a heading without digits is left out."""
    lines = [line for line in text.splitlines() if line.strip()]
    if lines and not any(character.isdigit() for character in lines[0]):
        lines = lines[1:]
    found: list[str] = []
    for line in lines:
        words = line.replace(";", " ").split()
        words = [word.rstrip(",") for word in words] if len(words) > 1 else _parts("".join(words))
        found += [typed_number(word) for word in words if word.strip()]
        if len(found) > MOST_POINTS:
            said = _("More than %(most)d readings are no single turn.")
            raise ValidationError(said % {"most": MOST_POINTS})
    if not found:
        raise ValidationError(_("There is no number in the list."))
    return found


def _parts(word: str) -> list[str]:
    """A word with one comma is a number with a decimal comma, one with several a list."""
    return word.split(",") if word.count(",") > 1 else [word]
