"""The inside, vent, fill and drain, and the leak test."""

from ..terms import Kind, Part, PlannedCharacteristic, PlannedDue, Severity
from .writing import ALIGNMENT, COATED, look, within

INSIDE = (
    PlannedCharacteristic(
        "inside_clean",
        "Inside behind the ribs free of chips and weld balls",
        Kind.GO_NO_GO,
        Part.FITTINGS,
        "",
        Severity.MAJOR,
        # Where a station cleans, what was seen before it does not count.
        (PlannedDue("face_and_drill", without_station="clean_inside"), PlannedDue("clean_inside")),
        ("truss", "snouts", "straighten", "stress_relief", "face_and_drill", "clean_inside"),
        hidden_by="armor",
    ),
    look(
        "inside_last_look",
        "Inside free of chips, weld balls and test fluid, seen through the face",
        Part.FITTINGS,
        ("final_inspection",),
        ("armor", "caps_and_fittings", "leak_test", *COATED),
    ),
)

FITTINGS = (
    look(
        "vent_thread",
        "Thread of the vent fitting, go and no-go plug",
        Part.FITTINGS,
        ("caps_and_fittings", "final_inspection"),
        ("caps_and_fittings", *COATED),
        severity=Severity.MINOR,
    ),
    look(
        "fill_thread",
        "Fill bung: thread by go and no-go plug, O-ring seat clean and whole",
        Part.FITTINGS,
        ("caps_and_fittings", "final_inspection"),
        ("caps_and_fittings", *COATED),
        severity=Severity.MINOR,
    ),
    look(
        "drain_thread",
        "Drain bung: taper pipe thread within a turn of the plug's notch",
        Part.FITTINGS,
        ("caps_and_fittings", "final_inspection"),
        ("caps_and_fittings", *COATED),
        severity=Severity.MINOR,
        only_if="drain",
    ),
    within(
        "leak",
        "Loss of pressure in 5 minutes",
        Part.FITTINGS,
        (PlannedDue("leak_test", None, "0.1"),),
        ("tack", *ALIGNMENT, "face_and_drill", "caps_and_fittings"),
        unit="psi",
        note="From 3 to 5 psi. 1 °F alone moves the pressure by 0.037 psi: wait until it is steady.",
    ),
)
