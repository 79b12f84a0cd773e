"""What measuring answers when the gate asks (`settings.STATION_GATE`)."""

from __future__ import annotations

from housings import gate
from inspections import rules
from inspections.queries import Measured


def answer(situation: gate.Situation, step: gate.Step) -> gate.Answer:
    """Every reason of measuring against a step."""
    measured = situation.kept(Measured)
    match step:
        case gate.Start(station):
            return tuple(rules.reasons_not_to_start(measured, station))
        case gate.Leave(visit):
            return tuple(rules.reasons_not_to_leave(measured, visit))
        case gate.NextPass():
            return ()
        case gate.SignOff():
            return tuple(rules.reasons_not_to_sign(measured))
        case gate.TakeBack(visit):
            return tuple(rules.reasons_not_to_take_back(measured, visit))
