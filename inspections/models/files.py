"""What is remembered of the files that a shop's instruments write."""

from __future__ import annotations

from django.db import models


class FileColumns(models.Model):
    """Which column is what in files with these headings, as somebody chose it: it is asked once.

    ``shape`` is what the file was taken for (`inspections.probe_files.Shape`), ``headings`` the digest of its
    headings. No fact about a housing: what was recorded from a file stands in its readings.
    """

    shape = models.CharField(max_length=20)
    headings = models.CharField(max_length=64)
    choices = models.JSONField()
    chosen_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["shape", "headings"], name="one_choice_of_columns_per_headings")
        ]

    def __str__(self) -> str:
        return f"{self.shape} {self.headings[:8]}"
