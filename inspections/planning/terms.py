"""The terms a plan of measuring is written in, before and after a build spec has filled in its figures."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

__all__ = [
    "Due",
    "Kind",
    "Nominal",
    "Part",
    "PlannedCharacteristic",
    "PlannedDue",
    "ResolvedCharacteristic",
    "Severity",
    "Term",
]


class Kind(StrEnum):
    """What is typed, and so what is judged.

    SIZE one value · GO_NO_GO a look: yes or no · FACE_POINTS x, y, z of points, judged by their
    minimum-zone flatness · RUNOUT the readings of an indicator, judged by greatest minus least (FIM) ·
    HOLE_CENTER x, y of one hole, judged by the diameter of its position zone · DIAMETERS of one journal or
    bore at several places, or their differences from a master; every one must be within the limits ·
    FACE_TO_AXIS points of the face and of both journals: distance, parallelism or pitch against A-B ·
    PILOT_TO_AXIS points of the bore and of both journals: how far its axis is from A-B · HOLE_PATTERN x, y of
    all holes, judged by the worst position zone · END_ALIGNMENT offsets from a bar along both ends: camber or
    toe of one end · SHAFT_CLEARANCE bore centers and diameters along one end: least room round the shaft ·
    THREAD_GAUGE go plug and turns of the no-go plug · TAPER_TURNS turns of a taper plug from its notch ·
    PRESSURE_LOSS pressures, temperatures and times of a closed housing: loss in a stated time.
    """

    SIZE = "size"
    GO_NO_GO = "go_no_go"
    FACE_POINTS = "face_points"
    RUNOUT = "runout"
    HOLE_CENTER = "hole_center"
    DIAMETERS = "diameters"
    FACE_TO_AXIS = "face_to_axis"
    PILOT_TO_AXIS = "pilot_to_axis"
    HOLE_PATTERN = "hole_pattern"
    END_ALIGNMENT = "end_alignment"
    SHAFT_CLEARANCE = "shaft_clearance"
    THREAD_GAUGE = "thread_gauge"
    TAPER_TURNS = "taper_turns"
    PRESSURE_LOSS = "pressure_loss"


class Part(StrEnum):
    """The part of the housing under which a result is printed."""

    FACE = "face"
    HOLES = "holes"
    ENDS = "ends"
    TUBES = "tubes"
    WELDS = "welds"
    FITTINGS = "fittings"


class Severity(StrEnum):
    """Who may accept a failure: the QC lead (minor) or an engineer with the customer's concession (major)."""

    MINOR = "minor"
    MAJOR = "major"


@dataclass(frozen=True, slots=True)
class Term:
    """A number field of the build spec times an exact factor."""

    field: str
    times: str = "1"


@dataclass(frozen=True, slots=True)
class Nominal:
    """What a size should be: `plus`, and the terms of the build spec added to it. All exact decimal text.

    ``Nominal("2.500")`` is a figure of the plan; ``Nominal("0.07", (Term("width"),))`` the width and 0.07.
    """

    plus: str = "0"
    terms: tuple[Term, ...] = ()


@dataclass(frozen=True, slots=True)
class PlannedDue:
    """A station where the characteristic is due, with its limits there; None = free on that side.

    Limits are decimal text, absolute or counted from the nominal as the characteristic says. With
    `with_station` it holds only on a route that has that station, and then instead of the general one; with
    `without_station` only on a route that does not have it.
    """

    station: str
    lower: str | None = None
    upper: str | None = None
    with_station: str | None = None
    without_station: str | None = None


@dataclass(frozen=True, slots=True)
class PlannedCharacteristic:
    """One thing to be measured, as a plan has it for every build spec.

    `limits_from_nominal`: the limits are counted from the nominal, else they are absolute.
    `movable_by`: stations whose work can change it, so that an older reading does not stand any more.
    `hidden_by`: the station that hides it for good. `measured_from`: the datum, ``"A-B"`` or None.
    `points_at_least`: fewest points or readings of one measuring. `center`: nominal x, y of a hole;
    `centers`: of every hole of a pattern. `quantity`: which figure of a measuring that gives several, such as
    ``"camber_left"``. `taken_with`: a name that characteristics share whose readings come from one measuring,
    so that it is entered once. `constants`: further figures its geometry needs (decimal text by name; a value
    may be a `Nominal` of the build spec's fields).
    `only_if`: a yes-or-no field of the build spec; without it the characteristic is not asked.
    """

    code: str
    name: str
    kind: Kind
    part: Part
    unit: str
    severity: Severity
    due: tuple[PlannedDue, ...]
    movable_by: tuple[str, ...] = ()
    hidden_by: str | None = None
    is_datum: bool = False
    measured_from: str | None = None
    nominal: Nominal | None = None
    limits_from_nominal: bool = False
    center: tuple[str, str] | None = None
    centers: tuple[tuple[str, str], ...] = ()
    quantity: str = ""
    taken_with: str = ""
    constants: Mapping[str, "str | Nominal"] = field(default_factory=dict, hash=False)
    points_at_least: int = 1
    only_if: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Due:
    """A station where the characteristic is due, with absolute limits as decimal text; None = free."""

    station: str
    lower: str | None
    upper: str | None


@dataclass(frozen=True, slots=True)
class ResolvedCharacteristic:
    """One thing to be measured on housings of one build spec and one route, every figure filled in.

    `number` counts from 1 in the order of the plan. `parameters` are plain JSON values: ``nominal`` (text),
    ``nominal_x`` and ``nominal_y`` (text, of a hole), ``centers`` (list of pairs of text, of a pattern),
    ``quantity`` and ``taken_with`` (text), every constant by its name (text), ``points_at_least`` (a number).
    `due` names stations of the route only, in its order; `movable_by` keeps every station of the plan,
    because rework can add a station to a housing that its route does not have.
    """

    number: int
    code: str
    name: str
    kind: Kind
    part: Part
    unit: str
    severity: Severity
    is_datum: bool
    measured_from: str | None
    parameters: Mapping[str, Any] = field(hash=False)
    due: tuple[Due, ...]
    movable_by: tuple[str, ...]
    hidden_by: str | None
    note: str

    def as_row(self) -> dict[str, Any]:
        """The same as plain values for a row of a table; None stands only in limits."""
        return {
            "number": self.number,
            "code": self.code,
            "name": self.name,
            "kind": str(self.kind),
            "part": str(self.part),
            "unit": self.unit,
            "severity": str(self.severity),
            "is_datum": self.is_datum,
            "measured_from": self.measured_from or "",
            "parameters": dict(self.parameters),
            "due": [{"station": due.station, "lower": due.lower, "upper": due.upper} for due in self.due],
            "movable_by": list(self.movable_by),
            "hidden_by": self.hidden_by or "",
            "note": self.note,
        }
