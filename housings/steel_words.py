"""What heats and traced parts are called on screens and paper."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from housings.engineering.carbon_equivalent import Formula, carbon_equivalent
from housings.engineering.parts import parts_of
from housings.engineering.ready_specs import READY
from housings.engineering.spec import spec_from
from housings.models import Heat

KINDS = {Heat.STEEL: _("steel"), Heat.FILLER: _("filler"), Heat.GAS: _("gas")}
FORMS = {
    "tube": _("tube"),
    "plate": _("plate"),
    "bar": _("bar"),
    "wire": _("wire"),
    "rod": _("rod"),
    "cylinder": _("cylinder"),
}
CERTIFICATE_TYPES = {
    "2.1": _("2.1, declaration of compliance"),
    "2.2": _("2.2, test report"),
    "3.1": _("3.1, inspection certificate of the mill"),
    "3.2": _("3.2, inspection certificate, countersigned"),
}
"""Types of inspection documents by EN 10204:2004."""

FORMULAS: tuple[Formula, ...] = ("IIW", "CET", "Pcm")

# A housing with link tabs has every part there is.
_PARTS = parts_of(spec_from(READY["links"].spec))
PART_NAMES = {part.code: part.name for part in _PARTS}
STEEL_STATIONS = frozenset(part.station for part in _PARTS)


def part_name(code: str) -> str:
    """The name of a traced part; its code if the list has it no more."""
    return str(_(PART_NAMES[code])) if code in PART_NAMES else code


def equivalents_of(heat: Heat) -> dict[str, str]:
    """Its carbon equivalents by formula, percent by mass, no more digits than certificates give."""
    if not heat.composition:
        return {}
    return {name: f"{carbon_equivalent(heat.composition, name):.2f}" for name in FORMULAS}
