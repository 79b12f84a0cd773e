"""What straightening or a furnace did to a housing: the last reading before it, the first one after it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from housings.engineering.stations import STATIONS, StationKind
from housings.gate import Situation
from housings.models import WorkDone
from housings.panels import WHOLE, Panel
from inspections import wording
from inspections.models import Characteristic, Reading
from inspections.queries import Measured
from shopqc.people import Actor


@dataclass(frozen=True)
class Moved:
    """One thing that was measured before a work and after it; empty where it was not measured."""

    name: str
    before: str
    after: str


@dataclass(frozen=True)
class Treated:
    """One work that was done to move metal on purpose, and what it moved."""

    work: WorkDone
    station: str
    moved: tuple[Moved, ...]


def is_treatment(station: str) -> bool:
    """Whether a station's work is there to move metal or to take its stress, and nothing else."""
    return STATIONS[station].kind is StationKind.TREAT and STATIONS[station].moves_metal


def treatments(measured: Measured) -> list[Treated]:
    """Each such work of a housing, with every characteristic that was read before it and after it."""
    replaced = {reading.replaces_id for reading in measured.readings}
    readings = [reading for reading in measured.readings if reading.pk not in replaced]
    found = []
    for work in measured.situation.work_done:
        if is_treatment(work.station):
            pairs = (_moved(work, one, readings, measured) for one in measured.characteristics)
            found.append(Treated(work, _(STATIONS[work.station].name), tuple(filter(None, pairs))))
    return found


def _moved(
    work: WorkDone, one: Characteristic, readings: Sequence[Reading], measured: Measured
) -> Moved | None:
    """What the work did to one characteristic that it can move; ``None`` if it was not read both times."""
    if work.station not in one.movable_by:
        return None
    mine = sorted((r for r in readings if r.characteristic_id == one.pk), key=lambda r: r.order_key)
    moves = [
        entry.record_position
        for entry in measured.situation.moves
        if entry.station in one.movable_by and entry.record_position > work.record_position
    ]
    until = min(moves, default=None)
    before = [reading for reading in mine if reading.stands_from < work.record_position]
    after = [
        reading
        for reading in mine
        if reading.stands_from >= work.record_position and (until is None or reading.stands_from < until)
    ]
    if not before or not after:
        return None
    return Moved(one.name, wording.figure_with_unit(before[-1], one), wording.figure_with_unit(after[0], one))


def panel(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """What treatments did, for the housing's page; nothing if there was none."""
    found = [one for one in treatments(situation.kept(Measured)) if one.moved]
    return [Panel("inspections/panel_before_after.html", {"treatments": found}, WHOLE)] if found else []
