"""Geometry and verdicts of measured features: pure functions, exact where it can be proven.

Nothing here knows Django, a clock or a file. Lengths of one call share one unit, angles are in degrees.
A number may be ``str``, ``Decimal``, ``int`` or ``Fraction`` (taken exactly) or ``float`` (its shortest
decimal text is meant). Bad input raises ``ValueError`` with a sentence a person can act on.
"""

from inspections.metrology.circle_fit import CircleFit, fit_circle
from inspections.metrology.decision import Decision, decide
from inspections.metrology.fits import LineFit, PlaneFit, fit_line, fit_plane
from inspections.metrology.flatness import flatness
from inspections.metrology.limits import Limits
from inspections.metrology.numbers import Number
from inspections.metrology.pattern import PatternFit, fit_pattern
from inspections.metrology.position import HolePosition, hole_position
from inspections.metrology.proof import Proof
from inspections.metrology.roundness import Ring, roundness
from inspections.metrology.runout import CircularRunout, circular_runout
from inspections.metrology.straightness import straightness
from inspections.metrology.v_block import v_block_gain
from inspections.metrology.zone import Zone

__all__ = [
    "CircleFit",
    "CircularRunout",
    "Decision",
    "HolePosition",
    "Limits",
    "LineFit",
    "Number",
    "PatternFit",
    "PlaneFit",
    "Proof",
    "Ring",
    "Zone",
    "circular_runout",
    "decide",
    "fit_circle",
    "fit_line",
    "fit_pattern",
    "fit_plane",
    "flatness",
    "hole_position",
    "roundness",
    "straightness",
    "v_block_gain",
]
