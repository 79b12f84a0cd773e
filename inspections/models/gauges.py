"""Gauges, and when each was last found right."""

from __future__ import annotations

from django.db import models

from shopqc.append_only import sealed
from shopqc.models import Recorded


class Gauge(Recorded):
    """Something to measure with."""

    lock_rank, chain_kind, chain_key = 30, "gauge", "code"

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=40)
    unit = models.CharField(max_length=10, default="in")
    # Expanded uncertainty, k = 2, in `unit`, as typed.
    uncertainty = models.CharField(max_length=20, default="0")
    calibration_due = models.DateField(null=True)
    withdrawn_at = models.DateTimeField(null=True)
    withdrawn_why = models.TextField(blank=True)

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


@sealed
class Calibration(models.Model):
    """One check of a gauge against something better."""

    gauge = models.ForeignKey(Gauge, on_delete=models.PROTECT, related_name="calibrations")
    done_on = models.DateField()
    due_on = models.DateField()
    reference = models.CharField(max_length=80, blank=True)
    uncertainty = models.CharField(max_length=20)
    record_position = models.PositiveIntegerField()
    by_stamp = models.CharField(max_length=30)

    class Meta:
        ordering = ["record_position"]
