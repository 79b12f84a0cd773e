"""The move of a pattern that makes its worst miss least: a primal-dual interior-point method, then polished.

Minimise S over moves x, with f_i(x) <= S for the squared miss f_i of every hole. The slacks w = S - f are
variables of their own (tied to f only as the method converges): forced to be equal, one run in six jams.
"""

from typing import NamedTuple

import numpy as np

from inspections.metrology.numbers import FloatArray
from inspections.metrology.pattern_moves import Moves, Nearby

_STEPS = 100
_DONE = 1e-9
"""Part of the worst squared miss left between the bounds when the polishing takes over."""
_SHARED = 1e-9
"""Holes whose squared misses differ by no more than this part share the worst."""


class Best(NamedTuple):
    """A move, the worst miss it leaves, what no move can beat, and the holes that share the worst miss."""

    move: FloatArray
    worst: float
    lower: float
    active: tuple[int, ...]


def least_worst(moves: Moves, start: FloatArray) -> Best:
    """The best move found from `start`, with its bound."""
    x, price = _interior_point(moves, start)
    best = _judged(moves, x, price)
    for nearly in (1e-5, 1e-8, 1e-3):
        polished = _judged(moves, *_polished(moves, x, price, nearly))
        lower = max(best.lower, polished.lower)
        best = (polished if polished.worst <= best.worst else best)._replace(lower=lower)
        if best.worst - best.lower <= 1e-13 * best.worst:
            break
    return best._replace(lower=min(best.lower, best.worst))


def _interior_point(moves: Moves, start: FloatArray) -> tuple[FloatArray, FloatArray]:
    """A move and the price of every hole: how much of the bound it holds; prices add up to 1."""
    x = start.copy()
    f = moves.near(x).squares
    bound = 2 * float(f.max())
    slack = bound - f
    price = 1 / slack
    price /= price.sum()
    for _ in range(_STEPS):
        here = moves.near(x)
        f = here.squares
        if float(price @ slack) < _DONE * float(f.max()):
            break
        newton = _Newton(here, price, slack, slack + f - bound)
        mean = float(price @ slack) / len(f)
        # Predictor: aim at no slack times price at all, and see how far one may go.
        _, _, dslack, dprice = newton.step(np.zeros(len(f)))
        reach = min(_reach(slack, dslack), _reach(price, dprice))
        ahead = float((slack + reach * dslack) @ (price + reach * dprice)) / len(f)
        aim = ((ahead / mean) ** 3 * mean - dslack * dprice) / slack
        dx, dbound, dslack, dprice = newton.step(aim)
        reach = min(_reach(slack, dslack), _reach(price, dprice))
        if reach < 0.1:
            dx, dbound, dslack, dprice = newton.step(0.5 * mean / slack)
            reach = min(_reach(slack, dslack), _reach(price, dprice))
        x = x + reach * dx
        bound += reach * dbound
        slack = slack + reach * dslack
        price = price + reach * dprice
    return x, price


class _Newton:
    """Newton's equations of one step, solved for the move and the bound; the rest follows hole by hole."""

    def __init__(self, here: Nearby, price: FloatArray, slack: FloatArray, off: FloatArray) -> None:
        self._slopes, self._price, self._off = here.gradients, price, off
        self._firm = price / slack
        weighted = self._slopes * self._firm
        size = len(weighted)
        matrix = np.empty((size + 1, size + 1))
        matrix[:size, :size] = here.curvature(price) + weighted @ self._slopes.T
        matrix[size, :size] = matrix[:size, size] = -weighted.sum(axis=1)
        matrix[size, size] = self._firm.sum()
        self._matrix = matrix

    def step(self, aim: FloatArray) -> tuple[FloatArray, float, FloatArray, FloatArray]:
        """Changes of move, bound, slacks and prices that bring price times slack to `aim` times slack."""
        push = aim + self._firm * self._off
        answer = _solved(self._matrix, np.append(-self._slopes @ push, push.sum() - 1))
        dx, dbound = answer[:-1], float(answer[-1])
        dslack = dbound - self._slopes.T @ dx - self._off
        return dx, dbound, dslack, aim - self._price - self._firm * dslack


def _solved(matrix: FloatArray, right: FloatArray) -> FloatArray:
    try:
        return np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)
    except np.linalg.LinAlgError:
        return np.asarray(np.linalg.lstsq(matrix, right, rcond=None)[0], dtype=np.float64)


def _reach(value: FloatArray, change: FloatArray) -> float:
    """How much of a change keeps every value positive, with one part in a hundred to spare."""
    falling = change < 0
    return min(1.0, 0.99 * float((-value[falling] / change[falling]).min(initial=np.inf)))


def _polished(moves: Moves, x: FloatArray, price: FloatArray, nearly: float) -> tuple[FloatArray, FloatArray]:
    """Newton's method on the conditions of the minimum, with the nearly worst holes taken as equally bad."""
    f = moves.near(x).squares
    active = np.flatnonzero(f >= (1 - nearly) * f.max())
    prices = np.zeros(len(f))
    prices[active] = price[active]
    size, count = moves.size, len(active)
    for _ in range(3):
        here = moves.near(x)
        g = here.gradients[:, active]
        f = here.squares[active]
        bound = float(f.mean())
        matrix = np.zeros((size + 1 + count, size + 1 + count))
        matrix[:size, :size] = here.curvature(prices)
        matrix[:size, size + 1 :] = g
        matrix[size, size + 1 :] = 1
        matrix[size + 1 :, :size] = g.T
        matrix[size + 1 :, size] = -1
        right = np.concatenate((-(g @ prices[active]), [1 - prices.sum()], bound - f))
        # More holes than unknowns may share the worst miss: the least change of prices is wanted then.
        answer = np.linalg.lstsq(matrix, right, rcond=None)[0]
        x = x + answer[:size]
        prices[active] += answer[size + 1 :]
    return x, prices


def _judged(moves: Moves, x: FloatArray, price: FloatArray) -> Best:
    f = moves.near(x).squares
    worst = float(f.max())
    active = tuple(int(hole) for hole in np.flatnonzero(f >= (1 - _SHARED) * worst))
    return Best(x, worst**0.5, moves.lower_bound(x, price), active)
