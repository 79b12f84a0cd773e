"""Which readings still stand.

A reading stands if nothing that could have moved the feature came later in
the record. What a later station hides for good stays valid once closed,
unless rework goes back before the closing. "Later" is a place in the
housing's chain, never a clock. Where a gauge was found wrong afterwards, the
corrected verdict counts.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from typing import TypeVar

from housings import states as housing_states
from housings.models import Visit, WeldPass, WorkDone
from housings.queries import Moved
from inspections import states
from inspections.models import Characteristic, Nonconformance, Reading, ReadingDoubt
from inspections.models.nonconformances import USE_AS_IS
from inspections.models.readings import FAIL, PASS

Move = WorkDone | WeldPass | Moved
M = TypeVar("M", bound=Move)


@dataclass(frozen=True)
class Standing:
    """How a characteristic of a housing stands now.

    ``state`` is one of `inspections.states`; ``reading`` the one that counts,
    or the last one if none stands; ``moved_by`` the station whose work came
    after it; ``doubt`` what the reading came to once its gauge was known to be
    wrong.
    """

    characteristic: Characteristic
    state: str
    reading: Reading | None = None
    moved_by: str | None = None
    nonconformance: Nonconformance | None = None
    doubt: ReadingDoubt | None = None

    @property
    def counted(self) -> Reading | None:
        """The reading with the value and verdict that count now; a copy where its gauge was found wrong."""
        if self.reading is None or self.doubt is None:
            return self.reading
        return corrected(self.reading, self.doubt.value, self.doubt.verdict)

    @property
    def is_enough(self) -> bool:
        return self.state in states.ENOUGH


def corrected(reading: Reading, value: str, verdict: str) -> Reading:
    """A copy of a reading, never saved, as it would be without what its gauge read wrong."""
    copied = copy(reading)
    copied.value, copied.verdict = value, verdict
    return copied


def closed_at(characteristic: Characteristic, moves: Sequence[Move], visits: Iterable[Visit]) -> int | None:
    """Since which place in the record the feature is hidden for good; ``None`` if it can be reached.

    Work at the hiding station closes it; a later visit to a station where it
    is due opens it again.
    """
    if not characteristic.hidden_by:
        return None
    closings = [entry.record_position for entry in moves if entry.station == characteristic.hidden_by]
    if not closings:
        return None
    closing = max(closings)
    closing_visits = {entry.visit_id for entry in moves if entry.record_position == closing}
    closing_sequence = max(visit.sequence for visit in visits if visit.pk in closing_visits)
    went_back = any(
        visit.station in characteristic.due_stations
        and visit.sequence > closing_sequence
        and visit.state in {housing_states.HERE, housing_states.LEFT}
        for visit in visits
    )
    return None if went_back else closing


def last_move(characteristic: Characteristic, moves: Sequence[M], visits: Iterable[Visit]) -> M | None:
    """The last work that could have moved the feature."""
    closing = closed_at(characteristic, moves, visits)
    mine = [
        entry
        for entry in moves
        if entry.station in characteristic.movable_by and (closing is None or entry.record_position < closing)
    ]
    return max(mine, key=lambda entry: entry.record_position, default=None)


def standing_of(
    characteristic: Characteristic,
    readings: Sequence[Reading],
    moves: Sequence[Move],
    visits: Sequence[Visit],
    nonconformances: Sequence[Nonconformance],
    doubts: Sequence[ReadingDoubt] = (),
) -> Standing:
    """How one characteristic stands; all the sequences are those of the whole housing."""
    replaced = {reading.replaces_id for reading in readings}
    mine = [
        reading
        for reading in readings
        if reading.characteristic_id == characteristic.pk and reading.pk not in replaced
    ]
    if not mine:
        return Standing(characteristic, states.NOT_MEASURED)
    last = max(mine, key=lambda reading: reading.order_key)
    move = last_move(characteristic, moves, visits)
    # A reading and the work it follows never share a line, so "later" is strict for the work only.
    if move and last.stands_from < move.record_position:
        return Standing(characteristic, states.MOVED_SINCE, last, moved_by=move.station)
    raised = _raised_for(last, nonconformances)
    doubt = newest_doubt(last, doubts)
    state = _state(last, raised, doubt)
    return Standing(characteristic, state, last, nonconformance=raised, doubt=doubt)


def _state(reading: Reading, raised: Nonconformance | None, doubt: ReadingDoubt | None) -> str:
    if (doubt or reading).verdict == PASS:
        return states.PASSED
    decision = raised.decision if raised else None
    # What was accepted before the gauge was found wrong was another value.
    in_time = decision and (doubt is None or decision.record_position > doubt.record_position)
    if decision and in_time and decision.kind == USE_AS_IS:
        return states.ACCEPTED
    if doubt:
        return states.DOUBTED
    return states.FAILED if reading.verdict == FAIL else states.UNDECIDED


def newest_doubt(reading: Reading, doubts: Iterable[ReadingDoubt]) -> ReadingDoubt | None:
    """What a reading came to when last a gauge of it was found wrong; ``None`` if its own verdict holds."""
    mine = [doubt for doubt in doubts if doubt.reading_id == reading.pk]
    return max(mine, key=lambda doubt: doubt.pk, default=None)


def _raised_for(reading: Reading, nonconformances: Iterable[Nonconformance]) -> Nonconformance | None:
    mine = [found for found in nonconformances if found.reading_id == reading.pk]
    return max(mine, key=lambda found: found.number, default=None)


def standings(
    characteristics: Iterable[Characteristic],
    readings: Sequence[Reading],
    moves: Sequence[Move],
    visits: Sequence[Visit],
    nonconformances: Sequence[Nonconformance],
    doubts: Sequence[ReadingDoubt] = (),
) -> Mapping[int, Standing]:
    """How every characteristic stands, by its primary key."""
    of: dict[int, list[Reading]] = defaultdict(list)
    for reading in readings:
        of[reading.characteristic_id].append(reading)
    return {
        characteristic.pk: standing_of(
            characteristic, of[characteristic.pk], moves, visits, nonconformances, doubts
        )
        for characteristic in characteristics
    }
