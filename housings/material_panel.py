"""What a housing is made of, on its page (`settings.HOUSING_PANELS`)."""

from __future__ import annotations

from collections.abc import Sequence

from django.urls import reverse
from django.utils.translation import gettext as _

from housings import queries, states
from housings.engineering.parts import parts_of
from housings.engineering.spec import spec_from
from housings.gate import Situation
from housings.material_rules import STEEL_TRACED, steel_in
from housings.panels import HERE, WHOLE, NextStep, Panel
from shopqc.people import Actor


def panel(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """Where parts are joined their steel is scanned; everywhere it is told how many are on record."""
    if situation.housing.state in {states.SCRAPPED, states.CANCELLED}:
        return []
    steel = situation.kept(steel_in)
    parts = parts_of(spec_from(situation.housing.spec.data))
    here = queries.visit_here(situation.visits)
    at_station = [part for part in parts if here is not None and part.station == here.station]
    missing = [part for part in at_station if part.code not in steel]
    recalled = sorted({use.heat.number for use in steel.values() if use.heat.recalled_at})
    may = not actor.reasons_against("use_material")
    to_do = None
    if missing and may and STEEL_TRACED in situation.in_use:
        to_do = NextStep(reverse("materials-here", args=[situation.housing.serial]), _("Scan the steel"))
    context = {
        "at_station": len(at_station),
        "missing": [_(part.name) for part in missing],
        "recorded": sum(part.code in steel for part in parts),
        "count": len(parts),
        "recalled": recalled,
        "may_record": may,
    }
    return [Panel("housings/panel_steel.html", context, HERE if at_station else WHOLE, to_do)]
