"""Plans of measuring, and what they ask of one housing."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import models

from housings.models import Housing
from shopqc.append_only import sealed

SIZE, GO_NO_GO, FACE_POINTS, RUNOUT, HOLE_CENTER = "size", "go_no_go", "face_points", "runout", "hole_center"
DIAMETERS, FACE_TO_AXIS, PILOT_TO_AXIS, HOLE_PATTERN = (
    "diameters",
    "face_to_axis",
    "pilot_to_axis",
    "hole_pattern",
)
END_ALIGNMENT, SHAFT_CLEARANCE, THREAD_GAUGE, TAPER_TURNS, PRESSURE_LOSS = (
    "end_alignment",
    "shaft_clearance",
    "thread_gauge",
    "taper_turns",
    "pressure_loss",
)
# Answered by a look or a plug; every other kind is a figure that a gauge of the list gives.
ANSWERED = frozenset({GO_NO_GO, THREAD_GAUGE, TAPER_TURNS})
MINOR, MAJOR = "minor", "major"


class PlanDraft(models.Model):
    """A plan that somebody is writing; it binds nobody until it is published."""

    name = models.CharField(max_length=40)
    copied_from = models.ForeignKey("PlanRevision", null=True, on_delete=models.PROTECT, related_name="+")
    characteristics = models.JSONField(default=list)
    note = models.TextField(blank=True)
    begun_at = models.DateTimeField()
    kept_at = models.DateTimeField()
    kept_by = models.CharField(max_length=30)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["-kept_at"]

    def __str__(self) -> str:
        return self.name


class PlanRevision(models.Model):
    """One revision of a plan; a housing keeps the one it was released with."""

    name = models.CharField(max_length=40)
    number = models.PositiveIntegerField()
    characteristics = models.JSONField()
    note = models.TextField(blank=True)
    published_at = models.DateTimeField()
    published_by = models.CharField(max_length=30)

    class Meta:
        ordering = ["name", "-number"]
        constraints = [models.UniqueConstraint(fields=["name", "number"], name="one_plan_per_number")]

    def __str__(self) -> str:
        return f"{self.name} {self.number}"


@dataclass(frozen=True)
class Due:
    """Where a characteristic is due, and its limits there; ``None`` = free on that side."""

    station: str
    lower: str | None
    upper: str | None


@sealed
class Characteristic(models.Model):
    """One thing to be measured on one housing, with every figure of the plan resolved."""

    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="characteristics")
    plan = models.ForeignKey(PlanRevision, on_delete=models.PROTECT, related_name="+")
    number = models.PositiveIntegerField()
    code = models.CharField(max_length=60)
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=20)
    part = models.CharField(max_length=20)
    unit = models.CharField(max_length=20, blank=True)
    severity = models.CharField(max_length=6)
    is_datum = models.BooleanField(default=False)
    measured_from = models.CharField(max_length=20, blank=True)
    parameters = models.JSONField(default=dict)
    due = models.JSONField()
    movable_by = models.JSONField(default=list)
    hidden_by = models.CharField(max_length=40, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["housing", "code"], name="one_characteristic_per_code")
        ]

    def __str__(self) -> str:
        return self.name

    def due_at(self, station: str) -> Due | None:
        """The limits at a station, if the characteristic is due there."""
        return next((Due(**entry) for entry in self.due if entry["station"] == station), None)

    @property
    def due_stations(self) -> list[str]:
        return [entry["station"] for entry in self.due]

    @property
    def needs_gauge(self) -> bool:
        """A look or a plug needs no gauge of the list; a figure does."""
        return self.kind not in ANSWERED

    @property
    def quantity(self) -> str:
        """Which figure of its measuring this is, where one measuring gives several."""
        return str(self.parameters.get("quantity", ""))

    @property
    def taken_with(self) -> str:
        """What its measuring is called, if other characteristics are read from the same one."""
        return str(self.parameters.get("taken_with", ""))
