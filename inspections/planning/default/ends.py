"""The ends: journals that make axis A-B, width, camber and toe, room for the shaft."""

from ..terms import Kind, Nominal, Part, PlannedCharacteristic, PlannedDue, Severity, Term
from .writing import ALIGNMENT, AXIS, COATED, around, within

# Two sections of a journal, each across two directions (common practice, no source).
ACROSS = 4
BAR = "bar"
SHAFT_CLEARANCE = "0.020"


def _end(side: str) -> tuple[PlannedCharacteristic, ...]:
    return (
        PlannedCharacteristic(
            f"journal_{side}",
            f"Diameter of the {side} bearing journal",
            Kind.DIAMETERS,
            Part.ENDS,
            "in",
            Severity.MAJOR,
            tuple(
                PlannedDue(station, "-0.0010", "-0.0005") for station in ("jig", "snouts", "final_inspection")
            ),
            ("snouts", "straighten", "stress_relief", *COATED),
            is_datum=True,
            nominal=Nominal(terms=(Term("snout_size"),)),
            limits_from_nominal=True,
            points_at_least=ACROSS,
            note="Makes axis A-B. Most gauges cannot decide 0.0005; comparing with a master can.",
        ),
        within(
            f"journal_runout_{side}",
            f"Runout of the {side} journal",
            Part.ENDS,
            (
                PlannedDue("face_and_drill", None, "0.005"),
                PlannedDue("final_inspection", None, "0.005"),
            ),
            ALIGNMENT,
            kind=Kind.RUNOUT,
            measured_from=AXIS,
            points_at_least=4,
        ),
        around(
            f"camber_{side}",
            f"Camber, {side}",
            Part.ENDS,
            Nominal(terms=(Term("camber"),)),
            "0.10",
            ("face_and_drill", "final_inspection"),
            ALIGNMENT,
            unit="°",
            kind=Kind.END_ALIGNMENT,
            measured_from=AXIS,
            quantity=f"camber_{side}",
            taken_with=BAR,
            note="Positive: the top of the wheel leans out. Which way is up comes from the face.",
        ),
        around(
            f"toe_{side}",
            f"Toe, {side}",
            Part.ENDS,
            Nominal(terms=(Term("toe"),)),
            "0.05",
            ("face_and_drill", "final_inspection"),
            ALIGNMENT,
            unit="°",
            kind=Kind.END_ALIGNMENT,
            measured_from=AXIS,
            quantity=f"toe_{side}",
            taken_with=BAR,
            note="Positive: the front of the wheel points in. Which way is forward comes from the face.",
        ),
        within(
            f"shaft_clearance_{side}",
            f"Least clearance round the ordered shaft, {side}",
            Part.ENDS,
            (PlannedDue("final_inspection", SHAFT_CLEARANCE, None),),
            ALIGNMENT,
            kind=Kind.SHAFT_CLEARANCE,
            measured_from=AXIS,
            taken_with=f"bores_{side}",
            constants={"shaft_diameter": Nominal(terms=(Term("shaft_diameter"),))},
            note="All round, to the larger of the shaft's body and its spline; limit invented.",
        ),
    )


ENDS = (
    *_end("left"),
    *_end("right"),
    around(
        "width",
        "Width over the ends",
        Part.ENDS,
        Nominal(terms=(Term("width"),)),
        "0.030",
        ("face_and_drill", "final_inspection"),
        ALIGNMENT,
        severity=Severity.MINOR,
    ),
)
