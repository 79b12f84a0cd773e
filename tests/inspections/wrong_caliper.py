"""A caliper that reads wrong, and what was measured with it: for the tests of what follows."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from housings.models import Housing
from housings.operations.visits import leave_station
from inspections.models import Characteristic, Reading
from inspections.operations.gauges import record_calibration
from tests.factories import AT, Floor

TODAY = AT.date().isoformat()
CODE = "CAL-1"
# As many diameters as a journal may ask for.
LEAST = 4


def a_size(floor: Floor, housing: Housing) -> tuple[Characteristic, str]:
    """A size with a limit on both sides that is due where the housing is, and where that is."""
    station = housing.visits.get(state="here").station
    for one in Characteristic.objects.filter(housing=housing, kind__in=["size", "diameters"], unit="in"):
        due = one.due_at(station)
        if due and due.lower is not None and due.upper is not None:
            return one, station
    raise AssertionError(f"No size is due at {station}.")


def shown(characteristic: Characteristic, value: str) -> dict[str, Any]:
    """What somebody types who reads one figure."""
    return {"value": value} if characteristic.kind == "size" else {"values": [value] * LEAST}


def at_jig(floor: Floor) -> Housing:
    return floor.housing(until="jig")


def limits(characteristic: Characteristic, station: str) -> tuple[Fraction, Fraction]:
    due = characteristic.due_at(station)
    assert due and due.lower is not None and due.upper is not None
    return Fraction(due.lower), Fraction(due.upper)


def shows(floor: Floor, housing: Housing, *values: str, **more: Any) -> list[Reading]:
    """Readings of the housing's size, as the caliper showed them."""
    size, station = a_size(floor, housing)
    entries = [
        floor.reading(housing, size, station, raw=shown(size, value), gauge=CODE, **more) for value in values
    ]
    answer = floor.record(housing, *entries)
    return [Reading.objects.get(pk=one["id"]) for one in answer["readings"]]


def text(value: Fraction) -> str:
    return f"{float(value):.6f}"


def just_inside(floor: Floor, housing: Housing, by: str = "0.0001") -> str:
    """A size that is inside its upper limit by so much."""
    _lower, upper = limits(*a_size(floor, housing))
    return text(upper - Fraction(by))


def wrong(floor: Floor, offset: str = "-0.0002", scale: str = "0", **inputs: Any) -> dict[str, Any]:
    """The caliper is found to read too little: what it showed was larger."""
    found = {"done_on": TODAY, "found_right": False, "error_offset": offset, "error_scale": scale}
    return floor.do(record_calibration, by="Q1", gauge=CODE, **{**found, **inputs})


def signed_with_caliper(floor: Floor) -> Housing:
    """A housing that is signed off, one size of it measured with the caliper just inside its limit."""
    housing = floor.housing(until="final_inspection")
    size, station = a_size(floor, housing)
    shows(floor, housing, just_inside(floor, housing))
    rest = [c.code for c in Characteristic.objects.filter(housing=housing) if c.due_at(station) and c != size]
    floor.measure_due(housing, station, only=rest)
    floor.do(leave_station, by="W1", housing=housing.serial, station=station)
    floor.walk(housing, "signed")
    return housing
