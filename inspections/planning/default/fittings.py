"""The inside, vent, fill and drain, and the leak test."""

from ..terms import Kind, Part, PlannedCharacteristic, PlannedDue, Severity
from .writing import ALIGNMENT, COATED, look, threads, within

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
    threads(
        "vent_thread",
        "Thread of the vent fitting, go and no-go plug",
        Part.FITTINGS,
        ("caps_and_fittings", "final_inspection"),
        ("caps_and_fittings", *COATED),
        severity=Severity.MINOR,
    ),
    threads(
        "fill_thread",
        "Thread of the fill bung, go and no-go plug",
        Part.FITTINGS,
        ("caps_and_fittings", "final_inspection"),
        ("caps_and_fittings", *COATED),
        severity=Severity.MINOR,
    ),
    look(
        "fill_seat",
        "O-ring seat of the fill bung clean and whole",
        Part.FITTINGS,
        ("caps_and_fittings", "final_inspection"),
        ("caps_and_fittings", *COATED),
        severity=Severity.MINOR,
    ),
    within(
        "drain_thread",
        "Drain bung: turns of the taper plug from its notch",
        Part.FITTINGS,
        (PlannedDue("caps_and_fittings", "-1", "1"), PlannedDue("final_inspection", "-1", "1")),
        ("caps_and_fittings", *COATED),
        unit="turns",
        kind=Kind.TAPER_TURNS,
        severity=Severity.MINOR,
        only_if="drain",
        note="Screwed in by hand; past the notch is plus. One turn either way: ASME B1.20.1.",
    ),
    within(
        "leak",
        "Loss of pressure in 5 minutes",
        Part.FITTINGS,
        (PlannedDue("leak_test", None, "0.1"),),
        ("tack", *ALIGNMENT, "face_and_drill", "caps_and_fittings"),
        unit="psi",
        kind=Kind.PRESSURE_LOSS,
        constants={"volume": "18", "over_minutes": "5"},
        note="From 3 to 5 psi, at constant temperature: 1 °F alone moves the pressure by 0.037 psi.",
    ),
)
