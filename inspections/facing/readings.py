"""What of a housing's readings the facing cut is planned from, and what it is compared with afterwards."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from housings import queries
from housings.models import WorkDone
from inspections.facing.plan import Asked, Limits
from inspections.models import Characteristic, Reading
from inspections.models.plans import FACE_POINTS, FACE_TO_AXIS, SIZE
from inspections.pictures.figures import INCH_IN_MM
from inspections.queries import Measured

STATION = "face_and_drill"
# What a 7/16 thread needs, if the plan says nothing of the thread: common practice, no source.
THREAD, OVER = "0.4375", "12"
PITCH, DISTANCE, PARALLELISM = "pitch", "distance", "parallelism"
THICKNESS = "face_thickness"


@dataclass(frozen=True)
class Found:
    """The rows that say how the face is."""

    face: Reading | None
    thickness: Reading | None


class FaceReadings:
    """The readings of a face, before its cut and after it; a skim cut later is a cut of its own."""

    def __init__(self, measured: Measured) -> None:
        self.measured = measured
        self.by_pk = {c.pk: c for c in measured.characteristics}
        replaced = {r.replaces_id for r in measured.readings if r.replaces_id}
        self.readings = [r for r in measured.readings if r.pk not in replaced]
        cuts = [entry for entry in measured.situation.work_done if entry.station == STATION]
        here = queries.visit_here(measured.situation.visits)
        # The visit whose cut this is about: the present one, or else the one that cut it last.
        about = max(cuts, key=_place).visit_id if cuts else None
        if here is not None and here.station == STATION:
            about = here.pk
        self.cut_at = max((_place(entry) for entry in cuts if entry.visit_id == about), default=None)
        self.since = max((_place(entry) for entry in cuts if entry.visit_id != about), default=-1)

    def characteristic(self, quantity: str) -> Characteristic | None:
        """Distance, parallelism or pitch of the face, whichever kind the plan asks it in."""
        for c in self.measured.characteristics:
            if c.kind == FACE_TO_AXIS and c.quantity == quantity:
                return c
        plain = f"face_{quantity}"
        return next((c for c in self.measured.characteristics if c.kind == SIZE and c.code == plain), None)

    @property
    def thickness_asked(self) -> Characteristic | None:
        return next((c for c in self.measured.characteristics if c.code == THICKNESS), None)

    def before(self) -> Found:
        """The newest probing with journals, and the newest thickness, that were made before the cut."""
        return Found(self._newest(self._is_probing), self._newest(self._is_thickness))

    def after(self) -> Mapping[str, Reading]:
        """What was measured of the face since the cut, the newest of each characteristic, by its code."""
        if self.cut_at is None:
            return {}
        return {
            self.by_pk[r.characteristic_id].code: r
            for r in self.readings
            if r.stands_from >= self.cut_at and self._is_of_face(r)
        }

    def _newest(self, wanted: Callable[[Reading], bool]) -> Reading | None:
        """The newest one since an earlier visit cut the face, and before this one did."""
        for reading in reversed(self.readings):
            is_before = self.cut_at is None or reading.stands_from < self.cut_at
            if is_before and reading.stands_from >= self.since and wanted(reading):
                return reading
        return None

    def _is_probing(self, reading: Reading) -> bool:
        return all(reading.raw.get(name) for name in ("face", "left", "right"))

    def _is_thickness(self, reading: Reading) -> bool:
        return self.by_pk[reading.characteristic_id].code == THICKNESS

    def _is_of_face(self, reading: Reading) -> bool:
        c = self.by_pk[reading.characteristic_id]
        return c.kind in {FACE_POINTS, FACE_TO_AXIS} or c.code.startswith("face_")

    def asked(self) -> Asked | None:
        """What the plan asks where the face is cut; ``None`` if it asks no thickness there."""
        thick = self._limits(self.thickness_asked)
        if thick is None or thick[0] is None:
            return None
        parallel = self.characteristic(PARALLELISM)
        limits = self._limits(parallel)
        threads = (c.parameters.get("thread_diameter") for c in self.measured.characteristics)
        return Asked(
            thick[0],
            self._limits(self.characteristic(DISTANCE)),
            limits[1] if limits else None,
            str(parallel.parameters.get("over", OVER)) if parallel else OVER,
            self._limits(self.characteristic(PITCH)),
            next((str(diameter) for diameter in threads if diameter), THREAD),
        )

    @staticmethod
    def _limits(characteristic: Characteristic | None) -> Limits | None:
        due = characteristic.due_at(STATION) if characteristic else None
        return (due.lower, due.upper) if due else None


def _place(entry: WorkDone) -> int:
    return entry.record_position


def in_inches(raw: Mapping[str, Any], name: str) -> list[list[float]]:
    """Points of a raw reading, in inches."""
    factor = float(1 / INCH_IN_MM) if raw.get("unit") == "mm" else 1.0
    return [[float(part) * factor for part in point] for point in raw[name]]
