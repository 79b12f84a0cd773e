"""Paper that takes too long for a request: many travelers at once, and the nightly paper pack."""

from __future__ import annotations

from django.db import models

from shopqc.dispatch import Job


class PaperJob(Job):
    """The making of one PDF.

    ``name`` is what it is for, once: the pack of a day, or one asking for travelers. ``asked`` holds the
    serials (empty for a pack until it is begun) and how they are printed; ``parts`` the travelers that are
    made already, so that a worker that was killed is followed by one that goes on. ``file`` is the digest of
    what came out, ``facts`` what is said of it.
    """

    TRAVELERS, PACK = "travelers", "pack"

    task = "housings.make_paper"

    kind = models.CharField(max_length=10)
    name = models.CharField(max_length=100, unique=True)
    asked = models.JSONField(default=dict)
    asked_at = models.DateTimeField()
    asked_by = models.CharField(max_length=30)
    parts = models.JSONField(default=list)
    file = models.CharField(max_length=64, blank=True)
    facts = models.JSONField(default=dict)
    made_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def is_made(self) -> bool:
        return self.state == self.DONE
