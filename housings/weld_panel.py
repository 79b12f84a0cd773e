"""What the welding bench puts on a housing's page: its joints here, and the next pass as what is to do."""

from __future__ import annotations

from collections.abc import Sequence

from django.urls import reverse
from django.utils.translation import gettext as _

from housings import queries
from housings.gate import Situation
from housings.panels import NextStep, Panel
from housings.weld_rules import standing_joints
from housings.weld_words import passes_words
from shopqc.people import Actor


def welds_here(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """The joints that are welded where the housing is, each with a link to its page."""
    here = queries.visit_here(situation.visits)
    if here is None or not here.at.welds:
        return []
    states = [one for one in situation.kept(standing_joints) if one.joint.station == here.station]
    if not states:
        return []
    missing = next((one for one in states if one.is_here and one.missing), None)
    to_do = None
    if missing is not None and not actor.reasons_against("record_pass"):
        url = reverse("joint", args=[situation.housing.serial, missing.joint.code])
        to_do = NextStep(url, _("Weld: %(joint)s") % {"joint": missing.joint.name})
    context = {"joints": [(one, passes_words(one)) for one in states]}
    return [Panel("housings/weld/panel.html", context, to_do=to_do)]
