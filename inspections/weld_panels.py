"""What acceptance puts on the page of a joint (`settings.JOINT_PANELS`)."""

from __future__ import annotations

from collections.abc import Sequence

from housings.gate import Situation
from housings.models import Joint
from housings.panels import WHOLE, Panel
from inspections.weld_queries import WeldRecord
from inspections.weld_words import happening_words
from shopqc.people import Actor


def acceptance(situation: Situation, joint: Joint, actor: Actor) -> Sequence[Panel]:
    """What was looked at, tested and repaired on a joint, newest first."""
    record = situation.kept(WeldRecord)
    happened = record.happenings_of(joint) if joint.pk else []
    context = {"happened": [happening_words(one) for one in reversed(happened)]}
    return [Panel("inspections/weld_acceptance.html", context, WHOLE)]
