"""The welded joints of a housing, from its build spec.

Which stations weld what, and how many welds are counted there: common practice, no source. The number of ribs
and of link tabs is an invented figure of the shop that this catalogue was written for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from .spec import Spec

__all__ = ["JointKind", "JointSpec", "joints_of"]

RIBS, WELDS_AT_A_RIB, LINK_TABS, ROSETTES = 4, 3, 4, 4
SIDES = ("left", "right")


class JointKind(StrEnum):
    """What a joint is, as far as procedures and cooling depend on it."""

    SNOUT = "snout"
    ROSETTE = "rosette"
    SEAM = "seam"
    RIB = "rib"
    TRUSS = "truss"
    BRACKET = "bracket"
    WASHER = "washer"
    ARMOR = "armor"
    FITTING = "fitting"


@dataclass(frozen=True, slots=True)
class JointSpec:
    """One joint.

    `count` is how many welds it is made of; each is one weld pass. `is_multipass`: passes lie one over the
    other and cool between. `grade_a` and `grade_b` are its two steels, `thickness` and `diameter` what
    procedures reach or do not, inches as text, empty where it is no figure of the spec.
    """

    code: str
    name: str
    kind: JointKind
    station: str
    grade_a: str
    grade_b: str
    side: str = ""
    count: int = 1
    is_multipass: bool = False
    thickness: str = ""
    diameter: str = ""


def joints_of(spec: Spec) -> tuple[JointSpec, ...]:
    """Every joint of a housing, in the order of its stations.

    >>> from .ready_specs import READY
    >>> from .spec import spec_from
    >>> [joint.code for joint in joints_of(spec_from(READY["plain"].spec))][:4]
    ['center_seams', 'ribs', 'truss', 'snout_left']
    """
    return tuple(_joints(spec))


def _joints(spec: Spec) -> Iterator[JointSpec]:
    tube, plate, snout = spec.tube_grade, spec.plate_grade, spec.snout_grade
    wall, around = format(spec.tube_wall, "f"), format(spec.tube_od, "f")
    armor = format(spec.armor_thickness, "f")
    yield JointSpec("center_seams", "Center seams", JointKind.SEAM, "truss", plate, plate)
    yield JointSpec(
        "ribs", "Internal ribs", JointKind.RIB, "truss", plate, plate, count=RIBS * WELDS_AT_A_RIB
    )
    yield JointSpec("truss", "Truss", JointKind.TRUSS, "truss", tube, plate, thickness=wall, diameter=around)
    if spec.links:
        yield JointSpec(
            "brackets", "Brackets and link tabs", JointKind.BRACKET, "brackets", tube, plate, thickness=wall
        )
        yield JointSpec(
            "washers", "Washers of the link tabs", JointKind.WASHER, "brackets", plate, plate, count=LINK_TABS
        )
    for side in SIDES:
        yield JointSpec(
            f"snout_{side}",
            f"{side.title()} snout to tube",
            JointKind.SNOUT,
            "snouts",
            tube,
            snout,
            side=side,
            is_multipass=True,
            thickness=wall,
            diameter=around,
        )
    for side in SIDES:
        yield JointSpec(
            f"rosettes_{side}",
            f"Rosettes of the {side} snout",
            JointKind.ROSETTE,
            "snouts",
            tube,
            snout,
            side=side,
            count=ROSETTES,
            thickness=wall,
            diameter=around,
        )
    for where in ("back", "bottom"):
        yield JointSpec(
            f"armor_{where}",
            f"Armor plate at the {where}",
            JointKind.ARMOR,
            "armor",
            plate,
            plate,
            thickness=armor,
        )
    fittings = ["fill", "vent", *(["drain"] if spec.drain else [])]
    names = {"fill": "Fill bung", "vent": "Vent fitting", "drain": "Drain bung"}
    for fitting in fittings:
        yield JointSpec(
            f"{fitting}_weld", names[fitting], JointKind.FITTING, "caps_and_fittings", plate, plate
        )
