"""Imperfections of welds by the numbers of ISO 6520-1, and whether one may stay.

Where a name was read: an extract of the limits of quality level C. Those marked `from_memory` were not read;
compare them with the standard.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from inspections.metrology.numbers import Number, exact
from inspections.metrology.weld_limit_table import ROWS, SAME_AS
from inspections.metrology.weld_limits import Level, weld_limit

__all__ = ["GROUPS", "IMPERFECTIONS", "NEVER", "Imperfection", "Judged", "defect_of", "judge", "measures_of"]

GROUPS = MappingProxyType(
    {
        "1": "Cracks",
        "2": "Cavities",
        "3": "Solid inclusions",
        "4": "Lack of fusion and penetration",
        "5": "Shape and dimensions",
        "6": "Other",
    }
)
"""The groups of ISO 6520-1 by the first digit of a number."""

MM = Fraction(254, 10)
SHORT = 25
"""mm in any 100 mm of weld: a limit for short imperfections holds up to here (ISO 5817)."""


@dataclass(frozen=True)
class Imperfection:
    """One imperfection: its number and name in ISO 6520-1, and whether they were only remembered."""

    number: str
    name: str
    from_memory: bool = False

    @property
    def group(self) -> str:
        """Name of its group."""
        return GROUPS[self.number[0]]

    @property
    def is_never_accepted(self) -> bool:
        """Whether it may never stay, whatever its size and the level asked for."""
        return self.number in NEVER


_READ = {
    "100": "crack",
    "104": "crater crack",
    "2017": "surface pore",
    "2025": "end crater pipe",
    "401": "lack of fusion",
    "4011": "lack of side wall fusion",
    "4012": "lack of inter-run fusion",
    "4013": "lack of root fusion",
    "402": "lack of penetration",
    "4021": "incomplete root penetration",
    "5011": "continuous undercut",
    "5012": "intermittent undercut",
    "5013": "shrinkage groove",
    "502": "excess weld metal",
    "503": "excessive convexity",
    "504": "excess penetration",
    "505": "incorrect weld toe",
    "506": "overlap",
    "509": "sagging",
    "510": "burn-through",
    "511": "incompletely filled groove",
    "512": "excessive asymmetry of fillet weld",
    "515": "root concavity",
    "516": "root porosity",
    "517": "poor restart",
}
_REMEMBERED = {
    "101": "longitudinal crack",
    "102": "transverse crack",
    "103": "radiating cracks",
    "105": "group of cracks",
    "106": "branching crack",
    "1001": "microcrack",
    "2011": "gas pore",
    "2012": "uniformly distributed porosity",
    "2013": "clustered porosity",
    "2014": "linear porosity",
    "2015": "elongated cavity",
    "2016": "worm-hole",
    "2024": "crater pipe",
    "301": "slag inclusion",
    "302": "flux inclusion",
    "303": "oxide inclusion",
    "304": "metallic inclusion",
    "5071": "linear misalignment of plates",
    "5072": "linear misalignment of tubes",
    "508": "angular misalignment",
    "513": "irregular width",
    "514": "irregular surface",
    "5213": "insufficient throat thickness",
    "5214": "excessive throat thickness",
    "601": "arc strike",
    "602": "spatter",
    "603": "torn surface",
    "610": "temper color",
    "617": "incorrect root gap of fillet weld",
}
IMPERFECTIONS: Mapping[str, Imperfection] = MappingProxyType(
    {
        number: Imperfection(number, name, from_memory=number in _REMEMBERED)
        for number, name in sorted({**_READ, **_REMEMBERED}.items())
    }
)

_CRACKS = frozenset(number for number in IMPERFECTIONS if number.startswith("1"))
_FUSION = frozenset({"401", "4011", "4012", "4013"})
NEVER = _CRACKS | _FUSION | {"402", "4021", "601"}
"""Never accepted here, at any level: cracks, lack of fusion and of penetration, arc strikes.

Cracks and lack of fusion are permitted at no level of ISO 5817. Incomplete root penetration (permitted short
at level D) and arc strikes, which leave a hard spot in these steels, are refused as well: common practice, no
source.
"""


def defect_of(numbers: frozenset[str]) -> Literal["crack", "lack_of_fusion", "other"]:
    """Which kind of defect imperfections make together, the gravest first."""
    if numbers & _CRACKS:
        return "crack"
    return "lack_of_fusion" if numbers & _FUSION else "other"


@dataclass(frozen=True)
class Judged:
    """What a size is against its limit.

    Attributes
    ----------
    verdict : {"never", "beyond", "within", "seen"}
        "seen": no limit decides it; whoever looks does.
    limit_mm : Fraction or None
        Greatest size, where a row of the table has one.
    from_memory : bool
        The limit was not read in the standard; then it is shown and decides nothing.
    """

    verdict: Literal["never", "beyond", "within", "seen"]
    limit_mm: Fraction | None = None
    from_memory: bool = False


def measures_of(
    number: str, level: str, thickness: Number | None, *, is_butt: bool = False
) -> tuple[str, ...]:
    """What has to be measured before an imperfection can be judged.

    Of "size", "length" (of the weld it takes), "throat" (of a fillet), "width" (of the reinforcement); empty
    if no limit decides it. The throat of a butt weld welded through is the thickness.
    """
    row = ROWS.get(SAME_AS.get(number, number))
    if number in NEVER or row is None or level not in row.levels or thickness is None:
        return ()
    if level in row.from_memory:
        return ()
    thick = exact(thickness, "thickness") > 3
    rule = row.levels[level][thick]
    if rule is None:
        return ()
    throat = () if is_butt else ("throat",)
    of = {"a": throat, "b": ("width",), "s or a": throat}.get(rule.of, ())
    return ("size", *of, *(("length",) if rule.short else ()))


def judge(
    number: str,
    level: Level | Literal[""],
    thickness: Number | None,
    size: Number | None,
    *,
    throat: Number | None = None,
    is_butt: bool = False,
    width: Number | None = None,
    length: Number | None = None,
) -> Judged:
    """Whether an imperfection may stay at a quality level, in exact arithmetic.

    Parameters
    ----------
    number : str
        Of ISO 6520-1, a key of `IMPERFECTIONS`.
    level : {"B", "C", "D", ""}
        Of ISO 5817; "" = none was asked for.
    thickness : Number or None
        Of the thinner part, mm; ``None`` if it is not known, then no limit can be told.
    size : Number or None
        Its height, depth or diameter, mm.
    throat : Number, optional
        Of a fillet weld, a, mm. That of a butt weld (``is_butt``) welded through is the thickness.
    width : Number, optional
        Of the weld reinforcement, b, mm.
    length : Number, optional
        How much of the weld it takes, mm, where only short ones may stay.

    Returns
    -------
    Judged
        A size that equals its limit is within it.

    Raises
    ------
    ValueError
        For a number that is no imperfection, a level that is none, no numbers, sizes below zero.

    References
    ----------
    ISO 6520-1:2007; ISO 5817:2014, table 1.

    Examples
    --------
    >>> judge("5011", "C", 8, "0.5").verdict, judge("5011", "C", 8, "0.51").verdict
    ('within', 'beyond')
    >>> judge("100", "D", 8, None).verdict
    'never'
    """
    if number not in IMPERFECTIONS:
        raise ValueError(f"imperfection: {number!r} is no number of it.")
    if level not in {"B", "C", "D", ""}:
        raise ValueError(f"quality level: {level!r} is unknown; choose B, C or D.")
    big = None if size is None else exact(size, "size")
    if big is not None and big < 0:
        raise ValueError("size: it is zero or more.")
    if number in NEVER:
        return Judged("never")
    if not level or thickness is None or SAME_AS.get(number, number) not in ROWS:
        return Judged("seen")
    try:
        found = weld_limit(
            number, level, thickness, s=thickness if is_butt else None, a=None if is_butt else throat, b=width
        )
    except ValueError:
        return Judged("seen")  # a measure that its row needs was not taken
    if found.from_memory:
        return Judged("seen", found.limit, from_memory=True)
    if not found.permitted:
        return Judged("beyond", found.limit)
    if big is None:
        return Judged("seen", found.limit)
    too_long = found.short_only and (length is None or exact(length, "length") > SHORT)
    return Judged("beyond" if big > found.limit or too_long else "within", found.limit)
