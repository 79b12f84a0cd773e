"""The places of this app that the home page and the head of every page name."""

from __future__ import annotations

from django.urls import reverse
from django.utils.translation import gettext as _

from shopqc.models import Person
from shopqc.people import ENGINEER, OWNER, QC_LEAD
from shopqc.places import Place

ORDERS = (OWNER, QC_LEAD)
ROUTES = (OWNER, QC_LEAD, ENGINEER)


def places(person: Person) -> list[Place]:
    """Where this person may go."""
    found = [
        Place(reverse("housings"), _("Housings"), _("Where each one is, and what is in its way.")),
        Place(reverse("bench-clock"), _("Bench clock"), _("Which joint may be welded now, and until when.")),
        Place(
            reverse("heats"), _("Steel"), _("Steel, filler and gas: certificates, pieces, where each went.")
        ),
    ]
    found.append(Place(reverse("procedures"), _("Procedures"), _("How each joint is welded.")))
    if person.has_role(*ROUTES):
        found.append(Place(reverse("welders"), _("Welders"), _("Who may weld and test what, until when.")))
    if person.has_role(*ORDERS):
        found.append(Place(reverse("orders"), _("Orders"), _("What is ordered, and placing an order.")))
    if person.has_role(*ROUTES):
        found.append(Place(reverse("routes"), _("Routes"), _("Which stations, in which order.")))
    if person.has_role(QC_LEAD, OWNER):
        found.append(Place(reverse("away"), _("Away"), _("What is at a supplier, and what is overdue.")))
    return found
