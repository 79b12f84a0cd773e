"""Kinds of equipment: what each measures or holds, and what is assumed of one that just comes on file.

The uncertainties are usual for a sound piece in a shop's hands, expanded with k = 2, and the months between
checks are usual too: common practice, no source. What a shop's own check finds replaces them.
"""

import calendar
import datetime
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

__all__ = ["KINDS", "UNITS", "EquipmentKind", "Measures", "Role", "kind_of", "months_later"]


class Measures(StrEnum):
    """What is read from a piece of equipment."""

    LENGTH = "length"
    ANGLE = "angle"
    PRESSURE = "pressure"
    TEMPERATURE = "temperature"
    TIME = "time"
    NOTHING = "nothing"
    ANYTHING = "anything"  # a gauge of no stated kind


class Role(StrEnum):
    """What a piece of equipment is for."""

    GAUGE = "gauge"
    COMPARATOR = "comparator"
    PLUG = "plug"
    MASTER = "master"
    BAR = "bar"
    PUCK = "puck"
    THERMOMETER = "thermometer"
    V_BLOCK = "v_block"
    FIXTURE = "fixture"
    WELDING_MACHINE = "welding_machine"
    MILL = "mill"


UNITS = MappingProxyType(
    {
        "in": Measures.LENGTH,
        "mm": Measures.LENGTH,
        "°": Measures.ANGLE,
        "psi": Measures.PRESSURE,
        "kPa": Measures.PRESSURE,
        "°F": Measures.TEMPERATURE,
        "°C": Measures.TEMPERATURE,
        "F": Measures.TEMPERATURE,
        "C": Measures.TEMPERATURE,
        "min": Measures.TIME,
        "h": Measures.TIME,
    }
)


@dataclass(frozen=True, slots=True)
class EquipmentKind:
    """One kind of equipment.

    `unit`: in which it reads, as a new piece is assumed to. `uncertainty`: expanded, k = 2, in that unit, as
    decimal text. `months` from one check to the next; None = not checked by date. `constants`: figures its
    geometry needs, by name (lengths in `unit`, angles in degrees); `needs`: those without which it cannot be
    used. English text; the pages pass names through gettext.
    """

    code: str
    name: str
    role: Role
    measures: Measures
    unit: str = "in"
    uncertainty: str = "0"
    months: int | None = 12
    constants: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()

    @property
    def is_read(self) -> bool:
        """Whether a figure can be read from it."""
        return self.measures is not Measures.NOTHING


_LENGTH, _NOTHING = Measures.LENGTH, Measures.NOTHING
_BAR = ("diameter", "bore", "supports", "ends", "straightness")

_TABLE = (
    EquipmentKind("caliper", "Caliper", Role.GAUGE, _LENGTH, uncertainty="0.002"),
    EquipmentKind("micrometer", "Outside micrometer", Role.GAUGE, _LENGTH, uncertainty="0.0002"),
    EquipmentKind("inside_micrometer", "Inside micrometer", Role.GAUGE, _LENGTH, uncertainty="0.0003"),
    EquipmentKind("depth_micrometer", "Depth micrometer", Role.GAUGE, _LENGTH, uncertainty="0.0003"),
    EquipmentKind("bore_gauge", "Bore gauge", Role.COMPARATOR, _LENGTH, uncertainty="0.0002"),
    EquipmentKind("indicator", "Dial indicator", Role.COMPARATOR, _LENGTH, uncertainty="0.0005"),
    EquipmentKind("test_indicator", "Test indicator", Role.COMPARATOR, _LENGTH, uncertainty="0.0002"),
    EquipmentKind("comparator", "Comparator", Role.COMPARATOR, _LENGTH, uncertainty="0.00005"),
    EquipmentKind("height_gauge", "Height gauge", Role.GAUGE, _LENGTH, uncertainty="0.001"),
    EquipmentKind("tape", "Steel tape or rule", Role.GAUGE, _LENGTH, uncertainty="0.03"),
    EquipmentKind("feeler", "Feeler gauges", Role.GAUGE, _LENGTH, uncertainty="0.0005"),
    EquipmentKind("probe", "Probe on a machine", Role.GAUGE, _LENGTH, uncertainty="0.0006"),
    EquipmentKind("angle_gauge", "Angle gauge", Role.GAUGE, Measures.ANGLE, "°", "0.1"),
    EquipmentKind("pressure_gauge", "Pressure gauge", Role.GAUGE, Measures.PRESSURE, "psi", "0.05"),
    EquipmentKind("thermometer", "Thermometer", Role.THERMOMETER, Measures.TEMPERATURE, "°F", "2"),
    EquipmentKind("timer", "Timer", Role.GAUGE, Measures.TIME, "min", "0.02", None),
    EquipmentKind("plug", "Plug or thread gauge", Role.PLUG, _NOTHING),
    EquipmentKind(
        "master",
        "Master (ring, disc or gauge block)",
        Role.MASTER,
        _NOTHING,
        uncertainty="0.00005",
        months=24,
        constants=("size",),
        needs=("size",),
    ),
    EquipmentKind(
        "bar",
        "Alignment bar",
        Role.BAR,
        _NOTHING,
        uncertainty="0.001",
        months=24,
        constants=_BAR,
        needs=("diameter",),
    ),
    EquipmentKind("puck", "Alignment puck", Role.PUCK, _NOTHING, uncertainty="0.0005", months=24),
    EquipmentKind(
        "v_block", "V-blocks", Role.V_BLOCK, _NOTHING, uncertainty="0.0005", months=24, constants=("v_angle",)
    ),
    EquipmentKind("fixture", "Fixture", Role.FIXTURE, _NOTHING, uncertainty="0.005"),
    EquipmentKind("welding_machine", "Welding machine", Role.WELDING_MACHINE, _NOTHING),
    EquipmentKind("mill", "Mill", Role.MILL, _NOTHING, uncertainty="0.001"),
    EquipmentKind("gauge", "Another gauge", Role.GAUGE, Measures.ANYTHING, months=None),
)
KINDS = MappingProxyType({kind.code: kind for kind in _TABLE})


def kind_of(code: str) -> EquipmentKind:
    """The kind with a code; whatever is not in the table is another gauge.

    >>> kind_of("caliper").uncertainty
    '0.002'
    >>> kind_of("laser").code
    'gauge'
    """
    return KINDS.get(code, KINDS["gauge"])


def months_later(day: datetime.date, months: int) -> datetime.date:
    """The same day so many months later; the last of its month where that has fewer days.

    >>> months_later(datetime.date(2027, 8, 31), 6)
    datetime.date(2028, 2, 29)
    """
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return datetime.date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))
