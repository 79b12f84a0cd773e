"""Geometry and verdicts of measured features: pure functions, exact where it can be proven.

Nothing here knows Django, a clock or a file. Lengths of one call share one unit, angles are in degrees.
A number may be ``str``, ``Decimal``, ``int`` or ``Fraction`` (taken exactly) or ``float`` (its shortest
decimal text is meant). Bad input raises ``ValueError`` with a sentence a person can act on.
"""

from inspections.metrology.adequacy import Adequacy, adequate
from inspections.metrology.circle_fit import CircleFit, fit_circle
from inspections.metrology.decision import Decision, decide
from inspections.metrology.fits import LineFit, PlaneFit, fit_line, fit_plane
from inspections.metrology.flatness import flatness
from inspections.metrology.leak import LeakRate, leak_rate, standard_flow
from inspections.metrology.limits import Limits
from inspections.metrology.numbers import Number
from inspections.metrology.pattern import PatternFit, fit_pattern
from inspections.metrology.position import HolePosition, hole_position
from inspections.metrology.pressure_hazard import stored_energy, thrust
from inspections.metrology.proof import Proof
from inspections.metrology.roundness import Ring, roundness
from inspections.metrology.runout import CircularRunout, circular_runout
from inspections.metrology.straightness import straightness
from inspections.metrology.temperature import ReferredLength, at_reference_temperature
from inspections.metrology.total_runout import TotalRunout, total_runout
from inspections.metrology.uncertainty import Contribution, Uncertainty, combine
from inspections.metrology.v_block import v_block_gain
from inspections.metrology.zone import Zone

__all__ = [
    "Adequacy",
    "CircleFit",
    "CircularRunout",
    "Contribution",
    "Decision",
    "HolePosition",
    "LeakRate",
    "Limits",
    "LineFit",
    "Number",
    "PatternFit",
    "PlaneFit",
    "Proof",
    "ReferredLength",
    "Ring",
    "TotalRunout",
    "Uncertainty",
    "Zone",
    "adequate",
    "at_reference_temperature",
    "circular_runout",
    "combine",
    "decide",
    "fit_circle",
    "fit_line",
    "fit_pattern",
    "fit_plane",
    "flatness",
    "hole_position",
    "leak_rate",
    "roundness",
    "standard_flow",
    "stored_energy",
    "straightness",
    "thrust",
    "total_runout",
    "v_block_gain",
]
