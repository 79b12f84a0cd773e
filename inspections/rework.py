"""Which visits a rework puts in between: the work itself, and measuring again what it can move."""

from __future__ import annotations

from collections.abc import Sequence

from housings import states
from housings.models import Visit
from inspections.models import Characteristic, Reading


def visits_for_rework(
    stations: Sequence[str],
    found: Characteristic | None,
    reading: Reading | None,
    characteristics: Sequence[Characteristic],
    visits: Sequence[Visit],
) -> list[tuple[str, str]]:
    """Stations to put in between, each with its kind, in order.

    First the stations of the rework. Then, by rule, a visit to measure again

    - what failed, where it failed, unless the rework ends there;
    - each characteristic the rework can move, at the last station where it was due, unless a visit
      ahead asks for it anyway.

    What is hidden is measured again only if the rework goes back before its closing, that is, to a
    station where it is due.
    """
    inserted = [(station, Visit.REWORK) for station in stations]
    planned = {visit.station for visit in visits if visit.state == states.AHEAD} | set(stations)
    order = [visit.station for visit in visits if visit.state in {states.HERE, states.LEFT}]

    def add(station: str) -> None:
        if (station, Visit.MEASURE) not in inserted:
            inserted.append((station, Visit.MEASURE))

    if found and reading:
        last_mover = max(
            (index for index, station in enumerate(stations) if station in found.movable_by), default=-1
        )
        if reading.station not in stations[max(last_mover, 0) :]:
            add(reading.station)
    moved = [c for c in characteristics if set(c.movable_by) & set(stations)]
    measured_again = {station for station, _kind in inserted}
    for characteristic in moved:
        closed = characteristic.hidden_by in order and not set(characteristic.due_stations) & set(stations)
        due = set(characteristic.due_stations)
        if closed or due & (planned | measured_again):
            continue
        last_due = next((station for station in reversed(order) if station in due), None)
        if last_due:
            add(last_due)
            measured_again.add(last_due)
    return inserted
