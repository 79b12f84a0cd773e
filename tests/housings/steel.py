"""Heats of an invented mill, and putting them into housings."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from housings.engineering.parts import parts_of
from housings.engineering.spec import spec_from
from housings.models import Heat, Housing, MaterialUse
from housings.operations.materials import receive_heat, use_material
from housings.operations.visits import arrive
from tests.factories import Floor

# As a mill may certify 4130; within the range of the grade in SAE J404 (known from memory).
COMPOSITION: Mapping[str, str] = {"C": "0.31", "Mn": "0.52", "Si": "0.24", "Cr": "0.96", "Mo": "0.19"}
# What each part of a housing is made of in these tests, by its form.
HEAT_OF = {"tube": "T-4130", "plate": "P-4130", "bar": "B-4140"}


def heat(floor: Floor, number: str, kind: str = "steel", grade: str = "4130", **more: Any) -> Heat:
    """A heat that was received."""
    floor.do(receive_heat, by="W1", number=number, kind=kind, grade=grade, **more)
    return Heat.objects.get(number=number)


def usual_heats(floor: Floor) -> None:
    """Tube, plate and bar as the plain build spec asks for them."""
    heat(floor, "T-4130", condition="normalised", form="tube", composition=COMPOSITION)
    heat(floor, "P-4130", form="plate")
    heat(floor, "B-4140", grade="4140", form="bar")


def use(floor: Floor, housing: Housing, *materials: Mapping[str, Any], by: str = "W1") -> dict[str, Any]:
    """Record the steel of parts."""
    return floor.do(use_material, by=by, housing=housing.serial, materials=[dict(one) for one in materials])


def steel_of(housing: Housing, station: str) -> list[dict[str, str]]:
    """The input for every part that is joined at a station, each of its usual heat."""
    parts = parts_of(spec_from(housing.spec.data))
    return [{"part": one.code, "heat": HEAT_OF[one.form]} for one in parts if one.station == station]


def now_of(housing: Housing) -> dict[str, str]:
    """Of each part the heat that counts now."""
    uses = MaterialUse.objects.filter(housing=housing, replaced_by=None).select_related("heat")
    return {one.part: one.heat.number for one in uses}


def made_with_steel(
    floor: Floor, until: str, *, wanted: Mapping[str, str] | None = None, **order: Any
) -> Housing:
    """A housing whose steel was recorded at each station; ``wanted`` names the heat of some parts.

    ``until``: a station where it has arrived, ``measured`` or ``signed``.
    """
    (housing,) = floor.order(**order)
    while visit := floor.next_visit(housing):
        floor.do(arrive, by="W1", housing=housing.serial, station=visit.station)
        parts = [
            {**one, "heat": (wanted or {}).get(one["part"], one["heat"])}
            for one in steel_of(housing, visit.station)
        ]
        if parts:
            use(floor, housing, *parts)
        if visit.station == until:
            break
        floor.finish(housing, visit)
    if until == "signed":
        floor.sign(housing)
    housing.refresh_from_db()
    return housing
