"""What doors and rules ask about steel, filler and gas: where a heat went, and what a housing is made of."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from housings.models import Heat, Housing, MaterialUse, Piece, WeldPass
from housings.queries import housings_for
from housings.steel_words import part_name
from shopqc.people import Actor
from shopqc.refusals import refuse


def plain_code(typed: str) -> str:
    """A heat number or the code of a piece as it is kept, however it was typed or scanned.

    >>> plain_code(" h 4130-a ")
    'H4130-A'
    """
    return "".join(typed.split()).upper()


def heats_for(actor: Actor) -> QuerySet[Heat]:
    """The heats an actor may know of: the shop's own matter, of which no customer's key knows."""
    return Heat.objects.none() if actor.customer else Heat.objects.all()


def heat_by_number(actor: Actor, typed: str) -> Heat:
    """One heat, by its number in any writing."""
    heat = heats_for(actor).filter(number=plain_code(typed)).first()
    if heat is None:
        raise refuse("not_found", what=_("heat"), name=typed[:40])
    return heat


def scanned(typed: str) -> Heat | Piece | None:
    """The piece or the heat whose label was scanned. No code is both."""
    code = plain_code(typed)
    piece = Piece.objects.select_related("heat").filter(code=code).first()
    return piece or Heat.objects.filter(number=code).first()


def materials_of(housing: Housing) -> list[MaterialUse]:
    """What a housing is made of: of each part what counts now, in the order of the record."""
    uses = MaterialUse.objects.filter(housing=housing, replaced_by=None)
    return list(uses.select_related("heat", "piece", "visit").order_by("record_position", "index"))


def steel_of(housings: Sequence[Housing]) -> dict[int, dict[str, MaterialUse]]:
    """What counts now of each part of each housing, by the housing's key and the part's code: one query."""
    found: dict[int, dict[str, MaterialUse]] = {housing.pk: {} for housing in housings}
    uses = MaterialUse.objects.filter(housing__in=housings, replaced_by=None)
    for use in uses.select_related("heat", "piece", "visit").order_by("record_position", "index"):
        found[use.housing_id][use.part] = use
    return found


def materials_replaced(housing: Housing) -> list[MaterialUse]:
    """What was recorded of a housing and does not count any more; each with what replaced it."""
    uses = MaterialUse.objects.filter(housing=housing).exclude(replaced_by=None)
    return list(uses.select_related("heat", "piece", "replaced_by").order_by("record_position", "index"))


def fillers_of(housing: Housing) -> list[Heat]:
    """The lots of filler and gas that were welded into a housing, by number."""
    used = WeldPass.objects.filter(housing=housing, taken_back=None).order_by()
    numbers = {pk for pair in used.values_list("filler", "gas").distinct() for pk in pair if pk}
    return list(Heat.objects.filter(pk__in=numbers).order_by("number"))


def uses_of(heat: Heat) -> QuerySet[MaterialUse]:
    """The parts that a heat went into, as far as they count now."""
    return MaterialUse.objects.filter(heat=heat, replaced_by=None)


def passes_with(heat: Heat) -> QuerySet[WeldPass]:
    """The weld passes that used a lot of filler or a cylinder of gas and were not taken back."""
    return WeldPass.objects.filter(Q(filler=heat) | Q(gas=heat), taken_back=None)


def housings_with(actor: Actor, heat: Heat) -> QuerySet[Housing]:
    """Every housing an actor may know of that has a heat in it, by serial."""
    used = uses_of(heat).order_by().values("housing")
    welded = passes_with(heat).order_by().values("housing")
    return housings_for(actor).filter(Q(pk__in=used) | Q(pk__in=welded)).order_by("serial")


def serials_with(heat: Heat) -> list[str]:
    """The serials of every housing that has a heat in it."""
    used = uses_of(heat).values_list("housing__serial", flat=True)
    welded = passes_with(heat).order_by().values_list("housing__serial", flat=True).distinct()
    return sorted({*used, *welded})


@dataclass(frozen=True)
class Place:
    """Where a heat is in a housing: a part of steel, or the passes of a joint that it was welded with."""

    code: str
    name: str
    station: str
    use: MaterialUse | None = None
    passes: int = 0

    @property
    def words(self) -> str:
        """The part, or the joint with how many passes of it."""
        if self.use is not None:
            return self.name
        said = ngettext("%(joint)s (%(count)d pass)", "%(joint)s (%(count)d passes)", self.passes)
        return said % {"joint": self.name, "count": self.passes}


def places_of(heat: Heat, housings: Iterable[Housing]) -> Mapping[int, Sequence[Place]]:
    """Where a heat is in each of these housings, by their keys; two queries for however many."""
    keys = [housing.pk for housing in housings]
    found: dict[int, list[Place]] = defaultdict(list)
    uses = uses_of(heat).filter(housing__in=keys).select_related("piece", "visit")
    for use in uses.order_by("record_position", "index"):
        found[use.housing_id].append(Place(use.part, part_name(use.part), use.visit.station, use))
    joints: dict[tuple[int, int], list[WeldPass]] = defaultdict(list)
    welded = passes_with(heat).filter(housing__in=keys).select_related("joint")
    for weld in welded.order_by("joint__number", "number"):
        joints[weld.housing_id, weld.joint_id].append(weld)
    for (housing, _joint), passes in joints.items():
        first = passes[0]
        found[housing].append(Place(first.joint.code, first.joint.name, first.station, passes=len(passes)))
    return found
