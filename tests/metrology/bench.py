"""Times of the fits beside what they must stay below: ``python -m tests.metrology.bench``.

All ratios are measured in one run, each line the median of its repetitions, taken in turns so that a busy
machine slows both sides alike.
"""

import math
import sys
import time
from collections.abc import Callable, Iterator
from functools import partial
from statistics import median

import numpy as np
from scipy.spatial import ConvexHull

from inspections.metrology import fit_pattern, flatness, roundness
from inspections.metrology.numbers import FloatArray

Call = Callable[[], object]


def milliseconds(*calls: Call, repeat: int) -> list[float]:
    """Median time of each call; one untimed round first."""
    times: list[list[float]] = [[] for _ in calls]
    for turn in range(repeat + 1):
        for call, spent in zip(calls, times, strict=True):
            begin = time.perf_counter()
            call()
            if turn:
                spent.append((time.perf_counter() - begin) * 1e3)
    return [median(spent) for spent in times]


def noisy_face(n: int) -> FloatArray:
    """A face of 300 mm by 200 mm with 4 micrometres of noise."""
    random = np.random.default_rng(n)
    return np.column_stack((random.uniform(0, 300, n), random.uniform(0, 200, n), random.normal(0, 0.004, n)))


def dish(side: int) -> FloatArray:
    """A dish of side * side points, every one of them on its convex hull."""
    across = np.linspace(-150, 150, side)
    x, y = (part.ravel() for part in np.meshgrid(across, across))
    return np.column_stack((x, y, 1e-6 * (x * x + y * y)))


def bore(n: int) -> FloatArray:
    """A bore of radius 50 mm with 4 micrometres of noise."""
    random = np.random.default_rng(n)
    angle, radius = random.uniform(0, 2 * np.pi, n), 50 + random.normal(0, 0.004, n)
    return np.column_stack((radius * np.cos(angle), radius * np.sin(angle)))


def pattern(n: int) -> tuple[FloatArray, FloatArray]:
    """Holes on a plate of 300 mm and the same holes as made."""
    random = np.random.default_rng(n)
    drawn = random.uniform(-150, 150, (n, 2))
    return drawn, drawn + np.array((0.3, -0.2)) + random.normal(0, 0.05, (n, 2))


def lines() -> Iterator[tuple[str, float, str, float]]:
    """What was measured: name, value, unit, greatest value allowed."""
    for n, repeat in ((100_000, 25), (1_000_000, 7)):
        face = noisy_face(n)
        ours, hull = milliseconds(partial(flatness, face), partial(ConvexHull, face), repeat=repeat)
        yield f"flatness of {n:,} noisy points", ours, "ms", math.inf
        yield f"convex hull alone of the same {n:,}", hull, "ms", math.inf
        yield f"flatness over hull alone, {n:,}", ours / hull, "", 0.25
    for name, call, limit in (
        ("flatness of a dish of 90,000 points", partial(flatness, dish(300)), 30.0),
        ("flatness of 12 points", partial(flatness, noisy_face(12)), 0.5),
        ("roundness of 100,000 points", partial(roundness, bore(100_000)), 10.0),
        ("pattern of 24 holes, minimax", partial(fit_pattern, *pattern(24)), 3.0),
    ):
        yield name, milliseconds(call, repeat=101)[0], "ms", limit


def main() -> None:
    """Print the table."""
    out = sys.stdout.write
    out(f"{'medians of one run':<48}{'measured':>10}{'at most':>12}\n")
    for name, value, unit, limit in lines():
        allowed = "" if limit == math.inf else f"{limit:g} {unit}"
        verdict = "" if not allowed else ("  met" if value <= limit else "  MISSED")
        out(f"{name:<48}{value:>7.3f} {unit:<2}{allowed:>12}{verdict}\n")


if __name__ == "__main__":
    main()
