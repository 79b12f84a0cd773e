"""Geometry and verdicts of measured features: pure functions, exact where it can be proven.

Nothing here knows Django, a clock or a file. Lengths of one call share one unit, angles are in degrees.
A number may be ``str``, ``Decimal``, ``int`` or ``Fraction`` (taken exactly) or ``float`` (its shortest
decimal text is meant). Bad input raises ``ValueError`` with a sentence a person can act on.
"""

from inspections.metrology.adequacy import Adequacy, adequate
from inspections.metrology.axis import Axis, axis_from_journals
from inspections.metrology.bar import Bar
from inspections.metrology.circle_fit import CircleFit, fit_circle
from inspections.metrology.clearance import ShaftClearance, shaft_clearance
from inspections.metrology.clocking import Clocking, clocking
from inspections.metrology.decision import Decision, decide
from inspections.metrology.ends import EndAlignment, EndPointing, Rolled, end_alignment
from inspections.metrology.face_axis import FaceToAxis, face_to_axis
from inspections.metrology.face_cut import FaceCut, Shims, face_cut, shims
from inspections.metrology.fits import LineFit, PlaneFit, fit_line, fit_plane
from inspections.metrology.flatness import flatness
from inspections.metrology.leak import LeakRate, leak_rate, standard_flow
from inspections.metrology.limits import Limits
from inspections.metrology.numbers import Number
from inspections.metrology.pattern import PatternFit, fit_pattern
from inspections.metrology.pilot import PilotToAxis, pilot_to_axis
from inspections.metrology.position import HolePosition, hole_position
from inspections.metrology.pressure_hazard import stored_energy, thrust
from inspections.metrology.proof import Proof
from inspections.metrology.roundness import Ring, roundness
from inspections.metrology.runout import CircularRunout, circular_runout
from inspections.metrology.splines import Spline, spline
from inspections.metrology.straightness import straightness
from inspections.metrology.taper_threads import TaperThread, TurnsGauged, taper_thread, taper_thread_by_turns
from inspections.metrology.temperature import ReferredLength, at_reference_temperature
from inspections.metrology.thread_gauge import GaugedThread, gauged_thread
from inspections.metrology.total_runout import TotalRunout, total_runout
from inspections.metrology.uncertainty import Contribution, Uncertainty, combine
from inspections.metrology.unified_threads import UnifiedThread, unified_thread
from inspections.metrology.v_block import v_block_gain
from inspections.metrology.weld_limits import WeldLimit, weld_limit
from inspections.metrology.zone import Zone

__all__ = [
    "Adequacy",
    "Axis",
    "Bar",
    "CircleFit",
    "CircularRunout",
    "Clocking",
    "Contribution",
    "Decision",
    "EndAlignment",
    "EndPointing",
    "FaceCut",
    "FaceToAxis",
    "GaugedThread",
    "HolePosition",
    "LeakRate",
    "Limits",
    "LineFit",
    "Number",
    "PatternFit",
    "PilotToAxis",
    "PlaneFit",
    "Proof",
    "ReferredLength",
    "Ring",
    "Rolled",
    "ShaftClearance",
    "Shims",
    "Spline",
    "TaperThread",
    "TotalRunout",
    "TurnsGauged",
    "Uncertainty",
    "UnifiedThread",
    "WeldLimit",
    "Zone",
    "adequate",
    "at_reference_temperature",
    "axis_from_journals",
    "circular_runout",
    "clocking",
    "combine",
    "decide",
    "end_alignment",
    "face_cut",
    "face_to_axis",
    "fit_circle",
    "fit_line",
    "fit_pattern",
    "fit_plane",
    "flatness",
    "gauged_thread",
    "hole_position",
    "leak_rate",
    "pilot_to_axis",
    "roundness",
    "shaft_clearance",
    "shims",
    "spline",
    "standard_flow",
    "stored_energy",
    "straightness",
    "taper_thread",
    "taper_thread_by_turns",
    "thrust",
    "total_runout",
    "unified_thread",
    "v_block_gain",
    "weld_limit",
]
