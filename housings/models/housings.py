"""A housing, the visits it is planned to make, the work done there, and what holds it."""

from __future__ import annotations

import uuid

from django.db import models

from housings import states
from housings.engineering import serials
from housings.engineering.stations import STATIONS, Station
from housings.models.orders import BuildSpec, Order
from housings.models.routes import RouteRevision
from shopqc.append_only import sealed
from shopqc.models import Recorded


class Housing(Recorded):
    """One welded axle housing with a number of its own."""

    lock_rank, chain_kind, chain_key = 20, "housing", "serial"

    serial = models.CharField(max_length=20, unique=True)
    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="housings")
    spec = models.ForeignKey(BuildSpec, on_delete=models.PROTECT, related_name="housings")
    route = models.ForeignKey(RouteRevision, on_delete=models.PROTECT, related_name="+")
    state = models.CharField(max_length=12, default=states.RELEASED)
    released_at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["state"], name="housing_by_state")]

    def __str__(self) -> str:
        return self.serial

    @property
    def of_customer(self) -> int:
        return self.order.customer_id

    @property
    def serial_grouped(self) -> str:
        """The serial for people's eyes, check characters apart."""
        return serials.grouped(self.serial)


class Visit(models.Model):
    """One stay of a housing at one station: planned from the route or put in between."""

    PLANNED, REWORK, MEASURE, EXTRA = "planned", "rework", "measure", "extra"

    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="visits")
    number = models.PositiveIntegerField()
    sequence = models.PositiveIntegerField()
    group = models.PositiveIntegerField(null=True)
    station = models.CharField(max_length=40)
    kind = models.CharField(max_length=10, default=PLANNED)
    why = models.TextField(blank=True)
    state = models.CharField(max_length=10, default=states.AHEAD)
    arrived_at = models.DateTimeField(null=True)
    arrived_by = models.CharField(max_length=30, blank=True)
    left_at = models.DateTimeField(null=True)
    left_by = models.CharField(max_length=30, blank=True)
    # Its leaving's place in the housing's chain: what comes in for the visit later was measured before it.
    left_position = models.PositiveIntegerField(null=True)

    class Meta:
        ordering = ["sequence"]
        constraints = [
            models.UniqueConstraint(fields=["housing", "number"], name="one_visit_per_number"),
            models.UniqueConstraint(
                fields=["housing"], condition=models.Q(state=states.HERE), name="a_housing_is_in_one_place"
            ),
        ]
        indexes = [models.Index(fields=["station", "state"], name="visit_by_station")]

    def __str__(self) -> str:
        return f"visit {self.number} at {self.station}"

    @property
    def at(self) -> Station:
        """The station, from the catalogue."""
        return STATIONS[self.station]


@sealed
class WorkDone(models.Model):
    """The moment that moved metal: the work of a visit was done.

    ``record_position`` is its place in the housing's chain; what was measured
    before it is kept and does not stand any more.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="work_done")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="work_done")
    station = models.CharField(max_length=40)
    record_position = models.PositiveIntegerField()
    note = models.TextField(blank=True)
    # What this station's work has besides: where it was pressed and how hard, the chart of a furnace.
    details = models.JSONField(default=dict)
    done_at = models.DateTimeField()
    received_at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)
    by_person = models.PositiveBigIntegerField(null=True)

    # Columns that came after the first rows: those rows are recorded without them (`shopqc.ledger`).
    added_later = ("details",)

    class Meta:
        ordering = ["record_position"]


class Hold(models.Model):
    """Something that keeps a housing where it is until somebody who may releases it."""

    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="holds")
    number = models.PositiveIntegerField()
    why = models.TextField()
    placed_at = models.DateTimeField()
    placed_by = models.CharField(max_length=30)
    released_at = models.DateTimeField(null=True)
    released_by = models.CharField(max_length=30, blank=True)
    release_why = models.TextField(blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [models.UniqueConstraint(fields=["housing", "number"], name="one_hold_per_number")]


class Away(models.Model):
    """A stay at a supplier during a visit: sent, came back, with the supplier's certificate of conformity.

    ``condition`` is how it came back, ``conformity`` the digest of the supplier's filed certificate.
    ``recalled_why``: it was never really away; what was recorded as sent was a mistake.
    """

    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="away")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="away")
    number = models.PositiveIntegerField()
    supplier = models.CharField(max_length=120)
    reference = models.CharField(max_length=60, blank=True)
    expected_on = models.DateField(null=True)
    sent_at = models.DateTimeField()
    sent_by = models.CharField(max_length=30)
    back_at = models.DateTimeField(null=True)
    back_by = models.CharField(max_length=30, blank=True)
    condition = models.TextField(blank=True)
    conformity = models.CharField(max_length=64, blank=True)
    recalled_why = models.TextField(blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["housing", "number"], name="one_stay_away_per_number"),
            models.UniqueConstraint(
                fields=["housing"], condition=models.Q(back_at=None), name="away_at_one_supplier"
            ),
        ]
