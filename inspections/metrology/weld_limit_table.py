"""Limits of weld imperfections as data: ISO 5817:2014, table 1, by the numbers of ISO 6520-1.

Where a row was read: level C in a published extract of the standard ("Quality level C"), level B in a
published comparison of acceptance levels, level D in a published table of a welding handbook (execution class
1). Rows marked `from_memory` were not read: compare them with the standard before they decide anything.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

THIN_UP_TO = "3"
"""mm; thinner plates have rows of their own."""


@dataclass(frozen=True)
class Rule:
    """h <= plus + times x (a measure), at most `most`; all mm, decimal text.

    `of` names the measure: t plate thickness, s butt weld throat, a fillet throat, b width of the
    reinforcement, "s or a" whichever the weld has. `short` : only for imperfections of 25 mm or less in any
    100 mm.
    """

    plus: str = "0"
    times: str = "0"
    of: str = ""
    most: str | None = None
    short: bool = False


Entry: TypeAlias = Rule | None
"""None: not permitted at all."""


@dataclass(frozen=True)
class Row:
    """One imperfection: for each level the rule up to 3 mm thickness and the rule above it."""

    name: str
    levels: Mapping[str, tuple[Entry, Entry]]
    from_memory: str = ""


def _never(name: str) -> Row:
    return Row(name, dict.fromkeys("BCD", (None, None)))


def _both(rule: Entry) -> tuple[Entry, Entry]:
    return rule, rule


_UNDERCUT = {
    "B": (None, Rule(times="0.05", of="t", most="0.5")),
    "C": (Rule(times="0.1", of="t", short=True), Rule(times="0.1", of="t", most="0.5")),
    "D": (Rule(times="0.2", of="t", short=True), Rule(times="0.2", of="t", most="1")),
}

ROWS: dict[str, Row] = {
    "100": _never("crack"),
    "104": _never("crater crack"),
    "2017": Row(
        "surface pore",
        {
            "B": (None, None),
            "C": (None, Rule(times="0.2", of="s or a", most="2")),
            "D": (Rule(times="0.3", of="s or a"), Rule(times="0.3", of="s or a", most="3")),
        },
    ),
    "2025": Row(
        "end crater pipe",
        {
            "B": (None, None),
            "C": (None, Rule(times="0.1", of="t", most="1")),
            "D": (Rule(times="0.2", of="t"), Rule(times="0.2", of="t", most="2")),
        },
    ),
    "401": _never("lack of fusion"),
    "4021": Row(
        "incomplete root penetration",
        {"B": (None, None), "C": (None, None), "D": _both(Rule(times="0.2", of="t", most="2", short=True))},
    ),
    "5011": Row("continuous undercut", _UNDERCUT),
    "5012": Row("intermittent undercut", _UNDERCUT),
    "5013": Row(
        "shrinkage groove",
        {
            "B": (None, Rule(times="0.05", of="t", most="0.5", short=True)),
            "C": (Rule(times="0.1", of="t", short=True), Rule(times="0.1", of="t", most="1", short=True)),
            "D": (Rule("0.2", "0.1", "t"), Rule(times="0.2", of="t", most="2", short=True)),
        },
    ),
    "502": Row(
        "excess weld metal",
        {
            "B": _both(Rule("1", "0.1", "b", "5")),
            "C": _both(Rule("1", "0.15", "b", "7")),
            "D": _both(Rule("1", "0.25", "b", "10")),
        },
    ),
    "503": Row(
        "excessive convexity",
        {
            "B": _both(Rule("1", "0.1", "b", "3")),
            "C": _both(Rule("1", "0.15", "b", "4")),
            "D": _both(Rule("1", "0.25", "b", "5")),
        },
    ),
    "504": Row(
        "excess penetration",
        {
            "B": (Rule("1", "0.1", "b"), Rule("1", "0.2", "b", "3")),
            "C": (Rule("1", "0.3", "b"), Rule("1", "0.6", "b", "4")),
            "D": (Rule("1", "0.6", "b"), Rule("1", "1", "b", "5")),
        },
    ),
    "506": Row(
        "overlap",
        {"B": (None, None), "C": (None, None), "D": _both(Rule(times="0.2", of="b"))},
        from_memory="D",
    ),
    "5071": Row(
        "linear misalignment of plates",
        {
            "B": (Rule("0.2", "0.1", "t"), Rule(times="0.1", of="t", most="3")),
            "C": (Rule("0.2", "0.15", "t"), Rule(times="0.15", of="t", most="4")),
            "D": (Rule("0.2", "0.25", "t"), Rule(times="0.25", of="t", most="5")),
        },
        from_memory="BCD",
    ),
    "5072": Row(
        "linear misalignment of tubes",
        {
            "B": _both(Rule(times="0.5", of="t", most="2")),
            "C": _both(Rule(times="0.5", of="t", most="3")),
            "D": _both(Rule(times="0.5", of="t", most="4")),
        },
        from_memory="BCD",
    ),
    "510": _never("burn-through"),
    "511": Row(
        "incompletely filled groove",
        {
            "B": (None, Rule(times="0.05", of="t", most="0.5", short=True)),
            "C": (Rule(times="0.1", of="t", short=True), Rule(times="0.1", of="t", most="1", short=True)),
            "D": (Rule(times="0.25", of="t", short=True), Rule(times="0.25", of="t", most="2", short=True)),
        },
        from_memory="D",
    ),
    "512": Row(
        "excessive asymmetry of fillet weld",
        {
            "B": _both(Rule("1.5", "0.15", "a")),
            "C": _both(Rule("2", "0.15", "a")),
            "D": _both(Rule("2", "0.2", "a")),
        },
    ),
    "515": Row(
        "root concavity",
        {
            "B": (None, Rule(times="0.05", of="t", most="0.5", short=True)),
            "C": (Rule(times="0.1", of="t", short=True), Rule(times="0.1", of="t", most="1", short=True)),
            "D": (Rule("0.2", "0.1", "t"), Rule(times="0.2", of="t", most="2", short=True)),
        },
        from_memory="D",
    ),
    "5213": Row(
        "insufficient throat thickness",
        {
            "B": (None, None),
            "C": (Rule("0.2", short=True), Rule("0.3", "0.1", "a", "1", short=True)),
            "D": (Rule("0.2", "0.1", "a", short=True), Rule("0.3", "0.1", "a", "2", short=True)),
        },
        from_memory="CD",
    ),
}

SAME_AS: dict[str, str] = {
    **dict.fromkeys(("101", "102", "103", "105", "106"), "100"),
    **dict.fromkeys(("4011", "4012", "4013"), "401"),
}
"""Kinds of one imperfection that share its limits."""
