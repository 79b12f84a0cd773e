"""Steel, filler and gas: what came with which certificate, what was cut from it, and into what it went."""

from __future__ import annotations

import uuid

from django.db import models

from housings.models.housings import Housing, Visit
from shopqc.append_only import sealed
from shopqc.models import Recorded


class Heat(Recorded):
    """A heat of steel, a lot of filler or a cylinder of gas, as it was received.

    ``number`` is the shop's name for it, unique, usually the heat number itself. ``composition``: mass
    percent as text by chemical symbol. ``certificate`` is the digest of the filed certificate,
    ``certificate_type`` by EN 10204 ("2.1", "2.2", "3.1", "3.2"). ``form``: tube, plate, bar, wire,
    rod, cylinder.
    """

    lock_rank, chain_kind, chain_key = 30, "heat", "number"

    STEEL, FILLER, GAS = "steel", "filler", "gas"

    number = models.CharField(max_length=40, unique=True)
    kind = models.CharField(max_length=8)
    grade = models.CharField(max_length=40)
    condition = models.CharField(max_length=40, blank=True)
    form = models.CharField(max_length=12, blank=True)
    size = models.CharField(max_length=60, blank=True)
    supplier = models.CharField(max_length=120, blank=True)
    quantity = models.CharField(max_length=60, blank=True)
    composition = models.JSONField(default=dict)
    certificate = models.CharField(max_length=64, blank=True)
    certificate_type = models.CharField(max_length=4, blank=True)
    note = models.TextField(blank=True)
    received_at = models.DateTimeField()
    received_by = models.CharField(max_length=30)
    recalled_at = models.DateTimeField(null=True)
    recalled_by = models.CharField(max_length=30, blank=True)
    recalled_why = models.TextField(blank=True)

    class Meta:
        ordering = ["number"]
        indexes = [models.Index(fields=["kind", "recalled_at"], name="heat_by_kind")]

    def __str__(self) -> str:
        return self.number


@sealed
class Piece(models.Model):
    """A piece that was cut, with its heat number copied to it before the cut.

    ``code`` is what is written on the piece; ``cut_from`` another piece, or the length as received if empty.
    """

    heat = models.ForeignKey(Heat, on_delete=models.PROTECT, related_name="pieces")
    code = models.CharField(max_length=50, unique=True)
    cut_from = models.ForeignKey("self", null=True, on_delete=models.PROTECT, related_name="cut")
    what = models.CharField(max_length=80)
    size = models.CharField(max_length=60, blank=True)
    number_copied = models.BooleanField()
    record_position = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.code


@sealed
class MaterialUse(models.Model):
    """A heat went into a part of a housing: scanned at the station that used it.

    ``part`` is a code of `housings.engineering.parts`. The newest entry of a part counts; one that corrects
    another names it and says why. ``piece`` where the piece was marked.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="materials")
    part = models.CharField(max_length=40)
    heat = models.ForeignKey(Heat, on_delete=models.PROTECT, related_name="uses")
    piece = models.ForeignKey(Piece, null=True, on_delete=models.PROTECT, related_name="uses")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="+")
    replaces = models.OneToOneField("self", null=True, on_delete=models.PROTECT, related_name="replaced_by")
    why = models.TextField(blank=True)
    record_position = models.PositiveIntegerField()
    index = models.PositiveIntegerField(default=0)
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)

    class Meta:
        ordering = ["record_position", "index"]
