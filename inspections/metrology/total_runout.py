"""Total runout: an indicator moved along a turning part, over all its sections together."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from inspections.metrology.numbers import Number
from inspections.metrology.readings import MOST, reading_list, refuse_many


@dataclass(frozen=True)
class TotalRunout:
    """Runout over several sections, exactly as read.

    Attributes
    ----------
    fim : Fraction
        The greatest reading of all minus the least of all.
    sections : tuple of Fraction
        Circular runout of each section; none is above `fim`.
    worst_section : int
        Row, from 0, of the greatest of them (the first of equals).
    """

    fim: Fraction
    sections: tuple[Fraction, ...]
    worst_section: int


def total_runout(grid: Iterable[Iterable[Number]]) -> TotalRunout:
    """Total runout from readings on several sections.

    The indicator moves along a line parallel to the datum axis and is not set to zero in between; taper and
    bow are then part of the result, which they are not of any circular runout.

    Parameters
    ----------
    grid : list of lists of Number, shape (sections >= 2, readings >= 2)
        One row per section, equally many readings in each.

    Raises
    ------
    ValueError
        Fewer than two sections or readings, rows of different length, a reading that is no number, more than
        20,000 readings in all.

    References
    ----------
    ISO 1101:2017, 17.16; ASME Y14.5-2018, 12.4 (total runout).

    Examples
    --------
    >>> total_runout([["0", "0.002"], ["0.001", "0.004"]])
    TotalRunout(fim=Fraction(1, 250), sections=(Fraction(1, 500), Fraction(3, 1000)), worst_section=1)
    """
    if isinstance(grid, str | bytes) or not isinstance(grid, Iterable):
        raise ValueError("runout grid: give one list of readings per section.")
    refuse_many(grid, "section")
    rows = list(grid)
    if len(rows) < 2:
        raise ValueError(f"section: {len(rows)} given, at least 2 needed for total runout.")
    sections = [
        reading_list(row, f"section {place}, reading", at_least=2, at_most=MOST // len(rows))
        for place, row in enumerate(rows, start=1)
    ]
    lengths = [len(section) for section in sections]
    if len(set(lengths)) > 1:
        raise ValueError(
            f"section: from {min(lengths)} to {max(lengths)} readings; take equally many on each section."
        )
    movements = tuple(max(section) - min(section) for section in sections)
    fim = max(map(max, sections)) - min(map(min, sections))
    return TotalRunout(fim, movements, movements.index(max(movements)))
