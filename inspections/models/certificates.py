"""Sign-offs, the certificates they bring, and what becomes of those."""

from __future__ import annotations

from django.db import models

from housings.models import Housing
from shopqc.append_only import sealed
from shopqc.dispatch import Job

ISSUED, QUESTIONED, ANSWERED, REVOKED = "issued", "questioned", "answered", "revoked"


@sealed
class SignOff(models.Model):
    """An accountable person signed; the facts of that moment are frozen here as canonical text."""

    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="sign_offs")
    facts = models.TextField()
    facts_digest = models.CharField(max_length=64)
    record_position = models.PositiveIntegerField()
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)
    by_person = models.PositiveBigIntegerField()

    class Meta:
        ordering = ["at"]


@sealed
class Certificate(models.Model):
    """The number and the code under which a sign-off is proven to the customer."""

    housing = models.ForeignKey(Housing, on_delete=models.PROTECT, related_name="certificates")
    sign_off = models.OneToOneField(SignOff, on_delete=models.PROTECT, related_name="certificate")
    number = models.CharField(max_length=30, unique=True)
    code = models.CharField(max_length=26, unique=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["number"]

    def __str__(self) -> str:
        return self.number


@sealed
class CertificateEvent(models.Model):
    """Something that happened to a certificate; its status is what its events say."""

    certificate = models.ForeignKey(Certificate, on_delete=models.PROTECT, related_name="events")
    kind = models.CharField(max_length=12)
    file = models.CharField(max_length=64, blank=True)
    why = models.TextField(blank=True)
    at = models.DateTimeField()
    by_stamp = models.CharField(max_length=30)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            # A worker that finishes late cannot issue a second time.
            models.UniqueConstraint(
                fields=["certificate"], condition=models.Q(kind=ISSUED), name="issued_once"
            ),
            models.UniqueConstraint(
                fields=["certificate"], condition=models.Q(kind=REVOKED), name="revoked_once"
            ),
        ]


class IssueJob(Job):
    """The making of one certificate's file."""

    task = "inspections.issue_certificate"

    certificate = models.OneToOneField(Certificate, on_delete=models.PROTECT, related_name="job")
