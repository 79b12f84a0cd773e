"""A housing at its stations: arrive, work done, leave; and visits that are put in between."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from typing import Any

from django.db.models import F, Max

from housings import gate, queries, rules, states
from housings.engineering.stations import STATIONS
from housings.engineering.work_details import DetailKind, fields_of, read_details
from housings.models import Housing, Visit, WorkDone
from housings.operations.orders import change_state
from shopqc import files
from shopqc.operation import Answer, Rows, Run, operation
from shopqc.refusals import Reason, Refused, refuse
from shopqc.rules import in_use, the_shop


def the_housing(*, housing: str, **_inputs: Any) -> list[Rows]:
    """The lock of one housing, named by its serial."""
    return [Rows(Housing, "serial", [housing])]


def check_station(station: str) -> None:
    """Refuse a station that the catalogue does not have."""
    if station not in STATIONS:
        raise refuse("station_unknown", "/station", station=station)


def visit_at(visits: Sequence[Visit], station: str) -> Visit:
    """The present visit, which has to be at ``station``."""
    check_station(station)
    visit = queries.visit_here(visits)
    if visit is None or visit.station != station:
        raise refuse("not_here", station=STATIONS[station].name)
    return visit


@operation("arrive", locks=the_housing)
def arrive(run: Run, *, housing: str, station: str) -> Answer:
    """A housing arrives at a station, if the gate is free."""
    check_station(station)
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
    details: Mapping[str, Any] | None = None,
    done_at: str | None = None,
    seen_position: int | None = None,
) -> Answer:
    """The work of the present visit is done; what was measured before of what it moves does not stand.

    ``details`` say what it was, where the station has fields for it (`housings.engineering.work_details`).
    ``seen_position`` is the place in the record that the sender had loaded. If the work of this visit was
    recorded after it, the sender is asked to look again, lest two people's entries void a reading between.
    """
    row = run.get(Housing, housing)
    visits = queries.visits_of(row)
    visit = visit_at(visits, station)
    if reasons := rules.reasons_of_state(row, after_sign_off=visit.at.after_sign_off):
        raise Refused(*reasons)
    if reasons := [*rules.reasons_of_holds(queries.holds_on(row)), *rules.reasons_of_away(visits)]:
        raise Refused(*reasons)
    if seen_position is not None and any(
        entry.visit_id == visit.pk and entry.record_position > seen_position
        for entry in queries.work_done_of(row)
    ):
        raise refuse("changed_meanwhile")
    entry = keep_work(run, row, visit, note=note, details=details or {}, done_at=done_at)
    run.write(row, [entry], visit=visit.number, station=station)
    return {"housing": housing, "visit": visit.number, "record_position": entry.record_position}


def keep_work(
    run: Run,
    housing: Housing,
    visit: Visit,
    *,
    note: str = "",
    details: Mapping[str, Any],
    done_at: str | None = None,
) -> WorkDone:
    """Check what the work is described by, and keep it. Part of an operation that holds the housing."""
    entry = WorkDone(
        housing=housing,
        visit=visit,
        station=visit.station,
        record_position=run.position_in(housing),
        note=note.strip(),
        details=checked_details(visit.station, details),
        done_at=datetime.datetime.fromisoformat(done_at) if done_at else run.at,
        received_at=run.at,
        by_stamp=run.by.stamp,
        by_person=run.by.person,
    )
    entry.save(force_insert=True)
    return entry


def checked_details(station: str, given: Mapping[str, Any]) -> dict[str, str]:
    """What the work of a station is described by, as it is kept; every reason against it is refused."""
    kept, problems = read_details(station, given)
    reasons = [
        Reason("detail_wrong", {"why": problem.sentence}, f"/details/{problem.field}") for problem in problems
    ]
    for field in fields_of(station):
        if field.kind is DetailKind.FILE and kept.get(field.name) and not files.is_kept(kept[field.name]):
            reasons.append(Reason("document_not_filed", field=f"/details/{field.name}"))
    reasons += rules.reasons_of_description(station, kept, in_use(the_shop())) if not problems else []
    if reasons:
        raise Refused(*reasons)
    return kept


@operation("leave_station", locks=the_housing)
def leave_station(run: Run, *, housing: str, station: str) -> Answer:
    """The housing leaves the station it is at, if the gate is free."""
    row = run.get(Housing, housing)
    situation = gate.Situation(row)
    visit = visit_at(situation.visits, station)
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


def insert_visits(
    run: Run,
    housing: Housing,
    stations: Sequence[tuple[str, str]],
    why: str,
    *,
    before: Visit | None = None,
) -> list[Visit]:
    """Put visits between the present one and what is ahead. Part of an operation that holds the housing.

    ``stations`` are pairs of station and kind (`Visit.REWORK`, `Visit.MEASURE`, `Visit.EXTRA`); ``before``
    a visit ahead, if they come later than at once.
    """
    visits = queries.visits_of(housing)
    begun = [visit.sequence for visit in visits if visit.state in {states.HERE, states.LEFT}]
    after = before.sequence - 1 if before else max(begun, default=0)
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
