"""What one route has otherwise than another, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import SequenceMatcher
from typing import Any

from django.utils.translation import gettext as _

from housings.engineering.stations import STATIONS
from housings.models.routes import WITH_LINKS

Stations = Sequence[Mapping[str, Any]]


def route_changes(before: Stations, after: Stations) -> list[str]:
    """Each change as a sentence: what is new, gone, elsewhere in the order, or under another condition."""
    old, new = [s["station"] for s in before], [s["station"] for s in after]
    moved = _moved([code for code in old if code in new], [code for code in new if code in old])
    said = [_("“%(station)s” is gone.") % {"station": _name(code)} for code in old if code not in new]
    for index, code in enumerate(new):
        facts = {"station": _name(code), "after": _name(new[index - 1]) if index else ""}
        if code not in old:
            said.append(
                _("“%(station)s” is new, after “%(after)s”.") % facts
                if index
                else _("“%(station)s” is new, at the beginning.") % facts
            )
        elif code in moved:
            said.append(
                _("“%(station)s” comes after “%(after)s” now.") % facts
                if index
                else _("“%(station)s” comes first now.") % facts
            )
    was = {s["station"]: s for s in before}
    for station in after:
        said += _conditions(was.get(station["station"]), station)
    return said


def _name(code: str) -> str:
    return _(STATIONS[code].name) if code in STATIONS else code


def _moved(old: Sequence[str], new: Sequence[str]) -> set[str]:
    """Which of the same stations are not in the longest run that both orders share."""
    kept: set[str] = set()
    for block in SequenceMatcher(a=old, b=new, autojunk=False).get_matching_blocks():
        kept |= set(old[block.a : block.a + block.size])
    return set(new) - kept


def _conditions(before: Mapping[str, Any] | None, after: Mapping[str, Any]) -> list[str]:
    said = []
    facts: dict[str, Any] = {"station": _name(after["station"]), "group": after.get("group")}
    was_links = before is not None and before.get("when") == WITH_LINKS
    is_links = after.get("when") == WITH_LINKS
    if is_links and not was_links:
        said.append(_("“%(station)s” is only for housings with links.") % facts)
    if was_links and not is_links:
        said.append(_("“%(station)s” is for every housing now.") % facts)
    was_group = before.get("group") if before else None
    if after.get("group") != was_group:
        said.append(
            _("“%(station)s” is in group %(group)s, in any order within it.") % facts
            if after.get("group") is not None
            else _("“%(station)s” has a place of its own again.") % facts
        )
    return said
