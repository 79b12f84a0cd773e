"""Heat that an arc puts into a length of weld."""

from .quantities import Quantity, above_zero

__all__ = ["EFFICIENCIES", "heat_input"]

EFFICIENCIES = {"submerged arc": "1.0", "stick": "0.8", "wire": "0.8", "TIG": "0.6", "plasma": "0.6"}
"""Thermal efficiency by process (EN 1011-1:2009, table 1)."""


def heat_input(volts: Quantity, amps: Quantity, travel_mm_s: Quantity, efficiency: Quantity = 1) -> float:
    """Heat input of a weld pass, kJ per mm.

    Q = k U I / (1000 v)

    Parameters
    ----------
    volts, amps : Quantity > 0
        U and I of the arc.
    travel_mm_s : Quantity > 0
        v, mm of weld per second.
    efficiency : Quantity, 0 < k <= 1
        1 gives the arc energy, as procedures written in inches mean it; TIG puts 0.6 of that into the work.
        Say which of the two a limit means: the difference is 40 %.

    Raises
    ------
    ValueError
        For a number that is none, not above zero, or an efficiency above 1.

    References
    ----------
    EN 1011-1:2009, 19 and table 1; ASME BPVC IX, QW-409.1 (without an efficiency; from memory).

    Examples
    --------
    >>> round(heat_input(24, 180, 5, "0.8"), 4)
    0.6912
    """
    factor = above_zero(efficiency, "efficiency")
    if factor > 1:
        raise ValueError("efficiency: an arc cannot put more than all of its energy into the work.")
    power = above_zero(volts, "volts") * above_zero(amps, "amps")
    return factor * power / (1000 * above_zero(travel_mm_s, "travel speed"))
