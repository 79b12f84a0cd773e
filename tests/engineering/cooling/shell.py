"""A welded tube joint that heats and cools: two lengths of tube, end to end, as a shell.

Finite volumes along the axis and round it, lumped through the wall, stepped explicitly; many joints at once.
It shares nothing with the forecast that is tested against it: no formula, no number, no import.
Arrays are (joints, axial cells, cells round); SI units and °C.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from .air import Array, free_convection, radiation

AROUND = 16
DENSITY = 7850.0
WELD_SHARES = ((-2, 0.15), (-1, 0.35), (0, 0.35), (1, 0.15))
"""Where the heat of the arc goes: cells from the middle of the weld, and shares."""

Property = Callable[[Array], Array]


def steel_heat_capacity(celsius: Array) -> Array:
    """J/kg K of carbon steel (EN 1993-1-2, 3.4.1.2, below 600 °C; from memory); above, held as at 600."""
    t = np.clip(celsius, 20, 600)
    result: Array = 425 + t * (0.773 + t * (-1.69e-3 + t * 2.22e-6))
    return result


def steel_conductivity(celsius: Array) -> Array:
    """W/m K of carbon steel (EN 1993-1-2, 3.4.1.3, below 800 °C; from memory)."""
    result: Array = 54 - 3.33e-2 * np.clip(celsius, 20, 800)
    return result


@dataclass
class Surroundings:
    """Still air round a tube. All (joints, 1, 1) or numbers.

    `fixed_h` replaces free convection by a constant, for closed forms.
    """

    air: Array | float
    walls: Array | float
    emissivity: Array | float = 0.0
    convection: Array | float = 1.0
    fixed_h: float | None = None

    def loss(self, diameter: Array, surface: Array) -> tuple[Array, Array]:
        """h, and the temperature it drives towards, so that the loss is h (T - towards) per area."""
        if self.fixed_h is None:
            free = self.convection * free_convection(diameter, surface, np.asarray(self.air))
        else:
            free = np.full(surface.shape, self.fixed_h)
        glow = radiation(np.asarray(self.emissivity), surface, np.asarray(self.walls))
        return free + glow, (free * self.air + glow * self.walls) / np.maximum(free + glow, 1e-12)


class Shell:
    """Snout and tube with a weld between them.

    Parameters
    ----------
    left, right : (axial cells,)
        Lengths of the cells, from the weld outwards.
    left_cells, right_cells : (joints,)
        How many of them each joint has.
    left_wall, right_wall, diameter : (joints,)
    bore : (joints,)
        Loss of the bore, as a share of the loss outside.
    fixture_capacity, fixture_conductance : (joints,), optional
        Of a lump of steel that holds the left side all round, three cells from 8 cells out, J/K and W/K.
    """

    def __init__(
        self,
        left: Array,
        right: Array,
        left_cells: Array,
        right_cells: Array,
        left_wall: Array,
        right_wall: Array,
        diameter: Array,
        surroundings: Surroundings,
        bore: Array | float = 0.0,
        fixture_capacity: Array | None = None,
        fixture_conductance: Array | None = None,
        capacity: Property = steel_heat_capacity,
        conductivity: Property = steel_conductivity,
        conductivity_factor: Array | float = 1.0,
        dt: float = 0.5,
        every: int = 10,
    ) -> None:
        joints, self.middle, cells = len(left_wall), len(left), len(left) + len(right)
        dx = np.concatenate([left[::-1], right])[None, :, None]
        index = np.arange(cells)[None, :]
        on_left = index < self.middle
        there = (index >= self.middle - np.asarray(left_cells)[:, None]) & (
            index < self.middle + np.asarray(right_cells)[:, None]
        )
        wall = np.where(on_left, left_wall[:, None], right_wall[:, None])[..., None]
        round_ = (np.pi * (diameter - right_wall) / AROUND)[:, None, None]
        half = dx / wall / 2
        joined = (there[:, 1:] & there[:, :-1])[..., None]
        self.along = joined * round_ / (half[:, 1:] + half[:, :-1])
        self.about = wall * dx / round_
        self.mass = DENSITY * wall * dx * round_ * np.ones((1, 1, AROUND))
        self.outside = (np.pi * diameter / AROUND)[:, None, None] * dx * np.ones((1, 1, AROUND))
        self.bore = 1 + np.asarray(bore).reshape(-1, 1, 1)
        self.diameter = diameter[:, None, None]
        self.positions = np.concatenate([-(np.cumsum(left) - left / 2)[::-1], np.cumsum(right) - right / 2])
        self.there, self.dt, self.every = there[..., None], dt, every
        self.surroundings, self.capacity, self.conductivity = surroundings, capacity, conductivity
        self.factor = np.asarray(conductivity_factor).reshape(-1, 1, 1)
        self.grip = slice(self.middle - 11, self.middle - 8)
        self.fixture_capacity = fixture_capacity
        self.fixture_conductance = fixture_conductance
        self.fixture = np.zeros(joints)
        self.temperature = np.zeros((joints, cells, AROUND))
        self.lost = np.zeros(joints)
        self._steps = 0

    def start(self, celsius: Array) -> None:
        """Everything at one temperature per joint (or one per axial cell: (joints, axial cells))."""
        given = np.asarray(celsius, dtype=float)
        shaped = given[:, :, None] if given.ndim == 2 else given[:, None, None]
        self.temperature = np.broadcast_to(shaped, self.temperature.shape).copy()
        self.fixture = self.temperature[:, 0, 0].copy() if given.ndim == 1 else self.fixture
        self._steps = 0

    def step(self, arc: Array | None = None) -> None:
        """One time step. arc: W into each cell round the weld, (joints, cells round)."""
        if self._steps % (self.every if arc is None else 2) == 0 or self._steps == 0:
            self._refresh()
        self._steps += 1
        t = self.temperature
        gain = np.empty_like(t)
        flow = self._along * (t[:, 1:] - t[:, :-1])
        gain[:, 0] = flow[:, 0]
        gain[:, 1:-1] = flow[:, 1:] - flow[:, :-1]
        gain[:, -1] = -flow[:, -1]
        turn = np.empty_like(t)
        turn[:, :, :-1] = t[:, :, 1:] - t[:, :, :-1]
        turn[:, :, -1] = t[:, :, 0] - t[:, :, -1]
        turn *= self._about
        gain += turn
        gain[:, :, 1:] -= turn[:, :, :-1]
        gain[:, :, 0] -= turn[:, :, -1]
        lost = self._film * (t - self._towards)
        self.lost += lost.sum(axis=(1, 2)) * self.dt
        gain -= lost
        if arc is not None:
            for cell, share in WELD_SHARES:
                gain[:, self.middle + cell] += share * arc
        if self.fixture_capacity is not None and self.fixture_conductance is not None:
            part = self.fixture_conductance[:, None, None] / (3 * AROUND)
            taken = part * (t[:, self.grip] - self.fixture[:, None, None])
            gain[:, self.grip] -= taken
            self.fixture = self.fixture + taken.sum(axis=(1, 2)) * self.dt / self.fixture_capacity
        if arc is not None:
            # Under the arc a cell rises by 50 K a step: its capacity in the middle of that keeps the heat.
            self._per_step = self.dt / (self.mass * self.capacity(t + gain * self._per_step / 2))
        gain *= self._per_step
        t += gain

    def _refresh(self) -> None:
        t = self.temperature
        k = self.conductivity(t) * self.factor
        self._along = self.along * (k[:, 1:] + k[:, :-1]) / 2
        self._about = self.about * k
        film, self._towards = self.surroundings.loss(self.diameter, t)
        self._film = film * self.outside * self.bore * self.there
        self._per_step = self.dt / (self.mass * self.capacity(t))

    def stored(self, reference: float = 0.0) -> Array:
        """Heat above a temperature, J, (joints,): exact where the capacity is constant."""
        t = self.temperature - reference
        held: Array = (self.mass * self.capacity(self.temperature) * t * self.there).sum(axis=(1, 2))
        return held

    def on_the_weld(self, at: Array) -> Array:
        """Temperature in the middle of the weld at a cell round it, (joints,)."""
        rows = np.arange(len(self.temperature))
        turn = at % AROUND
        result: Array = (
            self.temperature[rows, self.middle - 1, turn] + self.temperature[rows, self.middle, turn]
        ) / 2
        return result

    def along_the_tube(self, at: Array, metres: float) -> Array:
        """Temperature at a cell round the joint, so far from the middle of the weld, (joints,)."""
        right = np.searchsorted(self.positions, metres)
        share = (metres - self.positions[right - 1]) / (self.positions[right] - self.positions[right - 1])
        rows = np.arange(len(self.temperature))
        result: Array = (1 - share) * self.temperature[rows, right - 1, at % AROUND] + share * (
            self.temperature[rows, right, at % AROUND]
        )
        return result


def arc_at(turned: Array, start: Array, watts: Array) -> Array:
    """The arc's power on the cells round the weld, (joints, cells round): split between the two nearest.

    `turned`: share of the way round, 0 to 1; `start`: cell where the pass begins.
    """
    place = start + turned * AROUND
    lower = np.floor(place)
    share = place - lower
    power = np.zeros((len(turned), AROUND))
    rows = np.arange(len(turned))
    power[rows, lower.astype(int) % AROUND] += (1 - share) * watts
    power[rows, (lower.astype(int) + 1) % AROUND] += share * watts
    return power


def growing(first: float, ratio: float, cells: int, even: int = 4) -> Array:
    """Lengths of cells: some even ones at the weld, then growing."""
    lengths: Array = first * np.concatenate([np.ones(even), ratio ** np.arange(1, cells - even + 1)])
    return lengths
