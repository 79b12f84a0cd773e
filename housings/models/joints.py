"""The joints of a housing, by which procedure each is welded, and how it was fitted and set up."""

from __future__ import annotations

import uuid

from django.db import models

from housings.models.housings import Housing, Visit
from housings.models.materials import Heat
from housings.models.procedures import ProcedureRevision
from shopqc.append_only import sealed


@sealed
class Joint(models.Model):
    """One joint of one housing, resolved from its build spec (`housings.engineering.joints`).

    ``count`` is how many welds it is made of, for what is counted: rosettes, washers, three at each rib; each
    of them is one weld pass. ``is_multipass``: it takes several passes one over the other, with cooling
    between them. Lengths in inches.
    """

    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="joints")
    number = models.PositiveIntegerField()
    code = models.CharField(max_length=40)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=20)
    station = models.CharField(max_length=40)
    side = models.CharField(max_length=5, blank=True)
    count = models.PositiveIntegerField(default=1)
    is_multipass = models.BooleanField(default=False)
    # The two steels, and what of the pieces decides which procedure reaches them.
    grade_a = models.CharField(max_length=40)
    grade_b = models.CharField(max_length=40)
    thickness = models.CharField(max_length=20, blank=True)
    diameter = models.CharField(max_length=20, blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [models.UniqueConstraint(fields=["housing", "code"], name="one_joint_per_code")]

    def __str__(self) -> str:
        return self.name


@sealed
class JointProcedure(models.Model):
    """By which procedure a joint is welded; the newest counts. It may be empty: none reaches it."""

    joint = models.ForeignKey(Joint, on_delete=models.PROTECT, related_name="procedures")
    procedure = models.ForeignKey(
        ProcedureRevision, null=True, on_delete=models.PROTECT, related_name="joints"
    )
    why = models.TextField(blank=True)
    record_position = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)

    class Meta:
        ordering = ["pk"]


@sealed
class FitUp(models.Model):
    """What was found before the root: the hold point of a joint.

    ``figures`` as typed: ``gap``, ``land``, ``mismatch``, ``bevel`` with ``length_unit``, and ``clean``,
    ``purged``, ``preheated`` as "yes" or "no". ``outside`` says what is not as the procedure asks; with any
    the fit-up is not accepted. The newest counts. ``tacked_by`` is a stamp.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="fit_ups")
    joint = models.ForeignKey(Joint, on_delete=models.PROTECT, related_name="fit_ups")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="+")
    figures = models.JSONField(default=dict)
    outside = models.JSONField(default=list)
    accepted = models.BooleanField()
    tacked_by = models.CharField(max_length=30, blank=True)
    note = models.TextField(blank=True)
    record_position = models.PositiveIntegerField()
    done_at = models.DateTimeField()
    received_at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)
    by_person = models.PositiveBigIntegerField(null=True)

    class Meta:
        ordering = ["record_position"]


@sealed
class JointSettings(models.Model):
    """How the machine is set for a joint, said once; the newest counts for every pass that says nothing else.

    ``figures`` as typed: ``volts``, ``amps``, ``travel`` with ``travel_unit`` ("in/min", "mm/s"),
    ``gas_flow``, ``purge_flow`` with ``flow_unit``, ``position`` (ISO 6947). ``each_pass`` says why
    every pass is to be
    recorded with all its numbers: "first article", "procedure test", "audit"; empty = one tap is enough.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="joint_settings")
    joint = models.ForeignKey(Joint, on_delete=models.PROTECT, related_name="settings")
    figures = models.JSONField(default=dict)
    outside = models.JSONField(default=list)
    filler = models.ForeignKey(Heat, null=True, on_delete=models.PROTECT, related_name="+")
    gas = models.ForeignKey(Heat, null=True, on_delete=models.PROTECT, related_name="+")
    each_pass = models.CharField(max_length=40, blank=True)
    record_position = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)
    by_person = models.PositiveBigIntegerField(null=True)

    class Meta:
        ordering = ["record_position"]
