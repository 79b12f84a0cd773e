"""Which piece of equipment the invented shop takes for which characteristic."""

from __future__ import annotations

from decimal import Decimal

from inspections.planning.terms import Kind, ResolvedCharacteristic

BY_KIND = {
    Kind.FACE_POINTS: "PROBE-1",
    Kind.FACE_TO_AXIS: "PROBE-1",
    Kind.PILOT_TO_AXIS: "PROBE-1",
    Kind.HOLE_PATTERN: "PROBE-1",
    Kind.END_ALIGNMENT: "IND-1",
    Kind.SHAFT_CLEARANCE: "BORE-2",
    Kind.PRESSURE_LOSS: "PRESS-1",
}
BY_CODE = {
    "pilot_bore": "BORE-1",
    "face_thickness": "CAL-2",
    "width": "CAL-80",
    "preset_width": "CAL-80",
    "bracket_left": "CAL-24",
    "bracket_right": "CAL-24",
    "pinion_angle": "LEVEL-1",
    "coat_thickness": "COAT-1",
    "rosettes_left": "LENS-1",
    "rosettes_right": "LENS-1",
    "waiting_before_test": "CLOCK-1",
}
COMPARATOR = "COMP-1"
# Runout of a tube, in thousandths; of a journal, in ten thousandths.
TUBE_DIAL, JOURNAL_DIAL = "IND-1", "IND-2"
MASTERS = {Decimal("2.25"): "MASTER-225", Decimal("2.5"): "MASTER-250", Decimal("3.25"): "MASTER-325"}
MASTER_SIZES = {"MASTER-225": 2.24920, "MASTER-250": 2.49930, "MASTER-325": 3.24915}
# The solid bar that hangs on pucks in both tubes; figures of `inspections.metrology.Bar`.
BAR, BAR_DIAMETER, BAR_SUPPORTS, BAR_ENDS = "BAR-1", "1.5", (-27.0, 27.0), (-36.0, 36.0)
THERMOMETER = "THERM-1"


def gauge_for(one: ResolvedCharacteristic) -> str:
    """The code of the gauge that a figure is read from; empty for a look or a plug."""
    if one.kind in {Kind.GO_NO_GO, Kind.THREAD_GAUGE, Kind.TAPER_TURNS}:
        return ""
    if one.kind is Kind.DIAMETERS:
        return COMPARATOR if one.code.startswith("journal") else BY_CODE[one.code]
    if one.kind is Kind.RUNOUT:
        return TUBE_DIAL if one.code.startswith("tube") else JOURNAL_DIAL
    return BY_KIND.get(one.kind) or BY_CODE.get(one.code, "CAL-1")
