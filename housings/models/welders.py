"""Who may weld what: qualifications, the use of a process, and doubts."""

from __future__ import annotations

from django.db import models

from shopqc.append_only import sealed
from shopqc.models import Person


@sealed
class Qualification(models.Model):
    """A welder's qualification, or a tester's for a method of testing welds.

    ``ranges`` is read by `housings.engineering.qualifications`: for welding ``process`` (ISO 4063),
    ``joints``, ``positions`` (ISO 6947), ``thickness`` and ``diameter`` with least and most in inches,
    ``backing``,
    ``filler_groups``; for testing ``method`` ("VT", "PT", "MT", by ISO 9712) and ``level``.
    """

    WELDING, TESTING = "welding", "testing"

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="qualifications")
    kind = models.CharField(max_length=8)
    reference = models.CharField(max_length=60)
    ranges = models.JSONField()
    tested_on = models.DateField()
    valid_until = models.DateField(null=True)
    examiner = models.CharField(max_length=120, blank=True)
    document = models.CharField(max_length=64, blank=True)
    record_position = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)

    class Meta:
        ordering = ["pk"]


@sealed
class QualificationEnd(models.Model):
    """A qualification that was withdrawn, and why."""

    qualification = models.OneToOneField(Qualification, on_delete=models.PROTECT, related_name="end")
    why = models.TextField()
    record_position = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)


@sealed
class ProcessUse(models.Model):
    """That somebody used a process on a day, confirmed by hand: what was welded before or elsewhere."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="process_uses")
    process = models.CharField(max_length=10)
    used_on = models.DateField()
    what = models.CharField(max_length=200)
    record_position = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)

    class Meta:
        ordering = ["used_on"]


class WelderDoubt(models.Model):
    """A recorded doubt about somebody's welding: it suspends them until it is answered."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="welding_doubts")
    # ISO 4063; empty = every process.
    process = models.CharField(max_length=10, blank=True)
    why = models.TextField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)
    answered_at = models.DateTimeField(null=True)
    answered_by = models.CharField(max_length=30, blank=True)
    answer = models.TextField(blank=True)

    class Meta:
        ordering = ["at"]
