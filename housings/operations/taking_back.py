"""An arrival or a leaving that was recorded by mistake is taken back; the record book keeps both."""

from __future__ import annotations

from typing import Any

from housings import gate, queries, rules, states
from housings.engineering.stations import STATIONS
from housings.models import Housing, Visit
from housings.operations.orders import change_state
from housings.operations.visits import check_station, the_housing, visit_at
from shopqc.operation import Answer, Run, operation
from shopqc.refusals import Refused, refuse


@operation("undo_arrival", locks=the_housing)
def undo_arrival(run: Run, *, housing: str, station: str) -> Answer:
    """The housing did not arrive: the visit is ahead again, if nothing was recorded in it.

    Done by whoever recorded the arrival, or by the QC lead.
    """
    row = run.get(Housing, housing)
    situation = gate.Situation(row)
    visit = visit_at(situation.visits, station)
    gate.check(situation, gate.TakeBack(visit, run.by))
    _change(visit, states.AHEAD, arrived_at=None, arrived_by="")
    begun = any(other.state == states.LEFT for other in situation.visits)
    if row.state == states.IN_WORK and not begun:
        change_state(run, row, states.RELEASED)
    run.write(row, visit=visit.number, station=station)
    return {"housing": housing, "visit": visit.number, "station": station}


@operation("undo_leaving", locks=the_housing)
def undo_leaving(run: Run, *, housing: str, station: str) -> Answer:
    """The housing did not leave: it is at the station again, if nothing came after it in the record.

    Done by whoever recorded the leaving, or by the QC lead.
    """
    check_station(station)
    row = run.get(Housing, housing)
    visit = queries.last_left(queries.visits_of(row))
    if visit is None or visit.station != station:
        raise refuse("not_left_last", station=STATIONS[station].name)
    if reasons := rules.reasons_not_to_return(run.by, row, visit):
        raise Refused(*reasons)
    _change(visit, states.HERE, left_at=None, left_by="", left_position=None)
    run.write(row, visit=visit.number, station=station)
    return {"housing": housing, "visit": visit.number, "station": station}


def _change(visit: Visit, state: str, **columns: Any) -> None:
    states.check_change(states.VISIT_MAY_BECOME, visit.state, state)
    if Visit.objects.filter(pk=visit.pk, state=visit.state).update(state=state, **columns) != 1:
        raise RuntimeError(f"{visit} changed while an operation held its housing.")
