"""Reading the fields of procedures and qualifications: each wrong one gets a sentence, the rest is tidied.

Figures stay the text that was typed, with a point for a comma. Names of fields are joined with ``/`` where
one lies in another: ``volts/least``.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

__all__ = ["POSITIONS", "Problem", "Reading"]

POSITIONS = ("PA", "PB", "PC", "PD", "PE", "PF", "PG", "PH", "PJ", "PK", "H-L045", "J-L045")
"""Working positions by ISO 6947: plate PA to PG, pipe with its axis level PH (up), PJ (down) and PK
(around), pipe at 45 degrees H-L045 (up) and J-L045 (down)."""
_NUMBER = re.compile(r"[+-]?[0-9]{1,7}(?:[.,][0-9]{1,6})?")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
_MOST_WORDS = 40


@dataclass(frozen=True, slots=True)
class Problem:
    """One reason against what was typed: the field, and a sentence for people."""

    field: str
    sentence: str


class Reading:
    """Reads one mapping field by field. What is right is kept, what is wrong becomes a `Problem`.

    Afterwards `done` gives both; fields that nobody asked for are problems too.
    """

    def __init__(self, data: object) -> None:
        self.kept: dict[str, Any] = {}
        self.problems: list[Problem] = []
        self._asked: set[str] = set()
        self._given: Mapping[Any, Any] = data if isinstance(data, Mapping) else {}
        if not isinstance(data, Mapping):
            self.problem("", "This is an object with named fields.")

    def problem(self, field: str, sentence: str) -> None:
        """Note a reason against a field."""
        self.problems.append(Problem(field, sentence))

    def done(self) -> tuple[dict[str, Any], tuple[Problem, ...]]:
        """What was kept, and every problem."""
        for name in self._given:
            if name not in self._asked:
                shown = _shown(name, 40)
                self.problem(shown, f"There is no field “{shown}” here; check its spelling.")
        return self.kept, tuple(self.problems)

    def _take(self, name: str) -> Any:
        self._asked.add(name)
        value = self._given.get(name)
        return None if value in ("", [], {}) else value

    def text(self, name: str, *, longest: int, needed: str = "") -> None:
        """A line of words; `needed` is the sentence said when there is none."""
        value = self._take(name)
        if value is not None and (not isinstance(value, str) or _CONTROL.search(value)):
            return self.problem(name, "This is text.")
        tidy = (value or "").strip()
        if len(tidy) > longest:
            return self.problem(name, f"This has more than {longest} characters.")
        if tidy:
            self.kept[name] = tidy
        elif needed:
            self.problem(name, needed)

    def yes_no(self, name: str) -> None:
        """A boolean; left out is no."""
        value = self._take(name)
        if value is not None and not isinstance(value, bool):
            return self.problem(name, "This is yes or no.")
        if value:
            self.kept[name] = True

    def one_of(self, name: str, choices: Collection[str], *, needed: bool = False) -> None:
        """One of some words."""
        value = self._take(name)
        if value is None:
            if needed:
                self.problem(name, f"This is needed: one of {', '.join(choices)}.")
        elif not isinstance(value, str) or value not in choices:
            self.problem(name, f"This is one of: {', '.join(choices)}.")
        else:
            self.kept[name] = value

    def words(self, name: str, *, longest: int, needed: str = "") -> None:
        """A list of short words, each once."""
        value = self._take(name)
        given = [] if value is None else value
        if not isinstance(given, list | tuple) or not all(isinstance(word, str) for word in given):
            return self.problem(name, "This is a list of words.")
        found = list(dict.fromkeys(word.strip() for word in given if word.strip()))
        if len(found) > _MOST_WORDS or any(len(word) > longest or _CONTROL.search(word) for word in found):
            return self.problem(name, f"At most {_MOST_WORDS} words of {longest} characters each.")
        if found:
            self.kept[name] = found
        elif needed:
            self.problem(name, needed)

    def some_of(self, name: str, choices: Collection[str], *, needed: bool = False) -> None:
        """Some of several words, kept in the order of the choices."""
        before = len(self.problems)
        self.words(name, longest=40, needed="Choose at least one." if needed else "")
        found = self.kept.pop(name, [])
        if strange := [word for word in found if word not in choices]:
            return self.problem(name, f"“{_shown(strange[0], 40)}” is not one of: {', '.join(choices)}.")
        if found and len(self.problems) == before:
            self.kept[name] = [str(choice) for choice in choices if choice in found]

    def positions(self, name: str, *, needed: bool = False) -> None:
        """Working positions by ISO 6947."""
        self.some_of(name, POSITIONS, needed=needed)

    def figure(self, name: str, *, least: str, most: str, unit: str = "") -> Decimal | None:
        """A number from `least` to `most`; ``None`` if there is none, or a wrong one."""
        found = self._number(name, self._take(name))
        if found is None:
            return None
        value = Decimal(found)
        if not Decimal(least) <= value <= Decimal(most):
            self.problem(name, f"This lies between {least} and {most} {unit}".rstrip() + ".")
            return None
        self.kept[name] = found
        return value

    def range(
        self, name: str, what: str, *, units: Collection[str] = (), most: str = "9999999", whole: bool = False
    ) -> None:
        """A least and a most, either of which may be left out; with `units`, one of them.

        `what` is how people call it: "volts".
        """
        value = self._take(name)
        if value is None:
            return
        before = len(self.problems)
        if not isinstance(value, Mapping):
            return self.problem(name, "This is an object with least and most.")
        for inner in value:
            if inner not in ("least", "most", *(("unit",) if units else ())):
                self.problem(f"{name}/{_shown(inner, 40)}", "There is no such field here.")
        sides: dict[str, str] = {}
        for side in ("least", "most"):
            found = self._number(f"{name}/{side}", value.get(side))
            if found is None:
                continue
            sides[side] = found
            if not 0 <= Decimal(found) <= Decimal(most):
                self.problem(f"{name}/{side}", f"{what}: this lies between 0 and {most}.")
            elif whole and Decimal(found) % 1:
                self.problem(f"{name}/{side}", f"{what}: this is a whole number.")
        if not sides:
            return
        if len(sides) == 2 and Decimal(sides["least"]) > Decimal(sides["most"]):
            said = f"{what}: the least, {sides['least']}, is above the most, {sides['most']}."
            self.problem(f"{name}/least", said)
        unit = value.get("unit")
        if units and (not isinstance(unit, str) or unit not in units):
            self.problem(f"{name}/unit", f"{what}: say the unit, one of {', '.join(units)}.")
        if len(self.problems) == before:
            self.kept[name] = {**sides, **({"unit": unit} if units else {})}

    def inner(self, name: str) -> Reading:
        """The mapping that a field holds, to be read by itself; `join` brings it back."""
        value = self._take(name)
        if value is not None and not isinstance(value, Mapping):
            self.problem(name, "This is an object with named fields.")
            value = None
        return Reading(value or {})

    def join(self, name: str, inner: Reading) -> None:
        """What was read of an inner mapping, and its problems, under its own name."""
        kept, problems = inner.done()
        if kept:
            self.kept[name] = kept
        self.problems += [Problem(f"{name}/{problem.field}", problem.sentence) for problem in problems]

    def numbers(self, name: str, *, most: int) -> tuple[int, ...]:
        """Whole numbers from 1, kept in order, each once."""
        value = self._take(name)
        given = [] if value is None else value
        found = []
        if not isinstance(given, list | tuple) or len(given) > most:
            self.problem(name, f"This is a list of at most {most} whole numbers.")
            return ()
        for entry in given:
            text = str(entry).strip()
            if isinstance(entry, bool) or not (text.isascii() and text.isdigit() and len(text) <= 3):
                self.problem(name, f"“{_shown(text, 20)}” is no whole number from 1 on.")
                return ()
            found.append(int(text))
        if any(number < 1 for number in found):
            self.problem(name, "Passes are counted from 1 on.")
            return ()
        tidy = tuple(sorted(set(found)))
        if tidy:
            self.kept[name] = list(tidy)
        return tidy

    def _number(self, field: str, value: Any) -> str | None:
        """The text of a number with a point; ``None`` if there is none or it is none."""
        if value is None or value == "":
            return None
        text = value.strip() if isinstance(value, str) else str(value)
        if isinstance(value, bool) or not _NUMBER.fullmatch(text):
            self.problem(field, f"“{_shown(text, 20)}” is no number; write it like 0.250.")
            return None
        return text.replace(",", ".").removeprefix("+")


def _shown(text: object, most: int) -> str:
    """What somebody sent, printable and short."""
    return ascii(text).strip("'\"")[:most]
