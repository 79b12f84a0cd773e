"""Welding procedures (WPS): how a joint is welded, as somebody who may has published it."""

from __future__ import annotations

from django.db import models

from shopqc.append_only import sealed


class ProcedureDraft(models.Model):
    """A procedure that somebody is writing; it binds nobody until it is published."""

    name = models.CharField(max_length=40)
    copied_from = models.ForeignKey(
        "ProcedureRevision", null=True, on_delete=models.PROTECT, related_name="+"
    )
    data = models.JSONField(default=dict)
    note = models.TextField(blank=True)
    begun_at = models.DateTimeField()
    kept_at = models.DateTimeField()
    kept_by = models.CharField(max_length=30)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["-kept_at"]

    def __str__(self) -> str:
        return self.name


@sealed
class ProcedureRevision(models.Model):
    """One revision of a procedure; ``data`` is read by `housings.engineering.procedures.procedure_from`.

    ``document`` is the digest of the filed procedure or of its qualification record.
    """

    name = models.CharField(max_length=40)
    number = models.PositiveIntegerField()
    data = models.JSONField()
    document = models.CharField(max_length=64, blank=True)
    note = models.TextField(blank=True)
    published_at = models.DateTimeField()
    published_by = models.CharField(max_length=30)

    class Meta:
        ordering = ["name", "-number"]
        constraints = [models.UniqueConstraint(fields=["name", "number"], name="one_procedure_per_number")]

    def __str__(self) -> str:
        return f"{self.name} {self.number}"
