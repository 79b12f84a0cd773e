"""How long a weld takes from 800 to 500 °C, which decides how hard the steel beside it becomes."""

import math
from dataclasses import dataclass
from typing import Literal

from .quantities import Quantity, above_zero, number

__all__ = ["CoolingTime", "cooling_time_85"]


@dataclass(frozen=True, slots=True)
class CoolingTime:
    """Cooling time from 800 to 500 °C.

    Attributes
    ----------
    seconds : float
    regime : {"thick", "thin"}
        Whether heat flows off in three directions (thick) or in two (thin).
    transition_mm : float
        Thickness at which both give the same time.
    """

    seconds: float
    regime: Literal["thick", "thin"]
    transition_mm: float


def cooling_time_85(
    heat_input_kj_mm: Quantity,
    thickness_mm: Quantity,
    preheat_c: Quantity,
    shape_thick: Quantity = 1,
    shape_thin: Quantity = 1,
) -> CoolingTime:
    """t8/5 of one weld pass.

    - thick: (6700 - 5 T0) Q [1/(500 - T0) - 1/(800 - T0)] F3
    - thin: (4300 - 4.3 T0) 10⁵ Q²/d² [1/(500 - T0)² - 1/(800 - T0)²] F2

    Parameters
    ----------
    heat_input_kj_mm : Quantity > 0
        Q, net: with the efficiency of the process taken off.
    thickness_mm : Quantity > 0
        d.
    preheat_c : Quantity, -50 <= T0 < 500
        Temperature of the joint just before the arc: preheat or interpass.
    shape_thick, shape_thin : Quantity > 0
        Factors F3 and F2 of the joint's shape; 1 for a run on a plate, 0.9 for filler runs of a butt weld.

    Raises
    ------
    ValueError
        For what is no number or cannot be.

    References
    ----------
    EN 1011-2:2001, annex D.

    Examples
    --------
    >>> time = cooling_time_85(1, "12.7", 150)
    >>> round(time.seconds, 3), time.regime, round(time.transition_mm, 2)
    (13.135, 'thin', 16.43)
    """
    heat, thickness = above_zero(heat_input_kj_mm, "heat input"), above_zero(thickness_mm, "thickness")
    start = number(preheat_c, "preheat")
    if not -50 <= start < 500:
        raise ValueError("preheat: the method goes from -50 to 500 °C.")
    near, far = 1 / (500 - start), 1 / (800 - start)
    thick = (6700 - 5 * start) * heat * (near - far)
    thin = (4300 - 4.3 * start) * 1e5 * (heat / thickness) ** 2 * (near**2 - far**2)
    transition = math.sqrt((4300 - 4.3 * start) / (6700 - 5 * start) * 1e5 * heat * (near + far))
    if thickness > transition:
        return CoolingTime(thick * above_zero(shape_thick, "shape factor"), "thick", transition)
    return CoolingTime(thin * above_zero(shape_thin, "shape factor"), "thin", transition)
