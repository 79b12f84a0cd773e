"""How the asks of a station stand on the traveler: what differs by a side or a number alone shares a line."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.translation import gettext as _

from housings.panels import Ask

FEWEST_NUMBERED = 3
SHORT = 4  # so many blanks fit beside something else
_SIDE = re.compile(r",?\s*\b(left|right)\b")
_NUMBER = re.compile(r"\d+")


def gathered(asks: Sequence[Ask], found: Mapping[str, str] | None = None) -> list[dict[str, Any]]:
    """The asks of a station as the traveler's template shows them.

    The left and the right of the same thing share a line, and so do three or more that differ by the first
    number of their names; short ones come first. ``found``: what was read already, by the code of the ask.

    >>> [ask["name"] for ask in gathered([Ask(f"Hole {n}, position") for n in (1, 2, 3)])]
    ['Hole 1 to 3, position']
    >>> two = gathered([Ask("Gap of the left joint"), Ask("Look"), Ask("Gap of the right joint")])
    >>> [(ask["name"], [label for label, _found in ask["blanks"]]) for ask in two]
    [('Gap of the joint', ['left', 'right']), ('Look', [])]
    """
    known = found or {}
    rows: list[dict[str, Any]] = []
    done: set[int] = set()
    for place, ask in enumerate(asks):
        if place in done:
            continue
        alike = _alike(place, asks)
        done |= set(alike)
        group = [asks[other] for other in alike]
        if len(group) == 1:
            rows.append(_row(ask, known))
        elif side_of(ask):
            rows.append(_sides(group, known))
        else:
            rows.append(_numbered(group, known))
    # Short ones first, so that they stand side by side; long ones take a line each.
    return sorted(rows, key=lambda row: len(row["blanks"]) > SHORT or bool(row["figures"]))


def side_of(ask: Ask) -> str:
    """Which side an ask is about, from its name."""
    match = _SIDE.search(ask.name)
    return match[1] if match and not ask.figures else ""


def _alike(place: int, asks: Sequence[Ask]) -> list[int]:
    """Which asks go into one line with the one at a place."""
    ask = asks[place]
    if ask.figures:
        return [place]
    if side_of(ask):
        alike = [n for n, other in enumerate(asks) if side_of(other) and _plain(other) == _plain(ask)]
        return alike if len(alike) == len({side_of(asks[n]) for n in alike}) == 2 else [place]
    alike = [place]
    while (following := alike[-1] + 1) < len(asks):
        if not _NUMBER.search(ask.name) or _without_number(asks[following]) != _without_number(ask):
            break
        alike.append(following)
    return alike if len(alike) >= FEWEST_NUMBERED and not ask.blanks else [place]


def _plain(ask: Ask) -> tuple[Any, ...]:
    return (_SIDE.sub("", ask.name, count=1), ask.limit, ask.unit, ask.blanks, bool(ask.tables))


def _without_number(ask: Ask) -> tuple[Any, ...]:
    return (_NUMBER.sub("", ask.name, count=1), ask.limit, ask.unit, ask.blanks, bool(ask.tables))


def _row(ask: Ask, known: Mapping[str, str]) -> dict[str, Any]:
    read = known.get(ask.code, "") if ask.code else ""
    return {
        "name": ask.name,
        "limit": ask.limit,
        # "yes" has no unit.
        "unit": ask.unit if not read or read.lstrip("-")[:1].isdigit() else "",
        "found": read,
        "blanks": [] if read else [(label, "") for label in ask.blanks],
        "figures": gathered(ask.figures, known) if ask.figures else [],
        "on_sheet": bool(ask.tables),
        "is_look": not ask.unit and not ask.text,
        "is_text": ask.text,
    }


def _sides(group: Sequence[Ask], known: Mapping[str, str]) -> dict[str, Any]:
    blanks: list[tuple[str, str]] = []
    for ask in group:
        side = _(side_of(ask))
        if (read := known.get(ask.code, "")) or not ask.blanks:
            blanks.append((side, read))
            continue
        blanks += [
            (f"{side} {label}" if first else label, "")
            for first, label in zip([True, *[False] * len(ask.blanks)], ask.blanks, strict=False)
        ]
    name = _SIDE.sub("", group[0].name, count=1).strip()
    return {**_row(group[0], {}), "name": name[:1].upper() + name[1:], "blanks": blanks}


def _numbered(group: Sequence[Ask], known: Mapping[str, str]) -> dict[str, Any]:
    numbers = [match[0] for ask in group if (match := _NUMBER.search(ask.name))]
    span = _("%(first)s to %(last)s") % {"first": numbers[0], "last": numbers[-1]}
    blanks = [(number, known.get(ask.code, "")) for number, ask in zip(numbers, group, strict=True)]
    return {**_row(group[0], {}), "name": _NUMBER.sub(span, group[0].name, count=1), "blanks": blanks}
