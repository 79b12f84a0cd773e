"""The rule of the bench: of the joints that wait, which one is next."""

import math
from collections.abc import Sequence

from .waiting import WaitingJoint

__all__ = ["by_rule", "due_side"]

_SAME_MINUTE = 1.0
"""A forecast tells no closer than this: within it the other side of a housing and the work left decide."""


def by_rule(left: Sequence[WaitingJoint], free: Sequence[float]) -> WaitingJoint:
    """Earliest closing among the open, else earliest opening, with a guard before that.

    Parameters
    ----------
    left : sequence of WaitingJoint
        At least one.
    free : sequence of float
        When each welder is free; the joint is for the first of them.

    The guard begins only what leaves every other live window reachable (earliest closing first), and of that
    the joint which can begin earliest; in the same minute one that cools before a new one, then most passes
    left. Where nothing is safe some window is lost anyway, and the rule decides. Closed joints come last:
    they lose nothing by waiting.

    The guard idles on some days. Windows after the first passes are hardly longer than an arc, and without it
    they are missed: with two joints in rotation too (simulated days).
    """
    start = min(free)
    live = [one for one in left if one.until >= start]
    if not live:
        return min(left, key=lambda one: _by_need(one, left))
    cooling = sorted((one for one in live if not one.is_new), key=lambda one: one.until)
    safe = [one for one in live if _leaves_reachable(one, cooling, free)]
    if safe:
        return min(safe, key=lambda one: (_minute(max(start, one.opens)), one.is_new, *_by_need(one, left)))
    is_open = [one for one in live if one.opens <= start]
    if is_open:
        return min(is_open, key=lambda one: (_minute(one.until), one.is_new, *_by_need(one, left)))
    return min(live, key=lambda one: (_minute(one.opens), *_by_need(one, left)))


def due_side(joint: WaitingJoint, others: Sequence[WaitingJoint]) -> bool:
    """Whether no other side of its housing is behind it."""
    if not joint.housing:
        return True
    return not any(
        one.housing == joint.housing and one.side != joint.side and one.passes_left > joint.passes_left
        for one in others
    )


def _by_need(joint: WaitingJoint, left: Sequence[WaitingJoint]) -> tuple[bool, int, float, float, str]:
    """The side that is due, most passes left, first to close, first to open; the key settles the rest."""
    return not due_side(joint, left), -joint.passes_left, joint.until, joint.opens, joint.key


def _minute(moment: float) -> float:
    return math.inf if math.isinf(moment) else math.floor(moment / _SAME_MINUTE)


def _leaves_reachable(first: WaitingJoint, cooling: Sequence[WaitingJoint], free: Sequence[float]) -> bool:
    """Whether after `first` the others can all begin before they close, earliest closing first."""
    times = list(free)
    for joint in (first, *(one for one in cooling if one is not first)):
        soonest = min(times)
        begins = max(soonest, joint.opens)
        if begins > joint.until:
            return False
        times[times.index(soonest)] = begins + joint.arc_minutes
    return True
