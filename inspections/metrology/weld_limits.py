"""Limits of weld imperfections by quality level."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from inspections.metrology.numbers import Number, exact
from inspections.metrology.weld_limit_table import ROWS, SAME_AS, THIN_UP_TO, Rule

Level = Literal["B", "C", "D"]

_THINNEST = Fraction(1, 2)
_MEASURES = {
    "t": "thickness t",
    "s": "butt weld throat s",
    "a": "fillet weld throat a",
    "b": "width of the reinforcement b",
}


@dataclass(frozen=True)
class WeldLimit:
    """What a quality level permits of one imperfection.

    Attributes
    ----------
    number, name : str
        By ISO 6520-1.
    permitted : bool
        False: none of it, whatever its size.
    limit : Fraction
        Greatest size, mm; zero if not permitted.
    short_only : bool
        The limit holds for short imperfections (25 mm or less in any 100 mm of weld); longer ones are not
        permitted.
    from_memory : bool
        The row was not read in the standard; compare before it decides anything.
    """

    number: str
    name: str
    permitted: bool
    limit: Fraction
    short_only: bool
    from_memory: bool


def weld_limit(
    number: str | int,
    level: Level,
    thickness: Number,
    s: Number | None = None,
    a: Number | None = None,
    b: Number | None = None,
) -> WeldLimit:
    """Limit of a weld imperfection.

    h <= plus + times x (t, s, a or b), at most a fixed size; the row depends on the level and on whether the
    plate is thicker than 3 mm.

    Parameters
    ----------
    number : str or int
        Of the imperfection by ISO 6520-1, such as "5011" for continuous undercut.
    level : {"B", "C", "D"}
        Stringent, intermediate, moderate.
    thickness : Number, >= 0.5
        t, mm, of the thinner part.
    s, a : Number > 0, optional
        Throat of a butt weld, of a fillet weld, mm; where the row needs it.
    b : Number > 0, optional
        Width of the weld reinforcement, mm.

    Raises
    ------
    ValueError
        For a number that is not on file, an unknown level, a thickness below 0.5 mm, a missing or
        non-positive measure, both throats where the row takes one.

    References
    ----------
    ISO 5817:2014, table 1; ISO 6520-1:2007.

    Examples
    --------
    >>> weld_limit("502", "C", 8, b=10).limit
    Fraction(5, 2)
    >>> weld_limit(100, "D", 8).permitted
    False
    """
    text = str(number)
    key = SAME_AS.get(text, text)
    if key not in ROWS:
        raise ValueError(f"imperfection number: {text!r} is not on file; known are {', '.join(ROWS)}.")
    row = ROWS[key]
    if level not in row.levels:
        raise ValueError(f"quality level: {level!r} is unknown; choose B, C or D.")
    t = exact(thickness, "thickness")
    if t < _THINNEST:
        raise ValueError("thickness: the levels hold from 0.5 mm on; give mm.")
    rule = row.levels[level][t > Fraction(THIN_UP_TO)]
    known = {"t": t} | {
        name: _measure(name, value) for name, value in (("s", s), ("a", a), ("b", b)) if value is not None
    }
    from_memory = level in row.from_memory
    if rule is None:
        return WeldLimit(text, row.name, False, Fraction(0), False, from_memory)
    return WeldLimit(text, row.name, True, _limit(rule, known), rule.short, from_memory)


def _measure(name: str, value: Number) -> Fraction:
    measure = exact(value, _MEASURES[name])
    if measure <= 0:
        raise ValueError(f"{_MEASURES[name]}: it must be above zero.")
    return measure


def _limit(rule: Rule, known: dict[str, Fraction]) -> Fraction:
    limit = Fraction(rule.plus)
    if rule.of:
        given = [name for name in rule.of.split(" or ") if name in known]
        if len(given) != 1:
            wanted = " or ".join(_MEASURES[name] for name in rule.of.split(" or "))
            raise ValueError(f"this limit depends on the {wanted}; give exactly one, in mm.")
        limit += Fraction(rule.times) * known[given[0]]
    return limit if rule.most is None else min(limit, Fraction(rule.most))
