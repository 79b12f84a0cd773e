"""Tubes and what hangs on them: runout, brackets, coating."""

from ..terms import Kind, Nominal, Part, PlannedCharacteristic, PlannedDue, Severity, Term
from .writing import ALIGNMENT, AXIS, BENDING, COATED, around, look, within


def _bracket(side: str) -> PlannedCharacteristic:
    return around(
        f"bracket_{side}",
        f"Distance of the {side} link bracket from the carrier's center line",
        Part.TUBES,
        Nominal(terms=(Term("bracket_offset"),)),
        "0.060",
        ("brackets", "final_inspection"),
        BENDING,
        severity=Severity.MINOR,
        only_if="links",
    )


BRACKETS = (
    _bracket("left"),
    _bracket("right"),
    look(
        "tab_washers",
        "A washer welded to the outer face of each link tab",
        Part.WELDS,
        ("brackets",),
        ("brackets",),
        severity=Severity.MINOR,
        only_if="links",
    ),
    around(
        "pinion_angle",
        "Pinion angle at ride attitude",
        Part.FACE,
        Nominal(terms=(Term("pinion_angle"),)),
        "0.5",
        ("brackets", "final_inspection"),
        (*ALIGNMENT, "face_and_drill"),
        unit="°",
        measured_from=AXIS,
        only_if="links",
        note="Turns about A-B, so the brackets at ride attitude are its second datum.",
    ),
)


def _tube(side: str) -> PlannedCharacteristic:
    return within(
        f"tube_runout_{side}",
        f"Runout of the {side} tube",
        Part.TUBES,
        (
            PlannedDue("truss", None, "0.150"),
            PlannedDue("straighten", None, "0.030"),
            PlannedDue("final_inspection", None, "0.150"),
            PlannedDue("final_inspection", None, "0.040", with_station="straighten"),
        ),
        BENDING,
        kind=Kind.RUNOUT,
        severity=Severity.MINOR,
        measured_from=AXIS,
        points_at_least=4,
        note="The indicator's readings over one turn; 0.040 at the end, once straightened, is invented.",
    )


TUBES = (
    _tube("left"),
    _tube("right"),
    within(
        "coat_thickness",
        "Thickness of the coating",
        Part.TUBES,
        (PlannedDue("coat", "0.002", "0.006"),),
        COATED,
        severity=Severity.MINOR,
        note="Invented limits.",
    ),
)
