"""The sag of an alignment bar under its own weight."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from inspections.metrology.numbers import FloatArray, Number
from inspections.metrology.readings import reading, readings

STANDARD_GRAVITY = 9.80665
_METRES = {"in": 0.0254, "mm": 0.001}


@dataclass(frozen=True)
class Bar:
    """A straight round bar lying level on two supports.

    Attributes
    ----------
    diameter : Number, > 0
        Outside. `bore` : of a tube, 0 for a solid bar.
    supports : pair of Number
        Stations of the two supports, left and right, on the scale of the measured stations.
    ends : pair of Number, optional
        Stations of the bar's ends, outside the supports or at them; default: at the supports.
    unit : {"in", "mm"}
        Of all these lengths, and of the sag.
    elasticity : Number, > 0
        Young's modulus, Pa. `density` : kg/m³. Defaults: carbon steel.
    """

    diameter: Number
    supports: Sequence[Number]
    bore: Number = 0
    ends: Sequence[Number] | None = None
    unit: Literal["in", "mm"] = "in"
    elasticity: Number = 205_000_000_000
    density: Number = 7850

    def sag(self, stations: Sequence[Number] | FloatArray) -> FloatArray:
        """Height of the bar's axis over the line through its supports; negative below.

        With the weight w per length, z counted from the left end, supports at a and b carrying Ra and Rb:
        E I y = Ra <z - a>³/6 + Rb <z - b>³/6 - w z⁴/24 + c1 z + c2, zero at both supports (<> is zero when
        negative). For a round bar w / (E I) = 16 g rho / (E (D² + d²)).

        Parameters
        ----------
        stations : array_like, shape (n,)
            On the bar.

        Returns
        -------
        ndarray, shape (n,)

        Raises
        ------
        ValueError
            For dimensions that make no bar, or stations off it.

        References
        ----------
        Euler-Bernoulli beam with Macaulay brackets; Roark's Formulas for Stress and Strain, 7th ed., table
        8.1.

        Examples
        --------
        >>> bar = Bar("1.5", (-30, 30))
        >>> [round(float(y), 4) + 0.0 for y in bar.sag([-30, 0, 30])]
        [0.0, -0.0114, 0.0]
        """
        return np.asarray(self._shape(stations)[0])

    def slope(self, stations: Sequence[Number] | FloatArray) -> FloatArray:
        """Slope of the bar at stations, shape (n,): rise per length to the right."""
        return np.asarray(self._shape(stations)[1])

    def _shape(self, stations: Sequence[Number] | FloatArray) -> tuple[FloatArray, FloatArray]:
        (left, right), (start, end) = self._supports_and_ends()
        where = readings(stations, "station on the bar")
        if where.min() < start or where.max() > end:
            raise ValueError(f"station on the bar: the bar reaches from {start:g} to {end:g} only.")
        curvature = self._weight_over_stiffness()
        span, whole = right - left, end - start
        carried_right = whole * (whole / 2 - (left - start)) / span
        carried_left = whole - carried_right

        def bend(z: FloatArray) -> FloatArray:
            a, b = np.maximum(z - left, 0.0), np.maximum(z - right, 0.0)
            return np.asarray(carried_left * a**3 / 6 + carried_right * b**3 / 6 - (z - start) ** 4 / 24)

        def turn(z: FloatArray) -> FloatArray:
            a, b = np.maximum(z - left, 0.0), np.maximum(z - right, 0.0)
            return np.asarray(carried_left * a**2 / 2 + carried_right * b**2 / 2 - (z - start) ** 3 / 6)

        at_left, at_right = bend(np.array([left, right]))
        tilt = (at_right - at_left) / span
        height = bend(where) - at_left - tilt * (where - left)
        return curvature * height, curvature * (turn(where) - tilt)

    def _supports_and_ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        supports = readings(self.supports, "support of the bar").tolist()
        ends = supports if self.ends is None else readings(self.ends, "end of the bar").tolist()
        if len(supports) != 2 or len(ends) != 2 or not ends[0] <= supports[0] < supports[1] <= ends[1]:
            raise ValueError("support of the bar: give left and right support, between left and right end.")
        return (supports[0], supports[1]), (ends[0], ends[1])

    def _weight_over_stiffness(self) -> float:
        """w / (E I), in 1 / (unit of length)³."""
        if self.unit not in _METRES:
            raise ValueError(f"unit of the bar: {self.unit!r} is unknown; choose in or mm.")
        outside, inside = reading(self.diameter, "diameter of the bar"), reading(self.bore, "bore of the bar")
        if not 0 <= inside < outside:
            raise ValueError(
                "diameter of the bar: it must be above zero and above the bore, which may be zero."
            )
        stiff, heavy = reading(self.elasticity, "elasticity"), reading(self.density, "density")
        if stiff <= 0 or heavy < 0:
            raise ValueError("elasticity and density: give Pa above zero and kg/m³ not below zero.")
        per_metre = STANDARD_GRAVITY * heavy / stiff
        return 16 * per_metre * _METRES[self.unit] / (outside**2 + inside**2)
