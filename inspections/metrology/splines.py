"""Diameters of involute splines with 30 degree pressure angle."""

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from inspections.metrology.numbers import Number, exact

Root = Literal["flat", "fillet"]

_HALF_ROOT_3 = math.sqrt(3) / 2
_COARSEST, _FINEST = Fraction("2.5"), Fraction(128)
_LEAST_CLEARANCE, _MOST_CLEARANCE = Fraction("0.002"), Fraction("0.010")


@dataclass(frozen=True)
class Spline:
    """Basic diameters of a side-fit spline; inches.

    Attributes
    ----------
    pitch_diameter : Fraction
        D. `base_diameter` : float, Db. `circular_pitch` : float, p.
    external_major : Fraction
        Do, over the shaft's teeth: what must pass through the housing end.
    internal_major, internal_minor : Fraction
        Dri, Di: bottom and top of the hub's spaces.
    internal_form, external_form : Fraction
        DFi, DFe: between them the flanks are involute.
    form_clearance : Fraction
        cF, radial.
    """

    pitch_diameter: Fraction
    base_diameter: float
    circular_pitch: float
    external_major: Fraction
    internal_major: Fraction
    internal_minor: Fraction
    internal_form: Fraction
    external_form: Fraction
    form_clearance: Fraction


def spline(teeth: int, pitch: Number = 24, root: Root = "flat") -> Spline:
    """Basic diameters of an involute spline, pressure angle 30°, side fit.

    With N teeth of diametral pitch P (24 of "24/48"): D = N/P, Db = D cos 30°, p = pi/P, Do = (N + 1)/P,
    Dri = (N + 1.35)/P flat root or (N + 1.8)/P fillet root, Di = (N - 1)/P, cF = 0.001 D within 0.002 and
    0.010, DFi = (N + 1)/P + 2 cF, DFe = (N - 1)/P - 2 cF.

    Parameters
    ----------
    teeth : int, 6 to 100
        N.
    pitch : Number, 2.5 to 128
        P, teeth per inch of pitch diameter.
    root : {"flat", "fillet"}

    Raises
    ------
    ValueError
        For a number of teeth that is not whole or out of range, a pitch out of range, an unknown root.

    References
    ----------
    ANSI B92.1-1970 (R1993), table 3 (basic dimensions).

    Examples
    --------
    >>> float(spline(35).external_major), round(float(spline(40).external_major), 4)
    (1.5, 1.7083)
    """
    if isinstance(teeth, bool) or not isinstance(teeth, int) or not 6 <= teeth <= 100:
        raise ValueError("number of teeth: give a whole number from 6 to 100.")
    per_inch = exact(pitch, "diametral pitch")
    if not _COARSEST <= per_inch <= _FINEST:
        raise ValueError("diametral pitch: the standard goes from 2.5 to 128; give 24 for a 24/48 spline.")
    if root not in ("flat", "fillet"):
        raise ValueError(f"spline root: {root!r} is unknown; choose flat or fillet.")
    diameter = teeth / per_inch
    clearance = min(max(diameter / 1000, _LEAST_CLEARANCE), _MOST_CLEARANCE)
    tip, foot = (teeth + 1) / per_inch, (teeth - 1) / per_inch
    deep = Fraction("1.35") if root == "flat" else Fraction("1.8")
    return Spline(
        diameter,
        float(diameter) * _HALF_ROOT_3,
        math.pi / float(per_inch),
        tip,
        (teeth + deep) / per_inch,
        foot,
        tip + 2 * clearance,
        foot - 2 * clearance,
        clearance,
    )
