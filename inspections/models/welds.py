"""Whether a weld is accepted: looks, tests, repairs."""

from __future__ import annotations

import uuid

from django.db import models

from housings.models import Housing, Joint, ProcedureRevision, Visit
from inspections.models.nonconformances import Nonconformance
from shopqc.append_only import sealed


@sealed
class WeldLook(models.Model):
    """A joint was looked at.

    ``stage``: "root" (before the next pass covers it), "covered" (before something else does), "final" (the
    finished weld), "cavity" (dug out, before it is welded again). ``level`` is the quality level of ISO 5817
    that was asked. ``findings``: imperfections by ISO 6520-1 number, each with ``number``, ``size`` and
    ``unit`` as typed or empty, ``where``, ``limit`` and ``verdict``; none = nothing found.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="weld_looks")
    joint = models.ForeignKey(Joint, on_delete=models.PROTECT, related_name="looks")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="+")
    stage = models.CharField(max_length=8)
    after_pass = models.PositiveIntegerField()
    repair = models.PositiveIntegerField(default=0)
    level = models.CharField(max_length=1, blank=True)
    findings = models.JSONField(default=list)
    accepted = models.BooleanField()
    nonconformance = models.ForeignKey(
        Nonconformance, null=True, on_delete=models.PROTECT, related_name="weld_looks"
    )
    note = models.TextField(blank=True)
    record_position = models.PositiveIntegerField()
    done_at = models.DateTimeField()
    received_at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)
    by_person = models.PositiveBigIntegerField(null=True)

    class Meta:
        ordering = ["record_position"]


@sealed
class WeldTest(models.Model):
    """A joint was tested: dye penetrant ("PT") or magnetic particles ("MT"), by ISO 9712.

    ``cold_at`` is since when the joint was cold, ``waited_hours`` what lay between that and the test, by what
    was on record. ``how``: what the method needs besides, as typed: batch, light, dwell, field,
    ``demagnetised``. ``tester`` is a stamp, or the name of somebody from outside with ``certificate`` and
    ``certified_until``.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="weld_tests")
    joint = models.ForeignKey(Joint, on_delete=models.PROTECT, related_name="tests")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="+")
    method = models.CharField(max_length=4)
    level = models.CharField(max_length=1, blank=True)
    how = models.JSONField(default=dict)
    findings = models.JSONField(default=list)
    accepted = models.BooleanField()
    nonconformance = models.ForeignKey(
        Nonconformance, null=True, on_delete=models.PROTECT, related_name="weld_tests"
    )
    cold_at = models.DateTimeField(null=True)
    waited_hours = models.CharField(max_length=12, blank=True)
    tester = models.CharField(max_length=80)
    tester_level = models.CharField(max_length=2)
    certificate = models.CharField(max_length=60, blank=True)
    certified_until = models.DateField(null=True)
    document = models.CharField(max_length=64, blank=True)
    note = models.TextField(blank=True)
    record_position = models.PositiveIntegerField()
    done_at = models.DateTimeField()
    received_at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)
    by_person = models.PositiveBigIntegerField(null=True)

    class Meta:
        ordering = ["record_position"]


@sealed
class WeldRepair(models.Model):
    """A joint is dug out and welded again, by a procedure of repairing; counted by joint, from 1.

    Its cavity is looked at (`WeldLook` of stage "cavity") before a pass of it is welded.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="weld_repairs")
    joint = models.ForeignKey(Joint, on_delete=models.PROTECT, related_name="repairs")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="+")
    number = models.PositiveIntegerField()
    nonconformance = models.ForeignKey(Nonconformance, on_delete=models.PROTECT, related_name="weld_repairs")
    procedure = models.ForeignKey(ProcedureRevision, null=True, on_delete=models.PROTECT, related_name="+")
    # As typed: how it was dug out, how deep, how long, and at which hour of the clock.
    how = models.JSONField(default=dict)
    credential = models.CharField(max_length=200, blank=True)
    record_position = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)

    class Meta:
        ordering = ["record_position"]
        constraints = [models.UniqueConstraint(fields=["joint", "number"], name="one_repair_per_number")]
