"""A housing at its stations: arrive, work done, leave; and visits that rework puts in between."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any

from django.db.models import F, Max

from housings import gate, queries, rules, states
from housings.engineering.stations import STATIONS
from housings.models import Housing, Visit, WorkDone
from housings.operations.orders import change_state
from shopqc.operation import Answer, Rows, Run, operation
from shopqc.refusals import Refused, refuse


def the_housing(*, housing: str, **_inputs: Any) -> list[Rows]:
    """The lock of one housing, named by its serial."""
    return [Rows(Housing, "serial", [housing])]


def _check_station(station: str) -> None:
    if station not in STATIONS:
        raise refuse("station_unknown", "/station", station=station)


@operation("arrive", locks=the_housing)
def arrive(run: Run, *, housing: str, station: str) -> Answer:
    """A housing arrives at a station, if the gate is free."""
    _check_station(station)
    row = run.get(Housing, housing)
    situation = gate.Situation(row)
    gate.check(situation, gate.Start(station))
    visit = next(v for v in queries.next_visits(situation.visits) if v.station == station)
    states.check_change(states.VISIT_MAY_BECOME, visit.state, states.HERE)
    arrived = Visit.objects.filter(pk=visit.pk, state=visit.state).update(
        state=states.HERE, arrived_at=run.at, arrived_by=run.by.stamp
    )
    if arrived != 1:
        raise RuntimeError(f"Visit {visit.number} of {housing} changed while arrive held the housing.")
    if row.state == states.RELEASED:
        change_state(run, row, states.IN_WORK)
    run.write(row, visit=visit.number, station=station)
    return {"housing": housing, "visit": visit.number, "station": station}


@operation("record_work_done", locks=the_housing)
def record_work_done(
    run: Run,
    *,
    housing: str,
    station: str,
    note: str = "",
    done_at: str | None = None,
    seen_position: int | None = None,
) -> Answer:
    """The work of the present visit is done; what was measured before of what it moves does not stand.

    ``seen_position`` is the place in the record that the sender had loaded. If the work of this visit was
    recorded after it, the sender is asked to look again, lest two people's entries void a reading between.
    """
    _check_station(station)
    row = run.get(Housing, housing)
    visits = queries.visits_of(row)
    visit = queries.visit_here(visits)
    if visit is None or visit.station != station:
        raise refuse("not_here", station=STATIONS[station].name)
    if reasons := rules.reasons_of_state(row, after_sign_off=visit.at.after_sign_off):
        raise Refused(*reasons)
    if holds := rules.reasons_of_holds(queries.holds_on(row)):
        raise Refused(*holds)
    if seen_position is not None and any(
        entry.visit_id == visit.pk and entry.record_position > seen_position
        for entry in queries.work_done_of(row)
    ):
        raise refuse("changed_meanwhile")
    entry = WorkDone(
        housing=row,
        visit=visit,
        station=station,
        record_position=run.position_in(row),
        note=note.strip(),
        done_at=datetime.datetime.fromisoformat(done_at) if done_at else run.at,
        received_at=run.at,
        by_stamp=run.by.stamp,
        by_person=run.by.person,
    )
    entry.save(force_insert=True)
    run.write(row, [entry], visit=visit.number, station=station)
    return {"housing": housing, "visit": visit.number, "record_position": entry.record_position}


@operation("leave_station", locks=the_housing)
def leave_station(run: Run, *, housing: str, station: str) -> Answer:
    """The housing leaves the station it is at, if the gate is free."""
    _check_station(station)
    row = run.get(Housing, housing)
    situation = gate.Situation(row)
    visit = queries.visit_here(situation.visits)
    if visit is None or visit.station != station:
        raise refuse("not_here", station=STATIONS[station].name)
    gate.check(situation, gate.Leave(visit))
    states.check_change(states.VISIT_MAY_BECOME, visit.state, states.LEFT)
    left = Visit.objects.filter(pk=visit.pk, state=states.HERE).update(
        state=states.LEFT, left_at=run.at, left_by=run.by.stamp, left_position=run.position_in(row)
    )
    if left != 1:
        raise RuntimeError(f"Visit {visit.number} of {housing} changed while leave_station held the housing.")
    run.write(row, visit=visit.number, station=station)
    visit.state = states.LEFT
    following = [v.station for v in queries.next_visits(situation.visits)]
    return {"housing": housing, "visit": visit.number, "next": following}


def insert_visits(run: Run, housing: Housing, stations: Sequence[tuple[str, str]], why: str) -> list[Visit]:
    """Put visits between the present one and what is ahead. Part of an operation that holds the housing.

    ``stations`` are pairs of station and kind (`Visit.REWORK`, `Visit.MEASURE`).
    """
    visits = queries.visits_of(housing)
    begun = [visit.sequence for visit in visits if visit.state in {states.HERE, states.LEFT}]
    after = max(begun, default=0)
    number = Visit.objects.filter(housing=housing).aggregate(most=Max("number"))["most"] or 0
    Visit.objects.filter(housing=housing, sequence__gt=after).update(sequence=F("sequence") + len(stations))
    made = [
        Visit(
            housing=housing,
            number=number + step,
            sequence=after + step,
            station=station,
            kind=kind,
            why=why,
        )
        for step, (station, kind) in enumerate(stations, start=1)
    ]
    Visit.objects.bulk_create(made)
    run.write(housing, inserted=[{"visit": v.number, "station": v.station, "kind": v.kind} for v in made])
    return made
