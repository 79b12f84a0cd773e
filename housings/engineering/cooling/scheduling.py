"""In which order to weld the joints that cool at a bench."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from ..quantities import Quantity, number
from .lookahead import by_looking_ahead
from .order import by_rule
from .waiting import WaitingJoint

__all__ = ["Suggestion", "next_joints"]


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What to do with a joint, in the order in which to do it.

    Attributes
    ----------
    key : str
    action : {"weld", "start", "wait", "reheat"}
        weld: open now and a welder is free for it. start: the same, first pass. wait: at `at`. reheat: its
        window has closed.
    at : float
        When to begin, on the clock of `now`, if what stands before it is done first.
    until : float or None
        When its window closes. None: never.
    misses : bool
        As things stand its window will close before a welder is free: it will have to be reheated.
    """

    key: str
    action: Literal["weld", "start", "wait", "reheat"]
    at: float
    until: float | None
    misses: bool = False


def next_joints(
    joints: Sequence[WaitingJoint],
    now: Quantity,
    welders: int = 1,
    *,
    most_in_rotation: int | None = None,
    reheat_minutes: Quantity = 8,
) -> tuple[Suggestion, ...]:
    """In which order to weld the joints that wait.

    The one among the open that closes first, else the one that opens first; before that a guard for windows
    that would be missed (`order`). Where every joint has its windows to come (`WaitingJoint.then`), the
    first ones, as many as welders, are those with which the rest of the work ends earliest by that rule
    (`lookahead`).

    Parameters
    ----------
    joints : sequence of WaitingJoint
        In any order.
    now : Quantity
        Minutes on the clock of the joints.
    welders : int >= 1
        Who can weld at the same time.
    most_in_rotation : int, optional
        How many joints may be under way at once (`worth_in_rotation`): new ones are begun only below that.
    reheat_minutes : Quantity >= 0
        What a missed window costs a welder.

    Returns
    -------
    tuple of Suggestion
        Every joint once; the first `welders` are for now.

    Raises
    ------
    ValueError
        For two joints of one key, fewer than one welder, and what is no number.

    References
    ----------
    Earliest due date first: J. R. Jackson (1955), from memory. Guard and look-ahead: tried against brute
    force and first come first served on simulated days only; on some days they are worse than the latter.

    Examples
    --------
    >>> waiting = [WaitingJoint("A", 0, 12, 3, 5), WaitingJoint("B", 1, 8, 4, 5)]
    >>> [(one.key, one.action, one.at) for one in next_joints(waiting, 2)]
    [('B', 'weld', 2.0), ('A', 'wait', 7.0)]
    """
    clock, reheat = number(now, "now"), number(reheat_minutes, "reheat minutes")
    if isinstance(welders, bool) or not isinstance(welders, int) or welders < 1:
        raise ValueError("welders: somebody has to weld.")
    if reheat < 0:
        raise ValueError("reheat minutes: zero or more.")
    if len({one.key for one in joints}) < len(joints):
        raise ValueError("Two of the joints have the same key.")
    free = [clock] * welders
    left = sorted(joints, key=lambda one: one.key)
    under_way = sum(not one.is_new for one in left)
    found = []
    for turn in range(len(left)):
        held = most_in_rotation is not None and under_way >= most_in_rotation
        allowed = [one for one in left if not (one.is_new and held)] or left
        chosen = by_looking_ahead(allowed, free, reheat) if turn < welders else by_rule(allowed, free)
        left.remove(chosen)
        soonest = min(free)
        begins = max(soonest, chosen.opens)
        found.append(_suggested(chosen, begins, clock, turn < welders))
        free[free.index(soonest)] = begins + chosen.arc_minutes
        under_way += chosen.is_new
    return tuple(found)


def _suggested(joint: WaitingJoint, begins: float, now: float, somebody_is_free: bool) -> Suggestion:
    until = joint.until if math.isfinite(joint.until) else None
    if joint.until < now:
        return Suggestion(joint.key, "reheat", begins, until)
    if somebody_is_free and begins <= now:
        return Suggestion(joint.key, "start" if joint.is_new else "weld", begins, until)
    return Suggestion(joint.key, "wait", begins, until, misses=begins > joint.until)
