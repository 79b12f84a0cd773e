"""What measuring and looking answer when the gate asks (`settings.STATION_GATE`)."""

from __future__ import annotations

from housings import gate
from inspections import rules, weld_rules
from inspections.queries import Measured
from inspections.weld_queries import WeldRecord


def answer(situation: gate.Situation, step: gate.Step) -> gate.Answer:
    """Every reason against a step: what measuring says, then what was seen of the welds."""
    measured, welds = situation.kept(Measured), situation.kept(WeldRecord)
    match step:
        case gate.Start(station):
            found = rules.reasons_not_to_start(measured, station)
            return (*found, *weld_rules.reasons_not_to_start(welds, station))
        case gate.Leave(visit):
            found = rules.reasons_not_to_leave(measured, visit)
            return (*found, *weld_rules.reasons_not_to_leave(welds, visit))
        case gate.NextPass():
            return tuple(weld_rules.reasons_against_pass(welds, step))
        case gate.SignOff():
            found = rules.reasons_not_to_sign(measured)
            return (*found, *weld_rules.reasons_not_to_sign(welds))
        case gate.TakeBack(visit):
            # Said once, whatever was recorded there.
            found = rules.reasons_not_to_take_back(measured, visit)
            return tuple(found or weld_rules.reasons_not_to_take_back(welds, visit))
