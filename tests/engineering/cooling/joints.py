"""Welded joints of an invented shop, pass after pass, in the shell model: what a thermometer could have read.

Everything about a joint is drawn at random within what such joints are (pipe, wall, snout, fixture, air,
steel, heat input, how late the next pass comes), each from its own dice: any of them can be had alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .air import Array
from .shell import AROUND, Shell, Surroundings, arc_at, growing

PASSES = 9
DT = 0.5
MINUTES = (0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 18, 22, 26, 32, 40)
"""When the stop point is written down, after the end of the arc."""
ELSEWHERE_MINUTES = (1, 2, 4, 8, 15)
LIMITS = (204, 177, 150, 121, 93)
"""°C, whose crossings at the stop point are written down."""


@dataclass
class CoolDown:
    """One pass of one joint, °C and minutes since the end of the arc.

    `crossings`: 0 where it was never that hot; None where it was not reached in 40 minutes.
    `check`: minute and temperature just before the next arc.
    `beside`, `away`, `opposite`: 25 and 75 mm along the tube from the stop, and on the weld half way round.
    """

    joint: int
    number: int
    air: float
    stop: list[float]
    crossings: list[float | None]
    check: list[float]
    beside: list[float]
    away: list[float]
    opposite: list[float]


class Dice:
    """One generator per joint."""

    def __init__(self, seed: int, joints: Sequence[int]) -> None:
        self._each = [np.random.default_rng([seed, joint]) for joint in joints]

    def between(self, low: float, high: float) -> Array:
        return np.array([one.uniform(low, high) for one in self._each])

    def normal(self) -> Array:
        return np.array([one.standard_normal() for one in self._each])

    def chance(self, share: float) -> Array:
        return self.between(0, 1) < share

    def cell(self) -> Array:
        return np.array([one.integers(0, AROUND) for one in self._each])


@dataclass
class Kind:
    """What the joints of a shop are like: pairs of outside diameter and wall (m), and ranges."""

    pipes: tuple[tuple[float, float], ...] = ((0.1016, 0.0127), (0.0889, 0.009525))
    first_share: float = 0.6
    heat: tuple[float, float] = (0.9, 1.1)


def simulate(
    seed: int, joints: Sequence[int], passes: int = PASSES, kind: Kind | None = None
) -> list[CoolDown]:
    """All passes of some joints, by joint and pass.

    The next arc starts when the stop point has come down to a temperature drawn for it: in seven of ten
    passes soon after 204 °C, else anywhere down to 121 °C; and at least a minute after the last. The
    cool-down itself is followed further, beside the joint that is welded on, to know when it would cross.
    """
    dice = Dice(seed, joints)
    air, shell, drawn = _shell(dice, kind or Kind())
    at_weld, over = dice.between(135, 170), dice.between(0.06, 0.15)
    shell.start(air[:, None] + (at_weld - air)[:, None] * np.exp(-np.abs(shell.positions) / over[:, None]))
    shell.fixture = air.copy()
    rows: list[CoolDown] = []
    for number in range(1, passes + 1):
        first = dice.cell()
        _weld(shell, first, number, drawn, dice)
        target = np.where(dice.chance(0.7), dice.between(183, 204), dice.between(121, 183))
        rows += _cool(shell, first, number, joints, air, target)
    return sorted(rows, key=lambda row: (row.joint, row.number))


def _shell(dice: Dice, kind: Kind) -> tuple[Array, Shell, dict[str, Array]]:
    first = dice.chance(kind.first_share)
    (wide, thick), (narrow, thin) = kind.pipes
    wall = np.where(first, thick, thin) * np.clip(1 + 0.06 * dice.normal(), 0.875, 1.15)
    diameter = np.where(first, wide, narrow)
    left, right = growing(0.005, 1.2, 19), growing(0.005, 1.2, 24)
    snout = np.searchsorted(np.cumsum(left), dice.between(0.15, 0.5)).clip(13, len(left))
    tube = np.searchsorted(np.cumsum(right), dice.between(0.5, 1.2)).clip(15, len(right))
    air = dice.between(5, 35)
    around = Surroundings(
        air=air[:, None, None],
        walls=air[:, None, None],
        emissivity=dice.between(0.7, 0.9)[:, None, None],
        convection=dice.between(0.8, 2.0)[:, None, None],
    )
    shell = Shell(
        left,
        right,
        snout,
        tube,
        wall * dice.between(1.15, 2.0),
        wall,
        diameter,
        around,
        bore=dice.between(0, 0.3),
        fixture_capacity=dice.between(1000, 4000),
        fixture_conductance=dice.chance(0.35) * dice.between(1, 6),
        conductivity_factor=dice.between(0.8, 1.0),
        dt=DT,
    )
    return air, shell, {"way": np.pi * diameter * 1000, "heat": dice.between(*kind.heat)}


def _weld(shell: Shell, first: Array, number: int, drawn: dict[str, Array], dice: Dice) -> None:
    lasts = dice.between(210, 240)
    spread = np.clip(1 + 0.1 * dice.normal(), 0.8, 1.2)
    joules = drawn["heat"] * 1000 * drawn["way"] * spread * (0.85 if number == 1 else 1.0)
    # All arcs of a turn end together, so that all joints cool by one clock: the shorter begin later.
    for step in range(round(240 / shell.dt)):
        since = (step + 0.5) * shell.dt - (240 - lasts)
        watts = np.where(since > 0, joules / lasts, 0)
        shell.step(arc_at(np.clip(since / lasts, 0, 1), first, watts))


def _cool(
    shell: Shell, stop: Array, number: int, joints: Sequence[int], air: Array, target: Array
) -> list[CoolDown]:
    written: list[Array] = []
    others: list[tuple[Array, Array, Array]] = []
    before = shell.on_the_weld(stop)
    crossings = np.where(before[:, None] <= np.array(LIMITS), 0.0, np.nan)
    check = np.full((len(stop), 2), np.nan)
    kept, kept_fixture = shell.temperature.copy(), shell.fixture.copy()
    steps = round(MINUTES[-1] * 60 / shell.dt)
    for step in range(1, steps + 1):
        shell.step()
        minutes, now = step * shell.dt / 60, shell.on_the_weld(stop)
        _note_crossings(crossings, before, now, minutes, shell.dt / 60)
        leaves = np.isnan(check[:, 0]) & ((now <= target) & (minutes >= 1) | (step == steps))
        if leaves.any():
            check[leaves, 0], check[leaves, 1] = minutes, now[leaves]
            kept[leaves], kept_fixture[leaves] = shell.temperature[leaves], shell.fixture[leaves]
        if any(abs(minutes - one) < 1e-9 for one in MINUTES):
            written.append(now)
        if any(abs(minutes - one) < 1e-9 for one in ELSEWHERE_MINUTES):
            beside, away = shell.along_the_tube(stop, 0.025), shell.along_the_tube(stop, 0.075)
            others.append((beside, away, shell.on_the_weld(stop + AROUND // 2)))
        before = now
    shell.temperature, shell.fixture = kept, kept_fixture
    return [
        CoolDown(
            joint,
            number,
            round(float(air[row]), 1),
            [round(float(one[row]), 1) for one in written],
            [None if np.isnan(one) else round(float(one), 2) for one in crossings[row]],
            [round(float(check[row, 0]), 2), round(float(check[row, 1]), 1)],
            *([round(float(one[place][row]), 1) for one in others] for place in range(3)),
        )
        for row, joint in enumerate(joints)
    ]


def _note_crossings(crossings: Array, before: Array, now: Array, minutes: float, dt: float) -> None:
    limits = np.array(LIMITS)
    passed = np.isnan(crossings) & (now[:, None] <= limits)
    if passed.any():
        fall = np.maximum(before - now, 1e-12)[:, None]
        at = minutes - dt * (limits - now[:, None]) / fall
        crossings[passed] = at[passed]
