"""What was found wrong, and what was decided about it."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from housings.models import Housing, Visit
from inspections.models.plans import Characteristic
from inspections.models.readings import Reading
from shopqc.append_only import sealed

REWORK, REPAIR, USE_AS_IS, SCRAP, ENTRY_ERROR = "rework", "repair", "use_as_is", "scrap", "entry_error"
DECISIONS = {
    REWORK: _("rework"),
    REPAIR: _("repair"),
    USE_AS_IS: _("use as is"),
    SCRAP: _("scrap"),
    ENTRY_ERROR: _("entry error"),
}
CRACK, LACK_OF_FUSION, WRONG_STEEL, OTHER = "crack", "lack_of_fusion", "wrong_steel", "other"
DEFECTS = {
    CRACK: _("crack"),
    LACK_OF_FUSION: _("lack of fusion"),
    WRONG_STEEL: _("wrong steel"),
    OTHER: _("something else"),
}
ALWAYS_MAJOR = frozenset({CRACK, LACK_OF_FUSION, WRONG_STEEL})


@sealed
class Nonconformance(models.Model):
    """Something of a housing that is not as it was asked for; open until it has a disposition."""

    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="nonconformances")
    number = models.PositiveIntegerField()
    characteristic = models.ForeignKey(Characteristic, null=True, on_delete=models.PROTECT, related_name="+")
    reading = models.ForeignKey(Reading, null=True, on_delete=models.PROTECT, related_name="nonconformances")
    visit = models.ForeignKey(Visit, null=True, on_delete=models.PROTECT, related_name="+")
    defect = models.CharField(max_length=20, blank=True)
    what = models.TextField()
    severity = models.CharField(max_length=6)
    raised_at = models.DateTimeField()
    raised_by = models.CharField(max_length=30)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["housing", "number"], name="one_nonconformance_per_number")
        ]

    def __str__(self) -> str:
        return f"nonconformance {self.number} of this housing"

    @property
    def decision(self) -> Disposition | None:
        """The disposition, if there is one."""
        return getattr(self, "disposition", None)

    @property
    def is_open(self) -> bool:
        return self.decision is None


@sealed
class Disposition(models.Model):
    """What somebody who may has decided about a nonconformance; decided once."""

    nonconformance = models.OneToOneField(
        Nonconformance, on_delete=models.PROTECT, related_name="disposition"
    )
    kind = models.CharField(max_length=12)
    reason = models.TextField()
    replaced_by = models.ForeignKey(Reading, null=True, on_delete=models.PROTECT, related_name="+")
    concession = models.CharField(max_length=64, blank=True)
    credential = models.CharField(max_length=200, blank=True)
    record_position = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)

    @property
    def words(self) -> str:
        return str(DECISIONS[self.kind])
