"""What waits for a signature; a whole list of housings read at once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

from django.db.models import Exists, F, OuterRef, QuerySet

from housings import gate
from housings import states as housing_states
from housings.engineering.stations import STATIONS
from housings.material_queries import steel_of
from housings.material_rules import steel_in
from housings.models import Hold, Housing, Visit, WeldPass, WorkDone
from housings.queries import housings_for
from inspections import weld_queries, weld_rules
from inspections.models import Characteristic, Nonconformance, Reading, ReadingDoubt
from inspections.queries import Measured
from shopqc.models import Shop
from shopqc.people import Actor
from shopqc.rules import in_use


def waiting_for_sign_off(actor: Actor) -> QuerySet[Housing]:
    """Housings in work that have no visit left to make before somebody signs."""
    after = [code for code, station in STATIONS.items() if station.after_sign_off]
    to_come = Visit.objects.filter(
        housing=OuterRef("pk"), state__in=[housing_states.AHEAD, housing_states.HERE]
    ).exclude(station__in=after)
    waiting = housings_for(actor).filter(state=housing_states.IN_WORK)
    return waiting.filter(~Exists(to_come)).order_by("pk")


def situations_of(housings: Sequence[Housing], shop: Shop) -> list[gate.Situation]:
    """Housings as the gate sees them, with all that was measured: a fixed number of queries for a list."""
    visits = _by_housing(Visit.objects.filter(housing__in=housings).order_by("sequence", "number"))
    work_done = _by_housing(WorkDone.objects.filter(housing__in=housings).order_by("record_position"))
    passes = _by_housing(
        WeldPass.objects.filter(housing__in=housings, taken_back=None)
        .select_related("joint", "filler", "gas")
        .order_by("record_position")
    )
    steel = steel_of(housings)
    holds = _by_housing(Hold.objects.filter(housing__in=housings, released_at=None).order_by("number"))
    asked = _by_housing(Characteristic.objects.filter(housing__in=housings).order_by("number"))
    readings = _by_housing(
        Reading.objects.filter(housing__in=housings)
        .select_related("gauge")
        .order_by("record_position", "place")
    )
    found = _by_housing(
        Nonconformance.objects.filter(housing__in=housings)
        .select_related("disposition", "characteristic")
        .order_by("number")
    )
    doubts = _by_housing(
        ReadingDoubt.objects.filter(reading__housing__in=housings)
        .annotate(housing_id=F("reading__housing"))
        .order_by("pk")
    )
    situations = [gate.Situation(housing) for housing in housings]
    for situation in situations:
        pk = situation.housing.pk
        # What their cached properties would ask of the database, one housing after the other.
        vars(situation).update(
            visits=visits[pk], work_done=work_done[pk], weld_passes=passes[pk], holds=holds[pk], shop=shop
        )
        situation.keep(steel_in, steel[pk])
        vars(situation.kept(Measured)).update(
            characteristics=asked[pk], readings=readings[pk], nonconformances=found[pk], doubts=doubts[pk]
        )
    weld_queries.fill(situations)
    if weld_rules.OF_SIGNING & in_use(shop):
        weld_queries.fill_states(situations)
    return situations


def _by_housing(rows: Iterable[Any]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = defaultdict(list)
    for row in rows:
        found[row.housing_id].append(row)
    return found
