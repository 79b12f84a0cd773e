"""The face and its holes, judged from axis A-B."""

from ..bolt_circle import hole_centers
from ..terms import Kind, Nominal, Part, PlannedCharacteristic, PlannedDue, Severity
from .writing import AXIS, COATED, FACE, around, look, within

# The face of the demo shop: invented figures, except the thread and the count of the holes (common practice).
FACE_DISTANCE = "2.500"
PILOT_BORE = "7.250"
BOLT_CIRCLE = "9.500"
HOLE_COUNT = 12
FIRST_HOLE_ANGLE = 15.0
THREAD = "7/16-14 UNC-2B"

FACE_ITSELF = (
    within(
        "face_flatness",
        "Flatness of the face",
        Part.FACE,
        (
            PlannedDue("face_and_drill", None, "0.004"),
            PlannedDue("final_inspection", None, "0.005"),
        ),
        FACE,
        kind=Kind.FACE_POINTS,
        points_at_least=8,
        note="Beyond 0.005 at the end a skim cut may help, if distance and thickness allow.",
    ),
    around(
        "face_distance",
        "Distance of the face",
        Part.FACE,
        Nominal(FACE_DISTANCE),
        "0.005",
        ("face_and_drill", "final_inspection"),
        FACE,
        measured_from=AXIS,
        note="Nominal invented.",
    ),
    within(
        "face_parallelism",
        "Parallelism of the face per 12 in",
        Part.FACE,
        (
            PlannedDue("face_and_drill", None, "0.003"),
            PlannedDue("final_inspection", None, "0.003"),
        ),
        FACE,
        measured_from=AXIS,
        note="Greatest difference of distance over 12 in along the axis.",
    ),
    within(
        "face_thickness",
        "Least thickness of the face ring",
        Part.FACE,
        (
            PlannedDue("face_and_drill", "0.4375", None),
            PlannedDue("final_inspection", "0.4375", None),
        ),
        ("face_and_drill",),
        note="A 7/16 thread engages over at least its diameter.",
    ),
    PlannedCharacteristic(
        "pilot_bore",
        "Diameter of the pilot bore",
        Kind.SIZE,
        Part.FACE,
        "in",
        Severity.MAJOR,
        (PlannedDue("face_and_drill", "0", "0.002"), PlannedDue("final_inspection", "0", "0.002")),
        FACE,
        nominal=Nominal(PILOT_BORE),
        limits_from_nominal=True,
        note="Nominal invented.",
    ),
    within(
        "pilot_center",
        "Distance of the pilot bore's center",
        Part.FACE,
        (
            PlannedDue("face_and_drill", None, "0.005"),
            PlannedDue("final_inspection", None, "0.005"),
        ),
        FACE,
        measured_from=AXIS,
        note="Limit invented.",
    ),
)


def _hole(number: int, center: tuple[str, str]) -> PlannedCharacteristic:
    return PlannedCharacteristic(
        f"hole_{number}",
        f"Hole {number}, position",
        Kind.HOLE_CENTER,
        Part.HOLES,
        "in",
        Severity.MAJOR,
        (
            PlannedDue("face_and_drill", None, "0.015"),
            PlannedDue("final_inspection", None, "0.015"),
        ),
        FACE,
        measured_from=AXIS,
        center=center,
        note="Zone for a bolt of 7/16 through 15/32: half the difference each; bolt circle invented.",
    )


HOLES = (
    *(
        _hole(number, center)
        for number, center in enumerate(hole_centers(HOLE_COUNT, BOLT_CIRCLE, FIRST_HOLE_ANGLE), start=1)
    ),
    look(
        "hole_threads",
        f"Threads {THREAD} of all {HOLE_COUNT} holes, go and no-go plug",
        Part.HOLES,
        ("face_and_drill", "final_inspection"),
        ("face_and_drill", "armor", *COATED),
    ),
)
