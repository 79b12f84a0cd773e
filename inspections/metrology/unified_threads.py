"""Limits of Unified inch screw threads (UN, UNC, UNF): what go and no-go gauges stand for."""

from dataclasses import dataclass
from typing import Literal, get_args

from inspections.metrology.numbers import Number, exact

ThreadClass = Literal["1A", "2A", "3A", "1B", "2B", "3B"]

_ROOT_3 = 3**0.5
_TIMES = {"1A": 1.5, "2A": 1.0, "3A": 0.75, "1B": 1.95, "2B": 1.3, "3B": 0.975}
"""Pitch diameter tolerance of each class, in tolerances of class 2A."""


@dataclass(frozen=True)
class UnifiedThread:
    """Limits of one thread, inches, by formula and not rounded.

    Attributes
    ----------
    pitch_diameter : (least, greatest)
    go, no_go : float
        Pitch diameter of the go and of the no-go gauge: least metal-free and greatest for a nut thread (plug
        gauges), the reverse for a screw (ring gauges).
    major_diameter : (least, greatest)
        Of a nut thread the greatest is not limited: None.
    minor_diameter : (least, greatest)
        Of a screw neither is limited here: None.
    allowance : float
        Between a class 1A or 2A screw and the basic size; zero for the others.
    """

    pitch_diameter: tuple[float, float]
    go: float
    no_go: float
    major_diameter: tuple[float, float | None]
    minor_diameter: tuple[float | None, float | None]
    allowance: float


def unified_thread(
    diameter: Number,
    threads_per_inch: Number,
    thread_class: ThreadClass = "2B",
    engagement: Number | None = None,
) -> UnifiedThread:
    """Limits of size of a Unified thread.

    With pitch P = 1/n, engagement L and T = 0.0015 D^(1/3) + 0.0015 sqrt(L) + 0.015 P^(2/3):
    pitch diameter basic D - 3 sqrt(3)/8 P, tolerance T x (1.5, 1, 0.75 for 1A, 2A, 3A; 1.95, 1.3, 0.975 for
    1B, 2B, 3B); allowance of 1A and 2A 0.3 T; minor diameter of a nut D - 5 sqrt(3)/8 P, tolerance 0.25 P -
    0.4 P² (1B, 2B; 0.15 P below 4 per inch) or 0.05 P^(2/3) + 0.03 P/D - 0.002, not above 0.394 P and not
    below 0.23 P - 1.5 P², or 0.12 P from 12 per inch coarser (3B); major tolerance of a screw 0.06 P^(2/3)
    (1A: 0.09). The standard's tables round each limit to 0.0001 after rounding its parts, so a table may
    differ by one in the last place.

    Parameters
    ----------
    diameter : Number, >= 0.25
        D, inches.
    threads_per_inch : Number, > 0
        n.
    thread_class : {"1A", "2A", "3A", "1B", "2B", "3B"}
    engagement : Number > 0, optional
        L, inches. Default: D, as the tables of the coarse and fine series have it.

    Raises
    ------
    ValueError
        For a diameter below 1/4 in (other formulas hold there), a pitch not above zero or too coarse for the
        diameter, an unknown class, an engagement not above zero.

    References
    ----------
    ASME B1.1-2003, 5.8 (tolerances), 8 (limits of size).

    Examples
    --------
    >>> thread = unified_thread("0.4375", 14)
    >>> round(thread.go, 4), round(thread.no_go, 4)
    (0.3911, 0.3972)
    """
    if thread_class not in get_args(ThreadClass):
        raise ValueError(
            f"thread class: {thread_class!r} is unknown; choose {', '.join(get_args(ThreadClass))}."
        )
    d, n = float(exact(diameter, "thread diameter")), float(exact(threads_per_inch, "threads per inch"))
    if d < 0.25:
        raise ValueError("thread diameter: give inches, 1/4 in or more; smaller ones follow other formulas.")
    if n <= 0 or 2 / n >= d:
        raise ValueError("threads per inch: above zero, and fine enough that the core is more than half.")
    long = d if engagement is None else float(exact(engagement, "length of engagement"))
    if long <= 0:
        raise ValueError("length of engagement: it must be above zero.")
    pitch = 1 / n
    unit = 0.0015 * d ** (1 / 3) + 0.0015 * long**0.5 + 0.015 * pitch ** (2 / 3)
    basic, tolerance = d - 3 * _ROOT_3 / 8 * pitch, unit * _TIMES[thread_class]
    if thread_class.endswith("B"):
        minor = d - 5 * _ROOT_3 / 8 * pitch
        return UnifiedThread(
            (basic, basic + tolerance),
            basic,
            basic + tolerance,
            (d, None),
            (minor, minor + _minor_tolerance(d, pitch, thread_class)),
            0.0,
        )
    allowance = 0.0 if thread_class == "3A" else 0.3 * unit
    top = basic - allowance
    major = d - allowance
    crest = (0.09 if thread_class == "1A" else 0.06) * pitch ** (2 / 3)
    return UnifiedThread(
        (top - tolerance, top), top, top - tolerance, (major - crest, major), (None, None), allowance
    )


def _minor_tolerance(d: float, pitch: float, thread_class: str) -> float:
    if thread_class == "3B":
        least, most = (0.23 * pitch - 1.5 * pitch**2 if pitch < 1 / 12.5 else 0.12 * pitch), 0.394 * pitch
        return float(min(max(0.05 * pitch ** (2 / 3) + 0.03 * pitch / d - 0.002, least), most))
    return 0.15 * pitch if pitch > 0.25 else 0.25 * pitch - 0.4 * pitch**2
