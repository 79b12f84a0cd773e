"""The housing as a map: each place with how what is measured there stands."""

from __future__ import annotations

from collections.abc import Mapping

from django.urls import reverse
from django.utils.translation import gettext as _

from inspections import wording
from inspections.models import Characteristic
from inspections.pictures import Mark, Picture, housing_picture, place_of
from inspections.pictures.housing import NAMES, worst_of
from inspections.queries import Measured
from inspections.standing import Standing

# Fewer figures than this make no picture: without them a housing cannot be drawn.
NEEDED = ("tube_od", "snout_size", "width")


def place(characteristic: Characteristic) -> str:
    """The place of a characteristic on the map."""
    return place_of(characteristic.code, characteristic.part)


def by_place(measured: Measured) -> Mapping[str, list[Standing]]:
    """How everything stands, by place from left to right; places where nothing is measured are left out."""
    found: dict[str, list[Standing]] = {name: [] for name in NAMES}
    for characteristic in measured.characteristics:
        found[place(characteristic)].append(measured.standings[characteristic.pk])
    return {name: standings for name, standings in found.items() if standings}


def map_of(measured: Measured) -> Picture | None:
    """The housing with its marks, each of them a link; ``None`` where nothing is to be measured."""
    spec = measured.housing.spec.data
    places = by_place(measured)
    if not places or any(spec.get(name) is None for name in NEEDED):
        return None
    serial = measured.housing.serial
    marks = {
        name: _mark(standings, reverse("place", args=[serial, name])) for name, standings in places.items()
    }
    return housing_picture(spec, marks)


def _mark(standings: list[Standing], href: str) -> Mark:
    enough = sum(standing.is_enough for standing in standings)
    states = [wording.MARKS.get(standing.state, "open") for standing in standings]
    says = _("%(enough)s of %(count)s stand") % {"enough": enough, "count": len(standings)}
    failing = states.count("fail")
    if failing:
        says += _(", %(count)s fail") % {"count": failing}
    return Mark(worst_of(states), f"{enough}/{len(standings)}", says, href)
