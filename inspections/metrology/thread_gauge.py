"""What go and no-go gauges say about a thread."""

from dataclasses import dataclass
from typing import Literal

from inspections.metrology.numbers import Number, exact

MOST_TURNS = 3
"""Turns that a no-go gauge may enter before it must bind."""


@dataclass(frozen=True)
class GaugedThread:
    """Verdict of a pair of gauges: "fail" names which one in `why`."""

    verdict: Literal["pass", "fail"]
    why: Literal["", "go does not enter", "no-go enters too far", "both"]


def gauged_thread(go_enters: bool, no_go_turns: Number) -> GaugedThread:
    """Judge a thread by go and no-go gauge.

    The go gauge must enter freely over the whole length; the no-go gauge may enter three turns at most.

    Parameters
    ----------
    go_enters : bool
    no_go_turns : Number, >= 0
        How far the no-go gauge went in by hand, in turns.

    Raises
    ------
    ValueError
        For turns below zero, or an answer that is not yes or no.

    References
    ----------
    ANSI/ASME B1.2-1983, 4.1 and 4.2 (go and no-go thread plug gauges), from memory.

    Examples
    --------
    >>> gauged_thread(True, "1.5").verdict
    'pass'
    """
    if not isinstance(go_enters, bool):
        raise ValueError("go gauge: say whether it enters, yes or no.")
    turns = exact(no_go_turns, "turns of the no-go gauge")
    if turns < 0:
        raise ValueError("turns of the no-go gauge: they cannot be negative; 0 if it does not enter.")
    too_far = turns > MOST_TURNS
    match go_enters, too_far:
        case True, False:
            return GaugedThread("pass", "")
        case True, True:
            return GaugedThread("fail", "no-go enters too far")
        case False, False:
            return GaugedThread("fail", "go does not enter")
    return GaugedThread("fail", "both")
