"""One measuring: what is set up once, and what is read from it, be it one figure or several.

Flatness, distance and parallelism of a face come from one probing, camber and toe of both ends from one bar.
The plan says so by giving them the same ``taken_with``; they are then entered on one page and recorded
together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.models import Visit
from inspections.models import Characteristic, Reading
from inspections.models.plans import (
    END_ALIGNMENT,
    FACE_POINTS,
    FACE_TO_AXIS,
    HOLE_PATTERN,
    PILOT_TO_AXIS,
    SHAFT_CLEARANCE,
    Due,
)
from inspections.verdicts import LENGTHS

# Kinds whose raw readings are lengths, whatever the figure made of them is given in.
OF_LENGTHS = frozenset(
    {FACE_TO_AXIS, PILOT_TO_AXIS, HOLE_PATTERN, END_ALIGNMENT, SHAFT_CLEARANCE, FACE_POINTS}
)
PROBED = frozenset({FACE_POINTS, FACE_TO_AXIS, PILOT_TO_AXIS, HOLE_PATTERN})
# Kinds that can be read from one and the same measuring.
FAMILIES = (PROBED, frozenset({END_ALIGNMENT}), frozenset({SHAFT_CLEARANCE}))
NAMES: dict[str, str | Promise] = {
    "face": gettext_lazy("Face and axis"),
    "bar": gettext_lazy("Both ends from the bar"),
    "bores_left": gettext_lazy("Bores of the left end"),
    "bores_right": gettext_lazy("Bores of the right end"),
}


@dataclass(frozen=True)
class Measuring:
    """What is entered on one page, at one visit.

    ``characteristics`` has one or more, in the order of the plan; ``replaces`` the earlier readings that this
    one corrects, by the primary key of their characteristic.
    """

    visit: Visit
    characteristics: tuple[Characteristic, ...]
    replaces: dict[int, Reading] = field(default_factory=dict)

    @property
    def first(self) -> Characteristic:
        return self.characteristics[0]

    @property
    def code(self) -> str:
        """What an unfinished entry of it is kept under: the same for each figure of one measuring."""
        return self.first.taken_with or self.first.code if self.is_set else self.first.code

    @property
    def is_set(self) -> bool:
        """Whether more than one figure comes from it."""
        return len(self.characteristics) > 1

    @property
    def kinds(self) -> frozenset[str]:
        return frozenset(c.kind for c in self.characteristics)

    @property
    def name(self) -> str:
        return name_of(self.characteristics)

    @property
    def needs_gauge(self) -> bool:
        return any(c.needs_gauge for c in self.characteristics)

    @property
    def unit(self) -> str:
        """The unit that its raw readings are typed in unless another one is chosen."""
        unit = next((c.unit for c in self.characteristics if c.unit in LENGTHS), "")
        return unit or ("in" if self.kinds & OF_LENGTHS else self.first.unit)

    def due(self, characteristic: Characteristic) -> Due:
        """The limits at the visit's station."""
        found = characteristic.due_at(self.visit.station)
        assert found is not None, f"{characteristic} is not due at {self.visit.station}"
        return found

    def least(self, otherwise: int = 1) -> int:
        """How many points or readings it has at least."""
        return max(int(c.parameters.get("points_at_least", otherwise)) for c in self.characteristics)


def name_of(characteristics: Sequence[Characteristic]) -> str:
    """What a measuring is called: like its only figure, or after what they are taken with."""
    first = characteristics[0]
    if len(characteristics) == 1:
        return first.name
    return str(NAMES.get(first.taken_with, first.taken_with.replace("_", " ").capitalize()))


def figures_words(count: int) -> str:
    """How many figures come from one measuring."""
    return _("%(count)d figures from one measuring") % {"count": count}


def together(one: Characteristic, others: Iterable[Characteristic]) -> tuple[Characteristic, ...]:
    """``one`` and those of ``others`` that are read from the same measuring, in the order of ``others``."""
    return tuple(c for c in others if c.pk == one.pk or same_measuring(one, c))


def same_measuring(one: Characteristic, other: Characteristic) -> bool:
    """Whether both are read from one measuring."""
    if not one.taken_with or one.taken_with != other.taken_with:
        return False
    return any(one.kind in family and other.kind in family for family in FAMILIES)
