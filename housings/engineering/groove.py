"""A V groove through a wall: its area, its filler, how many passes, and what the joint shrinks."""

import math
from dataclasses import dataclass

from .quantities import Quantity, above_zero, number

__all__ = ["Groove", "Shrinkage", "groove"]

_STEEL_KG_MM3 = 7.85e-6


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """How much the joint draws together across the weld, mm, by the two classic formulas.

    Attributes
    ----------
    by_area : float
        0.1 × area of the weld over the thickness (Cary).
    by_gap : float
        0.2 × area over thickness + 0.05 × root gap (Spraragen and Ettinger).
    """

    by_area: float
    by_gap: float


@dataclass(frozen=True, slots=True)
class Groove:
    """A V groove, filled.

    Attributes
    ----------
    area : float
        Cross section of weld metal with the cap, mm².
    width : float
        At the surface, mm.
    passes : int
        Beads of the given area that fill it.
    filler_kg_m : float
        Weld metal per meter, kg.
    shrinkage : Shrinkage
    """

    area: float
    width: float
    passes: int
    filler_kg_m: float
    shrinkage: Shrinkage


def groove(
    wall_mm: Quantity,
    included_angle: Quantity,
    land_mm: Quantity,
    gap_mm: Quantity,
    cap_mm: Quantity,
    bead_area_mm2: Quantity,
) -> Groove:
    """A single V groove through a wall, with a land, a root gap and a cap.

    With the depth of the V d = wall - land and b half of the included angle: width w = 2 d tan b + gap,
    area = d² tan b + gap · wall + 2/3 w · cap (the cap is a parabola). Passes = area over bead, rounded up.

    Parameters
    ----------
    wall_mm : Quantity > 0
    included_angle : Quantity, 0 <= degrees < 180
    land_mm : Quantity, 0 <= land <= wall
    gap_mm, cap_mm : Quantity >= 0
    bead_area_mm2 : Quantity > 0
        Of one bead: 12 to 17 mm² (0.0185 to 0.0265 in²) for TIG on a snout joint; common practice, no source.

    Raises
    ------
    ValueError
        For what is no number or cannot be.

    References
    ----------
    TWI Job Knowledge (area of a single V); H. B. Cary, Modern Welding Technology (shrinkage from the area);
    W. Spraragen and W. G. Ettinger, Welding Journal 29 (1950) (shrinkage with the gap): the last two from
    memory.

    Examples
    --------
    The snout joint of 1/2 in wall: 60°, 1/16 land, 3/32 gap, cap 1/16.

    >>> joint = groove("12.7", 60, "1.5875", "2.38125", "1.5875", 14)
    >>> round(joint.area), joint.passes
    (118, 9)
    """
    wall, bead = above_zero(wall_mm, "wall"), above_zero(bead_area_mm2, "bead area")
    angle, land = number(included_angle, "included angle"), number(land_mm, "land")
    gap, cap = number(gap_mm, "gap"), number(cap_mm, "cap")
    if not 0 <= angle < 180:
        raise ValueError("included angle: it goes from 0 to below 180 degrees.")
    if not 0 <= land <= wall:
        raise ValueError("land: it goes from 0 to the wall.")
    if gap < 0 or cap < 0:
        raise ValueError("gap and cap: they are zero or more.")
    depth, slope = wall - land, math.tan(math.radians(angle / 2))
    width = 2 * depth * slope + gap
    area = depth**2 * slope + gap * wall + 2 / 3 * width * cap
    if area == 0:
        raise ValueError("The groove has no area: give it an angle or a gap.")
    shrinkage = Shrinkage(0.1 * area / wall, 0.2 * area / wall + 0.05 * gap)
    # A bead that fills the rest to the last digit is the last one.
    passes = math.ceil(area / bead * (1 - 1e-12))
    return Groove(area, width, passes, area * 1000 * _STEEL_KG_MM3, shrinkage)
