"""Readings: what the gauge said, and what that meant when it was said."""

from __future__ import annotations

import uuid

from django.db import models

from housings.models import Housing, Visit
from inspections.models.gauges import Gauge, GaugeDoubt
from inspections.models.plans import Characteristic
from shopqc.append_only import sealed

PASS, FAIL, UNDECIDED = "pass", "fail", "undecided"


@sealed
class Reading(models.Model):
    """One measuring of one characteristic.

    ``raw`` is kept as it was typed; ``value`` and ``verdict`` are what
    ``engine`` made of it, with the limits, the gauge and the rule of that
    moment. ``setup`` is how the part was held and what else took part, as it was
    said; ``basis`` the figures of gauge, bar, master and temperature that went
    into it, frozen, so that it can be computed again. ``paper`` is the digest of
    the photograph of a page it was copied from, ``measured_by`` whom that page
    names. ``stands_from`` is the place in the record from which the reading
    counts: its own, or, for one that was made before and came in late, the
    last place its device had seen.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="readings")
    characteristic = models.ForeignKey(Characteristic, on_delete=models.PROTECT, related_name="readings")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="readings")
    station = models.CharField(max_length=40)
    raw = models.JSONField()
    value = models.CharField(max_length=60, blank=True)
    detail = models.JSONField(default=dict)
    lower = models.CharField(max_length=30, null=True)
    upper = models.CharField(max_length=30, null=True)
    verdict = models.CharField(max_length=10)
    rule = models.CharField(max_length=12)
    uncertainty = models.CharField(max_length=30, blank=True)
    engine = models.CharField(max_length=12)
    gauge = models.ForeignKey(Gauge, null=True, on_delete=models.PROTECT, related_name="readings")
    gauge_due = models.DateField(null=True)
    temperature = models.CharField(max_length=20, blank=True)
    temperature_unit = models.CharField(max_length=1, blank=True)
    setup = models.JSONField(default=dict)
    basis = models.JSONField(default=dict)
    paper = models.CharField(max_length=64, blank=True)
    measured_by = models.CharField(max_length=30, blank=True)
    seen_position = models.PositiveIntegerField()
    record_position = models.PositiveIntegerField()
    stands_from = models.PositiveIntegerField()
    place = models.PositiveIntegerField(default=0)
    done_at = models.DateTimeField()
    received_at = models.DateTimeField()
    replaces = models.OneToOneField("self", null=True, on_delete=models.PROTECT, related_name="replaced_by")
    reason = models.TextField(blank=True)
    by_stamp = models.CharField(max_length=30)
    by_person = models.PositiveBigIntegerField(null=True)

    # Columns that came after the first rows: those rows are recorded without them (`shopqc.ledger`).
    added_later = ("basis", "measured_by", "paper", "setup")

    class Meta:
        ordering = ["record_position", "place"]
        indexes = [models.Index(fields=["housing", "record_position"], name="reading_by_place_in_record")]

    def __str__(self) -> str:
        return f"{self.value or self.raw} {self.verdict}"

    @property
    def order_key(self) -> tuple[int, int, int]:
        """Which of two readings of one thing is the later."""
        return (self.stands_from, self.record_position, self.place)


@sealed
class ReadingDoubt(models.Model):
    """A reading whose verdict is another one, now that the gauge is known to have been wrong."""

    doubt = models.ForeignKey(GaugeDoubt, on_delete=models.PROTECT, related_name="readings")
    reading = models.ForeignKey(Reading, on_delete=models.PROTECT, related_name="doubts")
    value = models.CharField(max_length=60, blank=True)
    verdict = models.CharField(max_length=10)
    # That the feature is within its limits, from the corrected value and its uncertainty.
    probability = models.CharField(max_length=20, blank=True)
    # Of the line in the housing's chain: what was decided before it, was decided about the other verdict.
    record_position = models.PositiveIntegerField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["doubt", "reading"], name="one_doubt_per_reading_and_check")
        ]


class EntryDraft(models.Model):
    """What somebody had typed of a measuring when they were interrupted; it is offered again."""

    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="+")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="+")
    code = models.CharField(max_length=60)
    person = models.ForeignKey("shopqc.Person", on_delete=models.PROTECT, related_name="+")
    typed = models.JSONField()
    kept_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["housing", "visit", "code", "person"], name="one_draft_per_person_and_measuring"
            )
        ]
