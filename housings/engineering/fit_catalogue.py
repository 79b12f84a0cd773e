"""What goes with what: sizes, bores, shafts and steels that the fit rules look up.

`DEMO` holds invented figures, except the spline diameters; a shop replaces them with its own.
"""

from dataclasses import dataclass
from decimal import Decimal

__all__ = ["DEMO", "Catalogue", "Shaft", "Snout", "Tube"]


@dataclass(frozen=True, slots=True)
class Tube:
    """A tube by outside diameter, with its walls, the snouts it takes and the steels of its plate. Inches."""

    od: Decimal
    walls: tuple[Decimal, ...]
    snouts: tuple[Decimal, ...]
    plate_grades: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Snout:
    """A snout by bearing size, with its bore and the kinds of shaft that its hub takes. Inches."""

    size: Decimal
    bore: Decimal
    shafts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Shaft:
    """A kind of shaft with the two diameters that have to pass the bore. Inches."""

    code: str
    spline_diameter: Decimal
    body_diameter: Decimal

    def largest(self, body: Decimal | None = None) -> Decimal:
        """The diameter that has to pass the bore; ``body`` = that of one shaft, where it is its own."""
        return max(self.body_diameter if body is None else body, self.spline_diameter)


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Everything the fit rules look up. Lengths in inches, angles in degrees.

    `least_clearance` is all round, so a shaft has twice that less than the bore.
    `least_side` is the shortest distance from the carrier's center line to an end of the housing.
    """

    tubes: tuple[Tube, ...]
    snouts: tuple[Snout, ...]
    shafts: tuple[Shaft, ...]
    tube_grades: tuple[str, ...]
    tube_conditions: tuple[str, ...]
    snout_grades: tuple[str, ...]
    armor_thicknesses: tuple[Decimal, ...]
    least_clearance: Decimal
    least_side: Decimal
    greatest_camber: Decimal
    greatest_toe: Decimal

    def tube(self, od: Decimal) -> Tube | None:
        return next((tube for tube in self.tubes if tube.od == od), None)

    def snout(self, size: Decimal) -> Snout | None:
        return next((snout for snout in self.snouts if snout.size == size), None)

    def shaft(self, code: str) -> Shaft | None:
        return next((shaft for shaft in self.shafts if shaft.code == code), None)


def _in(*texts: str) -> tuple[Decimal, ...]:
    return tuple(Decimal(text) for text in texts)


DEMO = Catalogue(
    tubes=(
        Tube(Decimal("3.5"), _in("0.250", "0.375"), _in("2.25", "2.5"), ("4130", "A656-80")),
        Tube(Decimal("4"), _in("0.375", "0.500"), _in("2.5", "3.25"), ("4130",)),
    ),
    snouts=(
        Snout(Decimal("2.25"), Decimal("1.82"), ("35", "40")),
        Snout(Decimal("2.5"), Decimal("2.00"), ("35", "40")),
        Snout(Decimal("3.25"), Decimal("2.60"), ("40", "race")),
    ),
    # Spline: external major diameter by ANSI B92.1, 24/48 pitch, (N + 1) / P, 1.7083 rounded up.
    shafts=(
        Shaft("35", Decimal("1.5000"), Decimal("1.50")),
        Shaft("40", Decimal("1.7084"), Decimal("1.75")),
        Shaft("race", Decimal("2.30"), Decimal("2.30")),
    ),
    tube_grades=("4130",),
    tube_conditions=("normalised", "stress-relieved"),
    snout_grades=("4130", "4140"),
    armor_thicknesses=_in("0.1875", "0.250"),
    least_clearance=Decimal("0.020"),
    least_side=Decimal("18"),
    greatest_camber=Decimal("1.5"),
    greatest_toe=Decimal("0.5"),
)
"""The catalogue of the demo shop."""
