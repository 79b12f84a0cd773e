"""Gauges and other equipment, when each was last found right, and what follows if one was found wrong."""

from __future__ import annotations

from django.db import models

from shopqc.append_only import sealed
from shopqc.models import Recorded


class Gauge(Recorded):
    """Something to measure with or to hold, roll or weld with: whatever has a check that can be overdue.

    ``kind`` is a code of `inspections.metrology.equipment`. ``lowest`` and ``highest`` bound what it reads.
    ``constants`` are figures its geometry needs: a bar's diameter and supports, a master's size, the angle of
    a V-block; decimal text by name.
    """

    lock_rank, chain_kind, chain_key = 30, "gauge", "code"

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=40)
    unit = models.CharField(max_length=10, default="in")
    # Expanded uncertainty, k = 2, in `unit`, as typed.
    uncertainty = models.CharField(max_length=20, default="0")
    lowest = models.CharField(max_length=20, blank=True)
    highest = models.CharField(max_length=20, blank=True)
    constants = models.JSONField(default=dict)
    place = models.CharField(max_length=80, blank=True)
    calibration_due = models.DateField(null=True)
    withdrawn_at = models.DateTimeField(null=True)
    withdrawn_why = models.TextField(blank=True)

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


@sealed
class Calibration(models.Model):
    """One check of a gauge against something better.

    ``error_offset`` and ``error_scale`` are what it was found to read wrong: it shows
    true × (1 + scale) + offset. A check that found it right has both at 0. ``constants`` are those of its
    figures that the check measured, such as the size of a master. The moment is ``done_at``, or, where only
    the day is known, somewhere on ``done_on``.
    """

    gauge = models.ForeignKey(Gauge, on_delete=models.PROTECT, related_name="calibrations")
    done_on = models.DateField()
    due_on = models.DateField(null=True)
    found_right = models.BooleanField(default=True)
    error_offset = models.CharField(max_length=20, default="0")
    error_scale = models.CharField(max_length=20, default="0")
    constants = models.JSONField(default=dict)
    note = models.TextField(blank=True)
    document = models.CharField(max_length=64, blank=True)
    done_at = models.DateTimeField(null=True)
    reference = models.CharField(max_length=80, blank=True)
    uncertainty = models.CharField(max_length=20)
    record_position = models.PositiveIntegerField()
    by_stamp = models.CharField(max_length=30)

    # Columns that came after the first rows: those rows are recorded without them (`shopqc.ledger`).
    added_later = (
        "constants",
        "document",
        "done_at",
        "error_offset",
        "error_scale",
        "found_right",
        "note",
    )

    class Meta:
        ordering = ["record_position"]


@sealed
class GaugeDoubt(models.Model):
    """A gauge was found wrong: which of its readings were computed again, and since when."""

    calibration = models.OneToOneField(Calibration, on_delete=models.PROTECT, related_name="doubt")
    since = models.DateTimeField(null=True)
    examined = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)

    class Meta:
        ordering = ["at"]
