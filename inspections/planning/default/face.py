"""The face and its holes, judged from axis A-B."""

from ..bolt_circle import hole_centers
from ..terms import Kind, Nominal, Part, PlannedCharacteristic, PlannedDue, Severity
from .writing import AXIS, COATED, FACE, around, threads, within

# The face of the demo shop: invented figures, except the thread and the count of the holes (common practice).
FACE_DISTANCE = "2.500"
PILOT_BORE = "7.250"
BOLT_CIRCLE = "9.500"
HOLE_COUNT = 12
FIRST_HOLE_ANGLE = 15.0
THREAD = "7/16-14 UNC-2B"
# One probing of face, both journals and bore gives all of these.
PROBED = "face"

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
        taken_with=PROBED,
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
        kind=Kind.FACE_TO_AXIS,
        measured_from=AXIS,
        points_at_least=8,
        quantity="distance",
        taken_with=PROBED,
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
        kind=Kind.FACE_TO_AXIS,
        measured_from=AXIS,
        points_at_least=8,
        quantity="parallelism",
        taken_with=PROBED,
        constants={"over": "12"},
        note="Greatest difference of distance over 12 in along the axis.",
    ),
    around(
        "face_pitch",
        "Pitch of the face from the brackets at ride attitude",
        Part.FACE,
        Nominal("0"),
        "0.5",
        ("face_and_drill", "final_inspection"),
        FACE,
        unit="°",
        kind=Kind.FACE_TO_AXIS,
        measured_from=AXIS,
        points_at_least=8,
        quantity="pitch",
        taken_with=PROBED,
        only_if="links",
        note="The probe's z points where the brackets at ride attitude and the ordered pinion angle want the"
        " face to look. Positive: the nose points further down.",
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
        kind=Kind.PILOT_TO_AXIS,
        measured_from=AXIS,
        points_at_least=4,
        taken_with=PROBED,
        note="Limit invented.",
    ),
)

HOLES = (
    PlannedCharacteristic(
        "hole_pattern",
        f"Position of the {HOLE_COUNT} holes",
        Kind.HOLE_PATTERN,
        Part.HOLES,
        "in",
        Severity.MAJOR,
        (
            PlannedDue("face_and_drill", None, "0.015"),
            PlannedDue("final_inspection", None, "0.015"),
        ),
        FACE,
        measured_from=AXIS,
        centers=hole_centers(HOLE_COUNT, BOLT_CIRCLE, FIRST_HOLE_ANGLE),
        note="Zone for a bolt of 7/16 through 15/32: half the difference each; bolt circle invented. From the"
        " pilot bore, x along A-B to the right end, y up; the first hole is up from x, then on towards y.",
    ),
    threads(
        "hole_threads",
        f"Threads {THREAD} of all {HOLE_COUNT} holes, go and no-go plug",
        Part.HOLES,
        ("face_and_drill", "final_inspection"),
        ("face_and_drill", "armor", *COATED),
        note="The worst hole counts.",
    ),
)
