"""The parts of a housing whose steel is traced, and the steel that the build spec asks of each.

Source of the list: common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from .spec import Spec

__all__ = ["TracedPart", "parts_of"]


@dataclass(frozen=True, slots=True)
class TracedPart:
    """One part. `station` is where it is joined to the housing, and scanned; `grade` and `condition` are what
    the build spec asks (empty = it asks none), `form` is how its steel comes.
    """

    code: str
    name: str
    station: str
    grade: str
    condition: str = ""
    form: str = "plate"


def parts_of(spec: Spec) -> tuple[TracedPart, ...]:
    """Every part whose heat number is recorded, in the order of the stations.

    >>> from .ready_specs import READY
    >>> from .spec import spec_from
    >>> [part.code for part in parts_of(spec_from(READY["plain"].spec))][:3]
    ['tube_left', 'tube_right', 'center_plate']
    """
    tube = (spec.tube_grade, spec.tube_condition, "tube")
    plate = spec.plate_grade
    found = [
        TracedPart("tube_left", "Left tube", "jig", *tube),
        TracedPart("tube_right", "Right tube", "jig", *tube),
        TracedPart("center_plate", "Plate of the center section", "jig", plate),
        TracedPart("ribs", "Ribs and gussets", "tack", plate),
        TracedPart("truss", "Truss", "truss", plate),
    ]
    if spec.links:
        found.append(TracedPart("brackets", "Brackets and link tabs", "brackets", plate))
    found += [
        TracedPart("snout_left", "Left snout", "snouts", spec.snout_grade, form="bar"),
        TracedPart("snout_right", "Right snout", "snouts", spec.snout_grade, form="bar"),
        TracedPart("armor_back", "Armor plate at the back", "armor", plate),
        TracedPart("armor_bottom", "Armor plate at the bottom", "armor", plate),
    ]
    return tuple(found)
