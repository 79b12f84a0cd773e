"""The stations a housing can go through, as the floor names them.

A route (`route_rules`) is a choice and an order of these; a plan of measuring names them by code. Names,
purposes and cautions are English text; the pages pass them through gettext.
Source of the catalogue: common practice, no source.
"""

from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

__all__ = ["STATIONS", "Station", "StationKind", "station"]


class StationKind(StrEnum):
    """What the work of a station is, as far as the order of stations depends on it."""

    INSPECT = "inspect"
    FIT = "fit"
    WELD = "weld"
    HEAVY_WELD = "heavy_weld"  # enough heat to pull the whole housing out of place
    MACHINE = "machine"
    TREAT = "treat"
    CLOSE = "close"  # hides something for good
    TEST = "test"
    PACK = "pack"


@dataclass(frozen=True, slots=True)
class Station:
    """One station of the catalogue.

    `moves_metal`: its work can change a measured feature by heat, force or cutting.
    `welds`: an arc burns here (the kind alone does not say so: armor closes and welds).
    `optional`: a route may do without it. `supplier_possible`: some shops send the work out.
    `after_sign_off`: done only once an accountable person has signed.
    `cautions`: reminders that defer to the shop's own written procedures; they are not instructions.
    """

    code: str
    name: str
    purpose: str
    kind: StationKind
    moves_metal: bool = False
    welds: bool = False
    optional: bool = False
    supplier_possible: bool = False
    after_sign_off: bool = False
    cautions: tuple[str, ...] = field(default=())


_ARC = (
    "Fume, radiation and burns: protection and extraction as the shop's welding procedure says.",
    "Fire watch after the last arc for as long as the shop's procedure and local rules ask.",
)
_LIFT = "A bare housing weighs 180 to 280 lb: lift it with the hoist as the shop's procedure says."
_GRIND = "Grinding: eyes, hands, ears and sparks as the shop's procedure says."
_PURGE = "Purge gas takes the place of air: ventilate and watch as the shop's procedure says."
_AIR = (
    "Air under pressure throws plugs and covers off: relief valve and retained plugs as the procedure says.",
    "Stay at the low pressure that the shop's procedure names.",
)
_MACHINE = "Machine tool: guards, clamping and chips as the shop's procedure says."

_CATALOGUE: tuple[Station, ...] = (
    Station(
        "receive_steel",
        "Receive steel",
        "Heat numbers and grades are checked before any piece is cut.",
        StationKind.INSPECT,
        optional=True,
        cautions=("Long tube and plate: handle with the hoist as the shop's procedure says.",),
    ),
    Station(
        "cut_and_bevel",
        "Cut and bevel",
        "Tubes and plate are cut and beveled; the heat number is copied before the cut.",
        StationKind.MACHINE,
        moves_metal=True,
        optional=True,
        supplier_possible=True,
        cautions=(_GRIND, _MACHINE),
    ),
    Station(
        "jig",
        "Jig",
        "The pieces are located and clamped in the fixture.",
        StationKind.FIT,
        cautions=(_LIFT,),
    ),
    Station(
        "tack",
        "Tack",
        "The fitted pieces are tacked; fit-up, ribs and gussets are looked at while they can be seen.",
        StationKind.WELD,
        moves_metal=True,
        welds=True,
        cautions=_ARC,
    ),
    Station(
        "truss",
        "Truss",
        "Center seams, ribs and the truss that keeps the tubes from bending are welded.",
        StationKind.HEAVY_WELD,
        moves_metal=True,
        welds=True,
        cautions=(*_ARC, _LIFT),
    ),
    Station(
        "brackets",
        "Brackets and link tabs",
        "Brackets, link tabs and their washers are welded on at ride attitude.",
        StationKind.WELD,
        moves_metal=True,
        welds=True,
        optional=True,
        cautions=(*_ARC, _LIFT),
    ),
    Station(
        "snouts",
        "Snouts",
        "The spindle ends are welded in, pass by pass with cooling between; four rosette welds hold each.",
        StationKind.HEAVY_WELD,
        moves_metal=True,
        welds=True,
        cautions=(
            *_ARC,
            _PURGE,
            "Preheat and interpass temperature come from the qualified procedure, not from this program.",
        ),
    ),
    Station(
        "straighten",
        "Straighten",
        "The tubes are pressed or flamed straight before machining: where, how far, before and after.",
        StationKind.TREAT,
        moves_metal=True,
        optional=True,
        cautions=("Press and flame: keep clear of the line of force and follow the shop's procedure.",),
    ),
    Station(
        "stress_relief",
        "Stress relief",
        "The welded housing is heated and cooled slowly so that it keeps its shape in machining.",
        StationKind.TREAT,
        moves_metal=True,
        optional=True,
        supplier_possible=True,
        cautions=("Furnace heat and times are set by the qualified procedure and the furnace's operator.",),
    ),
    Station(
        "non_destructive_testing",
        "Weld testing",
        "Welds are looked at; snout welds are tested by dye or magnetic particles after the waiting time.",
        StationKind.TEST,
        optional=True,
        supplier_possible=True,
        cautions=(
            "Penetrant, its vapor and UV light: as the shop's procedure says.",
            "Only a person certified for the method accepts or rejects a weld.",
        ),
    ),
    Station(
        "face_and_drill",
        "Face and drill",
        "The face is cut flat from axis A-B and the pilot bore, the bolt holes and their threads are made.",
        StationKind.MACHINE,
        moves_metal=True,
        cautions=(_MACHINE, _LIFT),
    ),
    Station(
        "clean_inside",
        "Clean inside",
        "Chips and weld balls are taken out while the inside can still be reached.",
        StationKind.TREAT,
        optional=True,
        cautions=("Compressed air and solvents: eyes, lungs and fire as the shop's procedure says.",),
    ),
    Station(
        "seam_bubble_test",
        "Bubble test of the seams",
        "The center seams are tested for bubbles before the armor hides them.",
        StationKind.TEST,
        optional=True,
        cautions=_AIR,
    ),
    Station(
        "armor",
        "Armor plates",
        "The back and the bottom plate are welded over the machined center; they hide what they cover.",
        StationKind.CLOSE,
        moves_metal=True,
        welds=True,
        cautions=(
            *_ARC,
            "The dummy plate stays on the face until the housing is below the procedure's temperature.",
        ),
    ),
    Station(
        "caps_and_fittings",
        "Caps and fittings",
        "Fill bung, vent fitting and drain bung are welded; cap and plugs go in.",
        StationKind.CLOSE,
        moves_metal=True,
        welds=True,
        cautions=_ARC,
    ),
    Station(
        "leak_test",
        "Leak test",
        "The closed housing holds low-pressure air; the loss of pressure is measured.",
        StationKind.TEST,
        cautions=_AIR,
    ),
    Station(
        "coat",
        "Coat",
        "The outside is coated, with journals, face and threads masked.",
        StationKind.TREAT,
        optional=True,
        supplier_possible=True,
        cautions=("Paint and powder: fume, fire and ovens as the shop's procedure says.",),
    ),
    Station(
        "final_inspection",
        "Final inspection",
        "Everything a later station could have moved is measured again, before anybody signs.",
        StationKind.INSPECT,
        cautions=(_LIFT,),
    ),
    Station(
        "pack",
        "Pack",
        "Journals, face and openings are protected and the housing is packed with its certificate card.",
        StationKind.PACK,
        optional=True,
        after_sign_off=True,
        cautions=(_LIFT,),
    ),
)

STATIONS = MappingProxyType({entry.code: entry for entry in _CATALOGUE})
"""Every station by its code, in the order in which a long route would visit them (read only)."""


def station(code: str) -> Station:
    """The station of that code.

    Raises `ValueError` with a sentence if there is none.

    >>> station("snouts").name
    'Snouts'
    >>> station("polish")
    Traceback (most recent call last):
    ...
    ValueError: There is no station “polish” in the catalogue.
    """
    try:
        return STATIONS[code]
    except KeyError:
        raise ValueError(f"There is no station “{code}” in the catalogue.") from None
