"""How a part was held and what else took part in a reading, in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.setup import SECTIONS, SOURCES

HELD = {
    "v_blocks": gettext_lazy("held in V-blocks"),
    "centers": gettext_lazy("held between centers"),
    "bearings": gettext_lazy("held in bearings"),
    "bar": gettext_lazy("on the alignment bar"),
    "table": gettext_lazy("on the surface table"),
}


def in_words(setup: Mapping[str, Any]) -> list[str]:
    """A set-up as sentences without a full stop; empty where nothing was said."""
    said = []
    if support := setup.get("support"):
        words = str(HELD.get(support, support))
        if angle := setup.get("v_angle"):
            words += _(" of %(angle)s°") % {"angle": angle}
        said.append(words)
    if section := setup.get("section"):
        said.append(_("the section %(section)s") % {"section": SECTIONS.get(section, section)})
    for name, words in (
        ("bar", _("bar %(code)s")),
        ("master", _("compared with master %(code)s")),
        ("thermometer", _("thermometer %(code)s")),
    ):
        if code := setup.get(name):
            said.append(words % {"code": code})
    if air := setup.get("air"):
        said.append(_("air at %(value)s °%(unit)s") % {"value": air.get("value"), "unit": air.get("unit")})
    if setup.get("settled"):
        said.append(_("left until it had the temperature of the room"))
    if (source := setup.get("source")) and source != "typed":
        said.append(str(SOURCES.get(source, source)))
    if setup.get("simulated"):
        said.append(_("from a simulated gauge, not from this housing"))
    return said
