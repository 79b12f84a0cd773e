"""The places a person can go to; each app registers its own by a function that settings name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.conf import settings
from django.urls import reverse
from django.utils.module_loading import import_string
from django.utils.translation import gettext as _

from shopqc.models import Person
from shopqc.people import OWNER, QC_LEAD

SHOP = (OWNER, QC_LEAD)


@dataclass(frozen=True)
class Place:
    """An entry of the head of every page and of the home page."""

    url: str
    name: str
    what: str = ""
    here: bool = False


def places_of(person: Person) -> list[Place]:
    """Every place of a person, in the order in which settings name the apps."""
    found: list[Place] = []
    for name in settings.HOME_PLACES:
        of_app: Callable[[Person], list[Place]] = import_string(name)
        found += of_app(person)
    return found


def places(person: Person) -> list[Place]:
    """The places of the shop as a whole; people, devices, keys and customers are reached from there."""
    if not person.has_role(*SHOP):
        return []
    return [Place(reverse("settings"), _("The shop"), _("Its words, rules, people, customers, devices."))]
