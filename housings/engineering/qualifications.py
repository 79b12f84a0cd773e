"""What a welder is qualified for, and until when using a process keeps that alive.

The ranges are those of the qualification record: what a test piece of some thickness covers is worked out
by whoever examined it (ISO 9606-1, ASME IX), and is typed in here as least and most.
"""

from __future__ import annotations

import calendar
import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from .joints import JointKind
from .procedure_figures import Problem, Reading
from .procedures import PROCESSES, Procedure, Range, Reached

__all__ = [
    "METHODS",
    "WELD_TYPES",
    "WELD_TYPE_OF",
    "Qualified",
    "continuity",
    "months_later",
    "qualified_from",
    "reaches",
    "read_ranges",
]

WELD_TYPES = {"groove": "groove welds", "fillet": "fillet welds", "plug": "plug and rosette welds"}
WELD_TYPE_OF: Mapping[str, str] = {
    JointKind.SNOUT: "groove",
    JointKind.SEAM: "groove",
    JointKind.ROSETTE: "plug",
    JointKind.RIB: "fillet",
    JointKind.TRUSS: "fillet",
    JointKind.BRACKET: "fillet",
    JointKind.WASHER: "fillet",
    JointKind.ARMOR: "fillet",
    JointKind.FITTING: "fillet",
}
"""Which type of weld a joint is: common practice, no source."""
BACKINGS = {"with": "only with backing", "without": "with an open root, and with backing"}
METHODS = {
    "VT": "visual",
    "PT": "dye penetrant",
    "MT": "magnetic particle",
    "UT": "ultrasonic",
    "RT": "X-ray",
}
"""Methods of testing by their letters in ISO 9712."""
LEVELS = ("1", "2", "3")


@dataclass(frozen=True, slots=True)
class Qualified:
    """What one qualification for welding covers.

    `process` by ISO 4063; `joints` are `WELD_TYPES`; `positions` by ISO 6947; `thickness` and `diameter` in
    inches, free where the record says nothing; `backing` a key of `BACKINGS`; `filler_groups` as the record
    writes them, none = any. `tacks_only`: for tack welds and nothing else.
    """

    process: str
    joints: tuple[str, ...]
    positions: tuple[str, ...]
    thickness: Range
    diameter: Range
    backing: str
    filler_groups: tuple[str, ...]
    tacks_only: bool


def read_ranges(kind: str, data: object) -> tuple[dict[str, Any], tuple[Problem, ...]]:
    """The ranges of a qualification, tidied, with a problem for each field that is wrong.

    `kind` is "welding" or "testing". For welding `process`, `joints`, `positions`, `backing` are needed; for
    testing `method` and `level`.

    >>> read_ranges("testing", {"method": "MT", "level": "2"})
    ({'method': 'MT', 'level': '2'}, ())
    >>> [problem.field for problem in read_ranges("testing", {"method": "XX"})[1]]
    ['method', 'level']
    """
    reading = Reading(data)
    if kind == "testing":
        reading.one_of("method", METHODS, needed=True)
        reading.one_of("level", LEVELS, needed=True)
    else:
        reading.one_of("process", PROCESSES, needed=True)
        reading.some_of("joints", WELD_TYPES, needed=True)
        reading.positions("positions", needed=True)
        reading.range("thickness", "thickness")
        reading.range("diameter", "diameter")
        reading.one_of("backing", BACKINGS, needed=True)
        reading.words("filler_groups", longest=20)
        reading.yes_no("tacks_only")
    return reading.done()


def qualified_from(ranges: Mapping[str, Any]) -> Qualified:
    """A welding qualification from its stored ranges, which were read by `read_ranges`."""
    return Qualified(
        process=ranges["process"],
        joints=tuple(ranges.get("joints", ())),
        positions=tuple(ranges.get("positions", ())),
        thickness=Range.of(ranges.get("thickness")),
        diameter=Range.of(ranges.get("diameter")),
        backing=ranges.get("backing", "with"),
        filler_groups=tuple(ranges.get("filler_groups", ())),
        tacks_only=bool(ranges.get("tacks_only", False)),
    )


def reaches(
    qualified: Qualified, procedure: Procedure, joint: Reached, *, position: str = "", tack: bool = False
) -> tuple[str, ...]:
    """Every reason why a qualification does not reach a joint by a procedure, as sentences; empty if it does.

    `position` is how the joint lies, if somebody has said so; else one of the procedure's positions will do.
    For a `tack` the type of weld, its backing and its position do not count. Dates are not looked at here.
    Sources: the essential variables of ISO 9606-1, 5 and 6, and ASME BPVC IX, QW-350 (both from memory).
    """
    against = []
    if qualified.process != procedure.process:
        against.append(f"It is for {PROCESSES[qualified.process]}, not {PROCESSES[procedure.process]}.")
    if joint.thickness and not qualified.thickness.holds(Decimal(joint.thickness)):
        against.append(f"A wall of {joint.thickness} in is outside {qualified.thickness.words('in')}.")
    if joint.diameter and not qualified.diameter.holds(Decimal(joint.diameter)):
        against.append(f"A diameter of {joint.diameter} in is outside {qualified.diameter.words('in')}.")
    groups = {group.casefold() for group in qualified.filler_groups}
    if procedure.filler_group and groups and procedure.filler_group.casefold() not in groups:
        against.append(f"Filler group {procedure.filler_group} is not among its groups.")
    if tack:
        return tuple(against)
    if qualified.tacks_only:
        against.append("It is for tack welds only.")
    weld = WELD_TYPE_OF[joint.kind]
    if weld not in qualified.joints:
        against.append(f"It is not for {WELD_TYPES[weld]}.")
    if weld == "groove" and not procedure.backing and qualified.backing == "with":
        against.append("The root is open, and it is for welds with backing only.")
    if position and position not in qualified.positions:
        against.append(f"Position {position} is not among its positions.")
    elif not position and not set(qualified.positions) & set(procedure.positions):
        against.append("It has none of the procedure's positions.")
    return tuple(against)


def continuity(uses: Iterable[datetime.date], on: datetime.date, months: int) -> datetime.date | None:
    """Until when the use of a process keeps a qualification alive, that day included; ``None`` = never used.

    It is the last use not later than `on`, so many calendar months later. A use that was months ago ends
    before `on`: the qualification is out of continuity then.
    Sources: ASME BPVC IX, QW-322.1 (a): six months; ISO 9606-1:2012, 9.2: every six (both from memory).

    >>> day = datetime.date
    >>> continuity([day(2026, 2, 1), day(2026, 3, 31), day(2026, 9, 1)], day(2026, 8, 1), 6)
    datetime.date(2026, 9, 30)
    """
    last = max((use for use in uses if use <= on), default=None)
    return None if last is None else months_later(last, months)


def months_later(day: datetime.date, months: int) -> datetime.date:
    """The same day so many calendar months later; the last of its month where that has fewer days.

    >>> months_later(datetime.date(2027, 8, 31), 6)
    datetime.date(2028, 2, 29)
    """
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return datetime.date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))
