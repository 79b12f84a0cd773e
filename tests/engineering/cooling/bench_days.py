"""Days at a bench with one welder: what an order of work costs, and the best one by trying all."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from housings.engineering import WaitingJoint, next_joints, windows_to_come

from .joints import LIMITS, CoolDown

REHEAT = 8.0
"""Minutes of the welder that a missed window costs (common practice, no source)."""
CHANGE_OVER = 1.0


@dataclass(frozen=True)
class Work:
    """The passes of one joint: minutes of each with change-over, and its window after each arc's end.

    `expected`: what the shop could expect of those windows before anything is read.
    """

    minutes: tuple[float, ...]
    opens: tuple[float, ...]
    closes: tuple[float, ...]
    expected: tuple[tuple[float, float | None], ...]


@dataclass(frozen=True)
class Standing:
    """How far a joint is: passes done, and when its last arc ended."""

    done: int
    ended: float


def work_of(
    joint: Sequence[CoolDown], passes: int, limits: tuple[int, int], rng: np.random.Generator
) -> Work:
    """Windows of a simulated joint, between a greatest interpass and a least preheat temperature."""
    high, low = (LIMITS.index(one) for one in limits)
    return Work(
        tuple(rng.uniform(3.5, 4.0, passes) + CHANGE_OVER),
        tuple(one.crossings[high] if one.crossings[high] is not None else 40.0 for one in joint[:passes]),
        tuple(one.crossings[low] if one.crossings[low] is not None else 40.0 for one in joint[:passes]),
        windows_to_come(1, passes, joint[0].air, limits[1], limits[0]),
    )


@dataclass
class Forecast:
    """How well windows are known: the noise of those that have begun, and whether those to come are known."""

    noise: float = 0.0
    exact: bool = False
    ahead: bool = True
    dice: np.random.Generator = field(default_factory=lambda: np.random.default_rng(0))


Rule = Callable[[dict[int, Standing], Sequence[Work], float, Forecast], int]
"""Which joint of those in rotation to weld next: standings, work, now, forecast."""


def begins(work: Work, standing: Standing, now: float) -> float:
    """When the next arc of a joint starts if the welder turns to it now: waits, or reheats what he missed."""
    if standing.done == 0:
        return now
    start = max(now, standing.ended + work.opens[standing.done - 1])
    return start if start <= standing.ended + work.closes[standing.done - 1] else start + REHEAT


def first_come(standings: dict[int, Standing], work: Sequence[Work], now: float, forecast: Forecast) -> int:
    """The joint that waits longest; new ones waited from the start."""
    return min(standings, key=lambda one: (standings[one].ended, one))


def suggested(standings: dict[int, Standing], work: Sequence[Work], now: float, forecast: Forecast) -> int:
    """What `next_joints` puts first."""
    waiting = []
    for key, at in standings.items():
        opens, closes, one = now, None, work[key]
        if at.done:
            off = forecast.dice.standard_normal(2) * forecast.noise
            opens = at.ended + one.opens[at.done - 1] * math.exp(off[0])
            closes = at.ended + one.closes[at.done - 1] * math.exp(off[1])
        true = tuple(zip(one.opens, one.closes, strict=True))
        then = (true if forecast.exact else one.expected)[at.done :] if forecast.ahead else ()
        left, minutes = len(one.minutes) - at.done, one.minutes[at.done]
        waiting.append(
            WaitingJoint(f"{key:03}", opens, closes, left, minutes, is_new=at.done == 0, then=then)
        )
    return int(next_joints(waiting, now, reheat_minutes=REHEAT)[0].key)


def day(
    work: Sequence[Work], rule: Rule, rotation: int | None = None, forecast: Forecast | None = None
) -> float:
    """Minutes until the last arc, with at most so many joints in rotation."""
    known = forecast or Forecast(exact=True)
    waiting, now = list(range(len(work))), 0.0
    standings: dict[int, Standing] = {}
    while waiting or standings:
        while waiting and (rotation is None or len(standings) < rotation):
            standings[waiting.pop(0)] = Standing(0, 0.0)
        chosen = rule(standings, work, now, known)
        at = standings.pop(chosen)
        now = begins(work[chosen], at, now) + work[chosen].minutes[at.done]
        if at.done + 1 < len(work[chosen].minutes):
            standings[chosen] = Standing(at.done + 1, now)
    return now


def best(work: Sequence[Work], at_most: float) -> float:
    """The shortest time over all orders: branch and bound, arcs begun as soon as they may."""
    chains = [_chain(one) for one in work]
    found = at_most

    def go(standings: tuple[Standing, ...], now: float, left: float) -> None:
        nonlocal found
        ends = [now + left]
        for one, at, chain in zip(work, standings, chains, strict=True):
            if at.done < len(one.minutes):
                ready = at.ended + one.opens[at.done - 1] if at.done else now
                ends.append(max(now, ready) + chain[at.done])
        if max(ends) >= found - 1e-9:
            return
        choices = []
        for index, (one, at) in enumerate(zip(work, standings, strict=True)):
            if at.done < len(one.minutes):
                choices.append((begins(one, at, now) + one.minutes[at.done], index))
        if not choices:
            found = now
            return
        for end, index in sorted(choices):
            at = standings[index]
            after = (*standings[:index], Standing(at.done + 1, end), *standings[index + 1 :])
            go(after, end, left - work[index].minutes[at.done])

    total = sum(sum(one.minutes) for one in work)
    go(tuple(Standing(0, 0.0) for _ in work), 0.0, total)
    return found


def _chain(work: Work) -> list[float]:
    """Least minutes from the start of each pass to the end of the joint."""
    left = [0.0]
    for index in reversed(range(len(work.minutes))):
        wait = work.opens[index] if index + 1 < len(work.minutes) else 0.0
        left.append(work.minutes[index] + wait + left[-1])
    return left[::-1]
