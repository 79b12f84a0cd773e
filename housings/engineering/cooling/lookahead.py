"""Which joint is next, by playing the rest of the work through once for each that could be."""

from collections.abc import Sequence

from .order import by_rule
from .waiting import WaitingJoint

__all__ = ["by_looking_ahead"]

_MOST = 6
"""Joints that are played through; with more of them the rule decides, or a bench page would be slow."""
_WORTH = 1.0
"""Minutes that another joint than the rule's has to save: a forecast tells no closer."""


def by_looking_ahead(
    left: Sequence[WaitingJoint], free: Sequence[float], reheat_minutes: float
) -> WaitingJoint:
    """The joint with which all of the work ends earliest, if from then on the rule decides.

    A window that is missed costs its reheating. The rule's own choice stands unless another ends at least a
    minute earlier, and where windows to come are not known or too many joints cool. New joints are played as
    far as there is room.
    """
    chosen = by_rule(left, free)
    cooling = [one for one in left if not one.is_new]
    new = sorted((one for one in left if one.is_new), key=lambda one: one is not chosen)
    candidates = cooling + new[: max(0, _MOST - len(cooling))]
    if (
        len(cooling) > _MOST
        or chosen not in candidates
        or any(one.passes_left > 1 and not one.then for one in candidates)
    ):
        return chosen
    least = _ends(chosen, candidates, free, reheat_minutes) - _WORTH
    for other in candidates:
        if other is not chosen:
            end = _ends(other, candidates, free, reheat_minutes)
            if end < least:
                chosen, least = other, end
    return chosen


def _ends(
    first: WaitingJoint, joints: Sequence[WaitingJoint], free: Sequence[float], reheat_minutes: float
) -> float:
    left, times, joint = list(joints), list(free), first
    while True:
        left.remove(joint)
        soonest = min(times)
        begins = max(soonest, joint.opens)
        if begins > joint.until:
            begins += reheat_minutes
        last = begins + joint.arc_minutes
        times[times.index(soonest)] = last
        if joint.passes_left > 1:
            left.append(joint.after_its_pass(last))
        if not left:
            return max(times)
        joint = by_rule(left, times)
