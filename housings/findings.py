"""What is found and proven, asked and written from below: inspections import housings, so settings name it.

``settings.NONCONFORMANCE_OPENER`` names a function with the parameters of `open_nonconformance`,
``settings.CERTIFICATE_QUESTIONER`` one with those of `question_certificate`, ``settings.STEEL_ACCEPTED`` one
with those of `wrong_steel_accepted_at`.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable

from django.conf import settings
from django.utils.module_loading import import_string

from housings.models import Housing, Visit
from shopqc.operation import Run


def open_nonconformance(
    run: Run, housing: Housing, visit: Visit | None, what: str, *, defect: str = "other", major: bool = False
) -> int:
    """Open a nonconformance and answer its number. Part of an operation that holds the housing."""
    opener: Callable[..., int] = import_string(settings.NONCONFORMANCE_OPENER)
    return opener(run, housing, visit, what, defect=defect, major=major)


def question_certificate(run: Run, housing: Housing, why: str) -> list[str]:
    """Put the certificate of a housing under question; its number, or none if there is none that counts.

    Part of an operation that holds the housing.
    """
    questioner: Callable[..., list[str]] = import_string(settings.CERTIFICATE_QUESTIONER)
    return questioner(run, housing, why)


def wrong_steel_accepted_at(housing: Housing) -> datetime.datetime | None:
    """When somebody who may last decided that steel of a housing which is not as asked is used as it is."""
    asked: Callable[..., datetime.datetime | None] = import_string(settings.STEEL_ACCEPTED)
    return asked(housing)
