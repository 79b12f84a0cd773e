"""The steels of the catalogue: what their standards let them contain, for carbon equivalents before a
mill certificate is there.

Greatest and least percent by mass of each element. A mill certificate of the heat itself says more.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from .carbon_equivalent import Formula, carbon_equivalent

__all__ = ["STEELS", "Steel", "worse_of"]


@dataclass(frozen=True, slots=True)
class Steel:
    """One steel: the ranges of its `elements` (least, most; percent by mass as text) and their `source`."""

    grade: str
    elements: Mapping[str, tuple[str, str]]
    source: str

    def equivalents(self) -> dict[str, tuple[float, float]]:
        """CE (IIW), CET and Pcm of the leanest and of the richest steel that the standard allows, percent.

        >>> [round(value, 4) for value in STEELS["4130"].equivalents()["CET"]]
        [0.375, 0.4938]
        """
        formulas: tuple[Formula, ...] = ("IIW", "CET", "Pcm")
        lean, rich = ({symbol: sides[side] for symbol, sides in self.elements.items()} for side in (0, 1))
        return {
            formula: (carbon_equivalent(lean, formula), carbon_equivalent(rich, formula))
            for formula in formulas
        }


_STEELS = (
    Steel(
        "4130",
        {
            "C": ("0.28", "0.33"),
            "Mn": ("0.40", "0.60"),
            "Si": ("0.15", "0.35"),
            "Cr": ("0.80", "1.10"),
            "Mo": ("0.15", "0.25"),
            "Ni": ("0", "0.25"),
            "Cu": ("0", "0.35"),
        },
        "FAA memorandum ANM-112N-14-02, Rev A (2014)",
    ),
    Steel(
        "4140",
        {
            "C": ("0.38", "0.43"),
            "Mn": ("0.75", "1.00"),
            "Si": ("0.15", "0.35"),
            "Cr": ("0.80", "1.10"),
            "Mo": ("0.15", "0.25"),
            "Ni": ("0", "0.25"),
            "Cu": ("0", "0.35"),
        },
        "SAE J404 (from memory)",
    ),
    Steel(
        "A656-80",
        {"C": ("0", "0.18"), "Mn": ("0", "1.65"), "Si": ("0", "0.60"), "V": ("0", "0.08")},
        "ASTM A656, type 3 (from memory)",
    ),
)
STEELS: Mapping[str, Steel] = MappingProxyType({steel.grade: steel for steel in _STEELS})
"""Every steel by its grade (read only)."""


def worse_of(*grades: str) -> Steel | None:
    """The steel that governs a joint: of those that are here, the one with the greatest CET.

    >>> worse_of("4130", "4140").grade
    '4140'
    """
    known = [STEELS[grade] for grade in grades if grade in STEELS]
    return max(known, key=lambda steel: steel.equivalents()["CET"][1], default=None)
