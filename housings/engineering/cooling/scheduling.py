"""Which of several cooling joints a welder should take next."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from ..quantities import Quantity, above_zero, number

__all__ = ["Suggestion", "WaitingJoint", "next_joints"]

_GUARDED_FROM = 3
"""Joints in rotation from which the guard pays; with two it idles needlessly (simulated days)."""
_SAME_MINUTE = 1.0
"""A forecast tells no closer than this: within it the other side of a housing and the work left decide."""


@dataclass(frozen=True, slots=True)
class WaitingJoint:
    """A joint at the bench.

    Minutes on one clock, the same as `now`.

    Attributes
    ----------
    key : str
        Names the joint; no two alike.
    opens : float
        Announced opening; for a new joint when it is preheated.
    closes : float or None
        Announced closing. None: never.
    passes_left : int >= 1
    arc_minutes : float > 0
        Of the next pass, with the change-over.
    is_new : bool
        No pass is laid yet: it waits without cooling, and never closes by itself.
    housing, side : str, optional
        Two joints of one housing with different sides are welded in turn, against distortion, where the
        clock does not decide: the side with more passes left is due.
    """

    key: str
    opens: float
    closes: float | None
    passes_left: int
    arc_minutes: float
    is_new: bool = False
    housing: str = ""
    side: str = ""

    def __post_init__(self) -> None:
        number(self.opens, f"{self.key}: opens")
        above_zero(self.arc_minutes, f"{self.key}: arc minutes")
        if self.closes is not None and number(self.closes, f"{self.key}: closes") < self.opens:
            object.__setattr__(self, "closes", self.opens)
        if (
            isinstance(self.passes_left, bool)
            or not isinstance(self.passes_left, int)
            or self.passes_left < 1
        ):
            raise ValueError(f"{self.key}: a joint that waits has at least one pass left.")

    @property
    def until(self) -> float:
        """When its window closes; ``inf`` for never."""
        return math.inf if self.is_new or self.closes is None else self.closes


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
        When its window closes.
    misses : bool
        As things stand its window will close before a welder is free: it will have to be reheated.
    """

    key: str
    action: Literal["weld", "start", "wait", "reheat"]
    at: float
    until: float | None
    misses: bool = False


def next_joints(
    joints: Sequence[WaitingJoint], now: Quantity, welders: int = 1, *, most_in_rotation: int | None = None
) -> tuple[Suggestion, ...]:
    """In which order to weld the joints that wait.

    Of two joints: the one among the open that closes first, else the one that opens first. From three on a
    guard comes before that: only what leaves every other live window reachable is begun, and of what can be
    begun earliest, the joint with most passes left. Joints that have closed come after the live ones, new
    ones after those: they lose nothing by waiting.

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
    Earliest due date first: J. R. Jackson (1955), from memory. The guard: tried against brute force and first
    come first served on simulated days only; on some days it is worse than either.

    Examples
    --------
    >>> waiting = [WaitingJoint("A", 0, 12, 3, 5), WaitingJoint("B", 1, 8, 4, 5)]
    >>> [(one.key, one.action, one.at) for one in next_joints(waiting, 2)]
    [('B', 'weld', 2.0), ('A', 'wait', 7.0)]
    """
    clock = number(now, "now")
    if isinstance(welders, bool) or not isinstance(welders, int) or welders < 1:
        raise ValueError("welders: somebody has to weld.")
    if len({one.key for one in joints}) < len(joints):
        raise ValueError("Two of the joints have the same key.")
    free = [clock] * welders
    left = sorted(joints, key=lambda one: one.key)
    under_way = sum(not one.is_new for one in left)
    guarded = len(left) >= _GUARDED_FROM
    found = []
    for turn in range(len(left)):
        start = min(free)
        held = most_in_rotation is not None and under_way >= most_in_rotation
        allowed = [one for one in left if not (one.is_new and held)] or left
        chosen = _choose(allowed, start, free, guarded)
        left.remove(chosen)
        begins = max(start, chosen.opens)
        found.append(_suggested(chosen, begins, clock, turn < welders))
        free[free.index(start)] = begins + chosen.arc_minutes
        under_way += chosen.is_new
    return tuple(found)


def _suggested(joint: WaitingJoint, begins: float, now: float, somebody_is_free: bool) -> Suggestion:
    until = joint.until if math.isfinite(joint.until) else None
    if joint.until < now:
        return Suggestion(joint.key, "reheat", begins, until)
    if somebody_is_free and begins <= now:
        return Suggestion(joint.key, "start" if joint.is_new else "weld", begins, until)
    return Suggestion(joint.key, "wait", begins, until, misses=begins > joint.until)


def _choose(left: Sequence[WaitingJoint], start: float, free: Sequence[float], guarded: bool) -> WaitingJoint:
    live = [one for one in left if not one.is_new and one.until >= start]
    if not live:
        closed = [one for one in left if not one.is_new]
        return min(closed or left, key=lambda one: _by_need(one, left))
    if guarded:
        safe = [one for one in live if _leaves_reachable(one, live, free)]
        if safe:
            return min(safe, key=lambda one: (_minute(max(start, one.opens)), *_by_need(one, left)))
    is_open = [one for one in live if one.opens <= start]
    if is_open:
        return min(is_open, key=lambda one: (_minute(one.until), *_by_need(one, left)))
    return min(live, key=lambda one: (_minute(one.opens), *_by_need(one, left)))


def _by_need(joint: WaitingJoint, left: Sequence[WaitingJoint]) -> tuple[bool, int, float, float, str]:
    """The side that is due, most passes left, first to close, first to open; the key settles the rest."""
    others = [one for one in left if one.housing and one.housing == joint.housing and one.side != joint.side]
    not_due = any(other.passes_left > joint.passes_left for other in others)
    return not_due, -joint.passes_left, joint.until, joint.opens, joint.key


def _minute(moment: float) -> float:
    return math.inf if math.isinf(moment) else math.floor(moment / _SAME_MINUTE)


def _leaves_reachable(first: WaitingJoint, live: Sequence[WaitingJoint], free: Sequence[float]) -> bool:
    """Whether after `first` the others can all begin before they close, earliest closing first."""
    times = sorted(free)
    for joint in (first, *sorted((one for one in live if one is not first), key=lambda one: one.until)):
        begins = max(times[0], joint.opens)
        if begins > joint.until:
            return False
        times[0] = begins + joint.arc_minutes
        times.sort()
    return True
