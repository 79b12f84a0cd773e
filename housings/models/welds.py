"""What happened at a joint: the arc, weld passes, temperatures between them, and the watch for fire."""

from __future__ import annotations

import uuid

from django.db import models

from housings.models.housings import Housing, Visit
from housings.models.joints import Joint
from housings.models.materials import Heat
from housings.models.procedures import ProcedureRevision
from shopqc.append_only import sealed
from shopqc.models import Person


@sealed
class JointTemperature(models.Model):
    """How hot a joint was: a figure, or what a crayon said. It says whether the arc may start again.

    With ``crayon`` "above" (it melted) or "below" (it did not), ``value`` is the crayon's temperature.
    ``place``: "stop" (where the last pass stopped), "start", "beside", "away" (3 in from the weld), "other".
    ``after_pass``: how many passes the joint had. ``simulated``: from the thermometer that is only pretended.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="joint_temperatures")
    joint = models.ForeignKey(Joint, on_delete=models.PROTECT, related_name="temperatures")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="+")
    value = models.CharField(max_length=20)
    unit = models.CharField(max_length=1)
    crayon = models.CharField(max_length=5, blank=True)
    place = models.CharField(max_length=10)
    thermometer = models.CharField(max_length=20, blank=True)
    after_pass = models.PositiveIntegerField()
    simulated = models.BooleanField(default=False)
    record_position = models.PositiveIntegerField()
    # Several come with one line, such as two crayons; their order in it.
    index = models.PositiveIntegerField(default=0)
    done_at = models.DateTimeField()
    received_at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)
    by_person = models.PositiveBigIntegerField(null=True)

    class Meta:
        ordering = ["record_position", "index"]


@sealed
class WeldPass(models.Model):
    """One weld pass, or one weld of those that are counted. It moves metal, as `WorkDone` does.

    ``number`` counts the passes of the joint, from 1. ``repair`` is the number of the repair it belongs to, 0
    if none. ``figures`` as `JointSettings`, empty where the joint's settings were meant; ``heat_input`` is
    computed, kJ/mm, as the procedure means it. ``released_by`` is the temperature that let the arc start.
    ``outside`` says what was outside the procedure, each with code and words; ``nonconformance`` is the
    number that was opened for it. ``stop_at`` is the hour of the clock where the pass stopped, seen
    from the end.
    ``done_at`` is the end of the arc.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="weld_passes")
    joint = models.ForeignKey(Joint, on_delete=models.PROTECT, related_name="passes")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="weld_passes")
    station = models.CharField(max_length=40)
    number = models.PositiveIntegerField()
    repair = models.PositiveIntegerField(default=0)
    procedure = models.ForeignKey(ProcedureRevision, null=True, on_delete=models.PROTECT, related_name="+")
    figures = models.JSONField(default=dict)
    heat_input = models.CharField(max_length=20, blank=True)
    filler = models.ForeignKey(Heat, null=True, on_delete=models.PROTECT, related_name="filler_passes")
    gas = models.ForeignKey(Heat, null=True, on_delete=models.PROTECT, related_name="gas_passes")
    released_by = models.ForeignKey(
        JointTemperature, null=True, on_delete=models.PROTECT, related_name="released"
    )
    stop_at = models.CharField(max_length=2, blank=True)
    outside = models.JSONField(default=list)
    nonconformance = models.PositiveIntegerField(null=True)
    note = models.TextField(blank=True)
    record_position = models.PositiveIntegerField()
    begun_at = models.DateTimeField(null=True)
    done_at = models.DateTimeField()
    received_at = models.DateTimeField()
    # Whose weld it is; somebody else may have typed it in.
    welder = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="weld_passes")
    by_stamp = models.CharField(max_length=30)
    by_person = models.PositiveBigIntegerField(null=True)

    class Meta:
        ordering = ["record_position"]
        indexes = [
            models.Index(fields=["joint", "number"], name="weld_pass_by_number"),
            models.Index(fields=["welder", "done_at"], name="weld_pass_by_welder"),
            models.Index(fields=["done_at"], name="weld_pass_by_end_of_arc"),
        ]


@sealed
class PassTakenBack(models.Model):
    """A weld pass that never was: a second tap, or the wrong joint. The pass stays on record beside it."""

    weld_pass = models.OneToOneField(WeldPass, on_delete=models.PROTECT, related_name="taken_back")
    why = models.TextField()
    record_position = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)


class Arc(models.Model):
    """Somebody is welding: the arc of a pass that was begun and has not ended. A welder has one at a time."""

    joint = models.ForeignKey(Joint, on_delete=models.PROTECT, related_name="arcs")
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="arcs")
    number = models.PositiveIntegerField()
    welder = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="arcs")
    released_by = models.ForeignKey(JointTemperature, null=True, on_delete=models.PROTECT, related_name="+")
    begun_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    # "pass": a pass came of it; "dropped": it was begun by mistake.
    ended = models.CharField(max_length=8, blank=True)

    class Meta:
        ordering = ["begun_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["welder"], condition=models.Q(ended_at=None), name="one_arc_per_welder"
            ),
            models.UniqueConstraint(
                fields=["joint"], condition=models.Q(ended_at=None), name="one_arc_per_joint"
            ),
        ]


@sealed
class FireWatch(models.Model):
    """Somebody watched for fire after the last arc, until ``watched_until``, and what was found."""

    last_arc_at = models.DateTimeField()
    watched_until = models.DateTimeField()
    found = models.TextField(blank=True)
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)

    class Meta:
        ordering = ["at"]


class CoolingLearned(models.Model):
    """What the cooling of stored joints has taught about a kind of joint; can be computed again any time."""

    kind = models.CharField(max_length=20, unique=True)
    prior = models.JSONField()
    joints = models.PositiveIntegerField()
    learned_at = models.DateTimeField()
