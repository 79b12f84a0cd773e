"""What is answered about orders and housings: plain data, with public names and no primary keys."""

from __future__ import annotations

import datetime
from typing import Any

from housings.models import Away, Hold, Housing, Order, Visit, WorkDone
from housings.queries import next_visits, visit_here
from shopqc.canonical import moment


def moment_or_none(at: datetime.datetime | None) -> str | None:
    """A moment as text in UTC, if it has come."""
    return moment(at) if at else None


def order_shape(order: Order) -> dict[str, Any]:
    """An order without its housings."""
    return {
        "number": order.number,
        "customer": order.customer.code,
        "reference": order.reference,
        "due_on": order.due_on.isoformat() if order.due_on else None,
        "note": order.note,
        "placed_at": moment(order.placed_at),
    }


def housing_line(housing: Housing) -> dict[str, Any]:
    """A housing in a list; loaded by `housings.queries.with_progress`."""
    visits: list[Visit] = housing.all_visits  # type: ignore[attr-defined]
    here = visit_here(visits)
    return {
        "serial": housing.serial,
        "order": housing.order.number,
        "line": housing.spec.line,
        "state": housing.state,
        "station": here.station if here else None,
        "next": [visit.station for visit in next_visits(visits)],
        "held": bool(housing.open_holds),  # type: ignore[attr-defined]
    }


def visit_shape(visit: Visit) -> dict[str, Any]:
    """A visit, planned or made."""
    return {
        "number": visit.number,
        "station": visit.station,
        "name": visit.at.name,
        "kind": visit.kind,
        "why": visit.why,
        "state": visit.state,
        "arrived_at": moment_or_none(visit.arrived_at),
        "arrived_by": visit.arrived_by,
        "left_at": moment_or_none(visit.left_at),
        "left_by": visit.left_by,
    }


def stay_shape(stay: Away) -> dict[str, Any]:
    """A stay at a supplier: present, over, or taken back because it never was."""
    return {
        "number": stay.number,
        "visit": stay.visit.number,
        "supplier": stay.supplier,
        "reference": stay.reference,
        "expected_on": stay.expected_on.isoformat() if stay.expected_on else None,
        "sent_at": moment(stay.sent_at),
        "sent_by": stay.sent_by,
        "back_at": moment_or_none(stay.back_at),
        "back_by": stay.back_by,
        "condition": stay.condition,
        "conformity": stay.conformity,
        "taken_back_why": stay.recalled_why,
    }


def work_shape(entry: WorkDone) -> dict[str, Any]:
    """A moment that moved metal, with what the work was."""
    return {
        "station": entry.station,
        "details": entry.details,
        "note": entry.note,
        "record_position": entry.record_position,
        "done_at": moment(entry.done_at),
        "by": entry.by_stamp,
    }


def hold_shape(hold: Hold) -> dict[str, Any]:
    """A hold, open or released."""
    return {
        "number": hold.number,
        "why": hold.why,
        "placed_at": moment(hold.placed_at),
        "placed_by": hold.placed_by,
        "released_at": moment_or_none(hold.released_at),
        "released_by": hold.released_by,
        "release_why": hold.release_why,
    }
