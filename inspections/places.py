"""The places of this app that the home page and the head of every page name."""

from __future__ import annotations

from django.urls import reverse
from django.utils.translation import gettext as _

from shopqc.models import Person
from shopqc.people import ENGINEER, OWNER, QC_LEAD
from shopqc.places import Place

DESK = (QC_LEAD, ENGINEER, OWNER)


def places(person: Person) -> list[Place]:
    """Where this person may go."""
    nonconformances = Place(
        reverse("nonconformances"), _("Nonconformances"), _("What was found wrong and waits for a decision.")
    )
    gauges = Place(
        reverse("gauges"), _("Gauges"), _("What to measure with, and when each is due for a check.")
    )
    if not person.has_role(*DESK):
        return [nonconformances, gauges]
    first_hour = Place(reverse("first-questions"), _("The first hour"), _("Eight questions set the shop up."))
    return [
        *([first_hour] if person.has_role(OWNER) else []),
        nonconformances,
        Place(reverse("sign-offs"), _("Sign-offs"), _("What waits for a signature, and what is in the way.")),
        Place(
            reverse("weld-tests"), _("Weld tests"), _("Which welds wait for their test, each with its clock.")
        ),
        Place(reverse("certificates"), _("Certificates"), _("What was proven; revoking it.")),
        gauges,
        Place(reverse("plans"), _("Plans"), _("What is measured, where, within which limits.")),
    ]
