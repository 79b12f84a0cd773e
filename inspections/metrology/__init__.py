"""Geometry and verdicts of measured features: pure functions, exact where it can be proven.

Nothing here knows Django, a clock or a file. Lengths of one call share one unit, angles are in degrees.
A number may be ``str``, ``Decimal``, ``int`` or ``Fraction`` (taken exactly) or ``float`` (its shortest
decimal text is meant). Bad input raises ``ValueError`` with a sentence a person can act on.
"""

from inspections.metrology.circle_fit import CircleFit, fit_circle
from inspections.metrology.fits import LineFit, PlaneFit, fit_line, fit_plane
from inspections.metrology.flatness import flatness
from inspections.metrology.numbers import Number
from inspections.metrology.pattern import PatternFit, fit_pattern
from inspections.metrology.proof import Proof
from inspections.metrology.roundness import Ring, roundness
from inspections.metrology.straightness import straightness
from inspections.metrology.zone import Zone

__all__ = [
    "CircleFit",
    "LineFit",
    "Number",
    "PatternFit",
    "PlaneFit",
    "Proof",
    "Ring",
    "Zone",
    "fit_circle",
    "fit_line",
    "fit_pattern",
    "fit_plane",
    "flatness",
    "roundness",
    "straightness",
]
