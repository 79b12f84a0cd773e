"""Taper pipe threads (NPT) and their gauging by turns."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from inspections.metrology.numbers import Number, exact

TAPER = Fraction(1, 16)
"""Change of diameter per length."""

_SIZES: dict[str, tuple[str, str, str]] = {
    "1/16": ("0.3125", "27", "0.160"),
    "1/8": ("0.405", "27", "0.1615"),
    "1/4": ("0.540", "18", "0.2278"),
    "3/8": ("0.675", "18", "0.240"),
    "1/2": ("0.840", "14", "0.320"),
    "3/4": ("1.050", "14", "0.339"),
    "1": ("1.315", "11.5", "0.400"),
    "1 1/4": ("1.660", "11.5", "0.420"),
    "1 1/2": ("1.900", "11.5", "0.420"),
    "2": ("2.375", "11.5", "0.436"),
}
"""Pipe outside diameter, threads per inch, hand-tight engagement L1; inches (ASME B1.20.1, table 2)."""

_MOST_TURNS = 1


@dataclass(frozen=True)
class TaperThread:
    """Basic dimensions of a taper pipe thread; inches, exact.

    Attributes
    ----------
    outside_diameter : Fraction
        D of the pipe. `pitch` : p.
    small_end : Fraction
        E0, pitch diameter at the small end of the external thread.
    gauge_plane : Fraction
        E1, pitch diameter at the large end of the internal thread: where the gauge's notch stands.
    hand_tight, effective : Fraction
        L1, L2: lengths of engagement by hand and of the effective external thread.
    """

    outside_diameter: Fraction
    pitch: Fraction
    small_end: Fraction
    gauge_plane: Fraction
    hand_tight: Fraction
    effective: Fraction


@dataclass(frozen=True)
class TurnsGauged:
    """An internal taper thread by its plug gauge.

    Attributes
    ----------
    verdict : {"pass", "fail"}
    too : {"", "large", "small"}
        What the thread is if it fails.
    gauge_plane : Fraction
        Pitch diameter at the face that the turns amount to: E1 + turns · p / 16, inches.
    """

    verdict: Literal["pass", "fail"]
    too: Literal["", "large", "small"]
    gauge_plane: Fraction


def taper_thread(size: str) -> TaperThread:
    """Basic dimensions of an NPT thread.

    E0 = D - (0.05 D + 1.1) p,  E1 = E0 + L1 / 16,  L2 = (0.80 D + 6.8) p;  L1 from the standard's table.

    Parameters
    ----------
    size : {"1/16", "1/8", "1/4", "3/8", "1/2", "3/4", "1", "1 1/4", "1 1/2", "2"}

    Raises
    ------
    ValueError
        For another size.

    References
    ----------
    ASME B1.20.1-2013, 3.2 and table 2.

    Examples
    --------
    >>> thread = taper_thread("1/2")
    >>> round(float(thread.small_end), 5), round(float(thread.gauge_plane), 5)
    (0.75843, 0.77843)
    """
    if size not in _SIZES:
        raise ValueError(f"pipe thread size: {size!r} is unknown; choose one of {', '.join(_SIZES)}.")
    diameter, threads, hand_tight = map(Fraction, _SIZES[size])
    pitch = 1 / threads
    small_end = diameter - (diameter / 20 + Fraction("1.1")) * pitch
    return TaperThread(
        diameter,
        pitch,
        small_end,
        small_end + TAPER * hand_tight,
        hand_tight,
        (diameter * Fraction("0.8") + Fraction("6.8")) * pitch,
    )


def taper_thread_by_turns(size: str, turns: Number) -> TurnsGauged:
    """Judge an internal taper thread by how far the plug gauge screws in by hand.

    The gauge's notch is to be flush with the face, within one turn either way, ends included.

    Parameters
    ----------
    size : str
        As `taper_thread`.
    turns : Number
        From flush: positive if the notch is below the face (the gauge went in too far, the thread is large).

    Raises
    ------
    ValueError
        For an unknown size or turns that are no number.

    References
    ----------
    ASME B1.20.1-2013, 8.1 (gauging of NPT, ±1 turn).

    Examples
    --------
    >>> taper_thread_by_turns("1/2", 1).verdict, taper_thread_by_turns("1/2", "-1.25").too
    ('pass', 'small')
    """
    thread = taper_thread(size)
    deep = exact(turns, "turns from flush")
    plane = thread.gauge_plane + deep * thread.pitch * TAPER
    if abs(deep) <= _MOST_TURNS:
        return TurnsGauged("pass", "", plane)
    return TurnsGauged("fail", "large" if deep > 0 else "small", plane)
