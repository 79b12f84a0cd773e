"""The richest heats of steel on file, as far as hardening beside a weld goes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from housings.engineering.carbon_equivalent import carbon_equivalent
from housings.models import Heat

# Of each grade; a shop has a few in the racks at a time.
NEWEST = 200


@dataclass(frozen=True)
class RichHeat:
    """A heat and its CET by its mill certificate, percent."""

    number: str
    grade: str
    cet: float


def richest(grades: Iterable[str]) -> dict[str, RichHeat]:
    """Of each grade the heat with the greatest CET, among the newest that were not recalled.

    Heats whose composition is not on file, or names no carbon, say nothing. One query.
    """
    names = sorted(set(grades))
    heats = Heat.objects.filter(kind=Heat.STEEL, grade__in=names, recalled_at=None).exclude(composition={})
    found: dict[str, RichHeat] = {}
    for heat in heats.order_by("-pk")[: NEWEST * len(names)]:
        try:
            rich = RichHeat(heat.number, heat.grade, carbon_equivalent(heat.composition, "CET"))
        except ValueError:
            continue
        if heat.grade not in found or rich.cet > found[heat.grade].cet:
            found[heat.grade] = rich
    return found
