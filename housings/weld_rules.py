"""What the housings themselves say against a weld pass."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

from housings import queries
from housings.rules import reasons_of_away, reasons_of_holds, reasons_of_state
from shopqc.refusals import Reason, register

if TYPE_CHECKING:
    from housings.gate import NextPass, Situation

register(409, {"weld_elsewhere": _("%(joint)s is welded at %(station)s, and the housing is not there.")})


def reasons_against_pass(situation: Situation, step: NextPass) -> list[Reason]:
    """Why the next pass of a joint may not begin, as far as housing, joint, welder and temperature go."""
    here = queries.visit_here(situation.visits)
    reasons = reasons_of_state(situation.housing) + reasons_of_holds(situation.holds)
    reasons += reasons_of_away(situation.visits)
    if here is None or here.station != step.joint.station:
        reasons.append(Reason("weld_elsewhere", {"joint": step.joint.name, "station": step.joint.station}))
    return reasons
