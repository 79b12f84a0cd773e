"""The file of a certificate, as the worker made it; or why there is none."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from inspections.models import Certificate, IssueJob
from inspections.models.certificates import ISSUED
from inspections.queries import event
from shopqc import files
from shopqc.refusals import refuse, register

register(
    409,
    {
        "certificate_being_made": _(
            "The file of certificate %(number)s is being made. Ask again in a few seconds."
        ),
        "certificate_set_aside": _(
            "The file of certificate %(number)s could not be made, and no further try is due. "
            "The QC lead can have it made again."
        ),
        "certificate_file_gone": _(
            "The file of certificate %(number)s is not in the file store as it was made. Tell the shop; its "
            "facts are kept apart and can still be read."
        ),
    },
)


def file_of(certificate: Certificate) -> bytes:
    """The PDF of a certificate, checked against the digest of its issuing.

    Raises
    ------
    Refused
        It is not made yet, could not be made, or is not what it was.
    """
    issued = event(certificate, ISSUED)
    if issued is None:
        aside = certificate.job.state == IssueJob.ASIDE
        code = "certificate_set_aside" if aside else "certificate_being_made"
        raise refuse(code, number=certificate.number)
    try:
        return files.read(issued.file)
    except (OSError, ValueError):
        raise refuse("certificate_file_gone", number=certificate.number) from None
