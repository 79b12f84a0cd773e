"""Which readings still stand.

A reading stands if nothing that could have moved the feature came later in
the record. What a later station hides for good stays valid once closed,
unless rework goes back before the closing. "Later" is a place in the
housing's chain, never a clock.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from housings import states as housing_states
from housings.models import Visit, WorkDone
from inspections import states
from inspections.models import Characteristic, Nonconformance, Reading
from inspections.models.nonconformances import USE_AS_IS
from inspections.models.readings import FAIL, PASS


@dataclass(frozen=True)
class Standing:
    """How a characteristic of a housing stands now.

    ``state`` is one of `inspections.states`; ``reading`` the one that counts,
    or the last one if none stands; ``moved_by`` the station whose work came
    after it.
    """

    characteristic: Characteristic
    state: str
    reading: Reading | None = None
    moved_by: str | None = None
    nonconformance: Nonconformance | None = None

    @property
    def is_enough(self) -> bool:
        return self.state in states.ENOUGH


def closed_at(
    characteristic: Characteristic, work_done: Sequence[WorkDone], visits: Iterable[Visit]
) -> int | None:
    """Since which place in the record the feature is hidden for good; ``None`` if it can be reached.

    Work at the hiding station closes it; a later visit to a station where it
    is due opens it again.
    """
    if not characteristic.hidden_by:
        return None
    closings = [entry.record_position for entry in work_done if entry.station == characteristic.hidden_by]
    if not closings:
        return None
    closing = max(closings)
    closing_visits = {entry.visit_id for entry in work_done if entry.record_position == closing}
    closing_sequence = max(visit.sequence for visit in visits if visit.pk in closing_visits)
    went_back = any(
        visit.station in characteristic.due_stations
        and visit.sequence > closing_sequence
        and visit.state in {housing_states.HERE, housing_states.LEFT}
        for visit in visits
    )
    return None if went_back else closing


def last_move(
    characteristic: Characteristic, work_done: Sequence[WorkDone], visits: Iterable[Visit]
) -> WorkDone | None:
    """The last work that could have moved the feature."""
    closing = closed_at(characteristic, work_done, visits)
    moves = [
        entry
        for entry in work_done
        if entry.station in characteristic.movable_by and (closing is None or entry.record_position < closing)
    ]
    return max(moves, key=lambda entry: entry.record_position, default=None)


def standing_of(
    characteristic: Characteristic,
    readings: Sequence[Reading],
    work_done: Sequence[WorkDone],
    visits: Sequence[Visit],
    nonconformances: Sequence[Nonconformance],
) -> Standing:
    """How one characteristic stands; ``readings`` and ``nonconformances`` are those of the whole housing."""
    replaced = {reading.replaces_id for reading in readings}
    mine = [
        reading
        for reading in readings
        if reading.characteristic_id == characteristic.pk and reading.pk not in replaced
    ]
    if not mine:
        return Standing(characteristic, states.NOT_MEASURED)
    last = max(mine, key=lambda reading: reading.order_key)
    move = last_move(characteristic, work_done, visits)
    # A reading and the work it follows never share a line, so "later" is strict for the work only.
    if move and last.stands_from < move.record_position:
        return Standing(characteristic, states.MOVED_SINCE, last, moved_by=move.station)
    raised = _raised_for(last, nonconformances)
    if last.verdict == PASS:
        return Standing(characteristic, states.PASSED, last, nonconformance=raised)
    if raised and raised.decision and raised.decision.kind == USE_AS_IS:
        return Standing(characteristic, states.ACCEPTED, last, nonconformance=raised)
    state = states.FAILED if last.verdict == FAIL else states.UNDECIDED
    return Standing(characteristic, state, last, nonconformance=raised)


def _raised_for(reading: Reading, nonconformances: Iterable[Nonconformance]) -> Nonconformance | None:
    mine = [found for found in nonconformances if found.reading_id == reading.pk]
    return max(mine, key=lambda found: found.number, default=None)


def standings(
    characteristics: Iterable[Characteristic],
    readings: Sequence[Reading],
    work_done: Sequence[WorkDone],
    visits: Sequence[Visit],
    nonconformances: Sequence[Nonconformance],
) -> Mapping[int, Standing]:
    """How every characteristic stands, by its primary key."""
    of: dict[int, list[Reading]] = defaultdict(list)
    for reading in readings:
        of[reading.characteristic_id].append(reading)
    return {
        characteristic.pk: standing_of(
            characteristic, of[characteristic.pk], work_done, visits, nonconformances
        )
        for characteristic in characteristics
    }
