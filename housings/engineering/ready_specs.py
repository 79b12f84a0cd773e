"""Ready build specs: what a first order can begin with, each of them fitting by the fit rules.

Figures are invented, as those of `fit_catalogue` are; a shop changes what is its own.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

__all__ = ["READY", "ReadySpec"]


@dataclass(frozen=True, slots=True)
class ReadySpec:
    """A build spec with a name and a sentence that says what it is; `spec` as `spec_from` reads it."""

    code: str
    name: str
    what: str
    spec: Mapping[str, Any]


_COMMON = {"tube_grade": "4130", "tube_condition": "normalised", "plate_grade": "4130", "snout_grade": "4130"}

_READY = (
    ReadySpec(
        "plain",
        "3.5 in tube, plain",
        "For a truck that works: 2.5 in snouts, 40-spline shafts, no link tabs.",
        {
            **_COMMON,
            "tube_od": "3.5",
            "tube_wall": "0.250",
            "armor_thickness": "0.1875",
            "snout_size": "2.5",
            "shaft": "40",
            "width": "60",
            "links": False,
        },
    ),
    ReadySpec(
        "links",
        "4 in tube with link tabs",
        "For links and coil-overs: 2.5 in snouts, 40-spline shafts, brackets at 18 in.",
        {
            **_COMMON,
            "tube_od": "4",
            "tube_wall": "0.375",
            "armor_thickness": "0.250",
            "snout_size": "2.5",
            "shaft": "40",
            "width": "68",
            "links": True,
            "bracket_offset": "18",
            "pinion_angle": "3",
        },
    ),
    ReadySpec(
        "race",
        "4 in tube, race shaft",
        "Heavy wall, 3.25 in snouts of the harder steel, race shafts, link tabs.",
        {
            **_COMMON,
            "tube_od": "4",
            "tube_wall": "0.500",
            "armor_thickness": "0.250",
            "snout_size": "3.25",
            "snout_grade": "4140",
            "shaft": "race",
            "width": "72",
            "links": True,
            "bracket_offset": "18",
            "pinion_angle": "3",
        },
    ),
)

READY = MappingProxyType({entry.code: entry for entry in _READY})
"""Every ready spec by its code (read only)."""
