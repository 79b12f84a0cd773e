"""A full welding bench quickly, for size tests only: rows of passes and temperatures that no operation wrote.

As with `tests.volume`, nothing but the cost of reading them may be tested with them.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from django.db.models import F

from housings import states
from housings.models import Housing, Joint, JointTemperature, Visit, WeldPass
from tests.factories import Floor

STATION = "snouts"
# Minutes after the end of the arc, and °F, as a thermometer shows them on a cooling snout.
COOLS = ((1, 505), (2, 450), (8, 330))
EVERY = datetime.timedelta(minutes=15)
FAR = 10_000


def full_bench(floor: Floor, joints: int = 60, passes: int = 10) -> list[Housing]:
    """Housings at the snout station, two multipass joints each, every joint with its passes and readings."""
    housings = floor.order(quantity=joints // 2)
    Housing.objects.filter(pk__in=[h.pk for h in housings]).update(state=states.IN_WORK)
    here = Visit.objects.filter(housing__in=housings, station=STATION)
    for visit in here:
        Visit.objects.filter(housing=visit.housing_id, sequence__lt=visit.sequence).update(
            state=states.LEFT, left_position=F("number")
        )
    here.update(state=states.HERE, arrived_at=floor.at, arrived_by="W1")
    visits = {
        visit.housing_id: visit for visit in Visit.objects.filter(housing__in=housings, station=STATION)
    }
    rows = Joint.objects.filter(housing__in=housings, is_multipass=True)
    every = [(joint, visits[joint.housing_id], shift) for shift, joint in enumerate(rows)]
    WeldPass.objects.bulk_create(one for each in every for one in _passes(floor, *each, passes))
    JointTemperature.objects.bulk_create(one for each in every for one in _read(floor, *each, passes))
    return housings


def end_of(floor: Floor, passes: int = 10) -> datetime.datetime:
    """A moment a few minutes after the last passes of such a bench."""
    return floor.at + passes * EVERY


def _passes(floor: Floor, joint: Joint, visit: Visit, shift: int, count: int) -> Iterator[WeldPass]:
    welder = floor.person("W1")
    for number in range(1, count + 1):
        ended = _ended(floor, shift, number)
        yield WeldPass(
            housing_id=joint.housing_id,
            joint=joint,
            visit=visit,
            station=STATION,
            number=number,
            record_position=FAR + 10 * number,
            done_at=ended,
            received_at=ended,
            welder=welder,
            by_stamp="W1",
        )


def _read(floor: Floor, joint: Joint, visit: Visit, shift: int, count: int) -> Iterator[JointTemperature]:
    for number in range(1, count + 1):
        for index, (minutes, value) in enumerate(COOLS):
            at = _ended(floor, shift, number) + datetime.timedelta(minutes=minutes)
            yield JointTemperature(
                housing_id=joint.housing_id,
                joint=joint,
                visit=visit,
                # No two joints alike, so that none is spared by what was computed for another.
                value=str(value + shift % 30 - 15),
                unit="F",
                place="stop",
                after_pass=number,
                record_position=FAR + 10 * number + 1,
                index=index,
                done_at=at,
                received_at=at,
                by_stamp="W1",
            )


def _ended(floor: Floor, shift: int, number: int) -> datetime.datetime:
    return floor.at + number * EVERY - datetime.timedelta(minutes=3 + shift % 9)
