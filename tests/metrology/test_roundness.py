"""Roundness: against enumeration in rational arithmetic, other solvers, and what must not change it."""

import math
from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares, linprog, minimize

from inspections.metrology import fit_circle, ring_search, roundness
from inspections.metrology.loop import loop
from inspections.metrology.numbers import FloatArray
from inspections.metrology.ring_zone import Rings, rings
from tests.metrology.zones_by_brute_force import exactly

KINDS = ("noise", "three lobes", "oval", "outlier", "arc", "steps", "rough", "away")
seeds = st.integers(0, 2**32 - 1)
kinds = st.sampled_from(KINDS)


def profile(kind: str, n: int, random: np.random.Generator) -> FloatArray:
    """A circle of radius 50 mm with some form error, shape (n, 2)."""
    angle = np.sort(random.uniform(0, 2 * math.pi, n)) if kind != "arc" else random.uniform(0, 1.6, n)
    radius = 50 + random.normal(0, 0.004, n)
    if kind == "three lobes":
        radius += 0.02 * np.cos(3 * angle)
    elif kind == "oval":
        radius = 50 + 0.03 * np.cos(2 * angle)
    elif kind == "outlier":
        radius[random.integers(n)] += 0.3
    elif kind == "rough":
        radius = random.uniform(45, 55, n)
    points = np.column_stack((radius * np.cos(angle), radius * np.sin(angle)))
    if kind == "steps":
        points = np.round(points, 2)
    return points + np.array((1000, -700)) if kind == "away" else points


def least_ring(points: FloatArray, reach: float) -> float:
    """Least ring over all crossings of two bisectors, in rational arithmetic, centres within reach."""
    rows = exactly(points.tolist())
    circle = fit_circle(points)
    bisectors = [
        (q[0] - p[0], q[1] - p[1], (q[0] ** 2 + q[1] ** 2 - p[0] ** 2 - p[1] ** 2) / 2)
        for p, q in combinations(rows, 2)
    ]
    least = math.inf
    for (ax, ay, a), (bx, by, b) in combinations(bisectors, 2):
        below = ax * by - ay * bx
        if not below:
            continue
        x, y = (a * by - b * ay) / below, (b * ax - a * bx) / below
        if math.hypot(float(x) - circle.center[0], float(y) - circle.center[1]) > reach:
            continue
        squares = [(p[0] - x) ** 2 + (p[1] - y) ** 2 for p in rows]
        high, low = max(squares), min(squares)
        # A difference of roots without cancelling: (R^2 - r^2) / (R + r).
        least = min(least, float((high - low) / Fraction(math.sqrt(high) + math.sqrt(low))))
    return least


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("n", [5, 6, 8])
def test_it_is_the_rational_minimum(kind: str, n: int) -> None:
    points = profile(kind, n, np.random.default_rng(n))
    ring = roundness(points)
    assert ring.proof is not None
    if ring.proof.certified:
        assert ring.deviation == pytest.approx(least_ring(points, fit_circle(points).radius), rel=1e-12)
    else:
        # Few points on part of a circle: a centre at the edge of the search may be no worse.
        assert ring.proof.lower < ring.deviation


@given(seeds, kinds)
def test_the_cutting_planes_find_what_full_enumeration_finds(seed: int, kind: str) -> None:
    random = np.random.default_rng(seed)
    points = profile(kind, int(random.integers(13, 24)), random)
    around = loop(points)
    everything = rings(around.around, around.reach)
    assert everything is not None
    ring = roundness(points)
    assert ring.proof is not None
    assert ring.deviation == pytest.approx(everything.width, rel=1e-12, abs=4 * around.rounding)


@given(seeds, kinds, st.integers(13, 3000))
def test_the_result_is_what_it_says(seed: int, kind: str, n: int) -> None:
    points = profile(kind, n, np.random.default_rng(seed))
    ring = roundness(points)
    distances = np.hypot(*(points - ring.center).T)
    assert np.ptp(distances) == pytest.approx(ring.deviation, abs=1e-12)
    assert distances[list(ring.outer)] == pytest.approx(distances.max(), abs=1e-12)
    assert distances[list(ring.inner)] == pytest.approx(distances.min(), abs=1e-12)
    assert ring.radius == pytest.approx((distances.max() + distances.min()) / 2, rel=1e-12)
    proof = ring.proof
    assert proof is not None and proof.certified
    assert proof.touching == ring.touching and len(ring.touching) >= 4
    assert proof.lower <= ring.deviation <= proof.upper
    for method in ("least_squares", "minimum_circumscribed"):
        assert roundness(points, method).deviation >= ring.deviation - 1e-12


@settings(max_examples=30)
@given(seeds, kinds, st.integers(6, 300))
def test_no_search_from_anywhere_finds_less(seed: int, kind: str, n: int) -> None:
    random = np.random.default_rng(seed)
    points = profile(kind, n, random)
    ring = roundness(points)
    if ring.proof is None or not ring.proof.certified:
        return

    def width(center: FloatArray) -> float:
        return float(np.ptp(np.hypot(*(points - center).T)))

    for _ in range(3):
        start = np.array(ring.center) + random.normal(0, 1, 2) * random.choice([0.01, 1, 10])
        found = minimize(width, start, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12})
        if np.hypot(*(found.x - fit_circle(points).center)) <= fit_circle(points).radius:
            assert found.fun >= ring.deviation - 1e-12


@given(seeds, kinds, st.integers(6, 300))
def test_neither_place_nor_order_nor_doubles_nor_unit_matter(seed: int, kind: str, n: int) -> None:
    random = np.random.default_rng(seed)
    points = profile(kind, n, random)
    ring = roundness(points)
    assert ring.proof is not None
    if not ring.proof.certified:
        return
    turn = random.uniform(0, 2 * math.pi)
    turned = points @ [[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]]
    assert roundness(turned + np.array((321.5, -77))).deviation == pytest.approx(ring.deviation, abs=2e-12)
    order = random.permutation(np.concatenate((np.arange(n), random.integers(0, n, 5))))
    again = roundness(points[order])
    assert again.deviation == pytest.approx(ring.deviation, rel=1e-12)
    assert roundness(points * 256).deviation == pytest.approx(256 * ring.deviation, rel=1e-12)


@given(seeds, kinds, st.integers(8, 200))
def test_a_point_inside_the_ring_changes_nothing(seed: int, kind: str, n: int) -> None:
    random = np.random.default_rng(seed)
    points = profile(kind, n, random)
    ring = roundness(points)
    assert ring.proof is not None
    if not ring.proof.certified:
        return
    distances = np.hypot(*(points - ring.center).T)
    bearing = random.uniform(0, 2 * math.pi)
    inner = random.uniform(distances.min(), distances.max())
    more = np.vstack((points, np.add(ring.center, (inner * math.cos(bearing), inner * math.sin(bearing)))))
    assert roundness(more).deviation == pytest.approx(ring.deviation, rel=1e-11)


@given(seeds, kinds, st.integers(6, 400))
def test_the_smallest_circle_around_is_the_convex_minimum(seed: int, kind: str, n: int) -> None:
    points = profile(kind, n, np.random.default_rng(seed))
    ring = roundness(points, "minimum_circumscribed")
    distances = np.hypot(*(points - ring.center).T)
    assert ring.radius == pytest.approx(distances.max(), rel=1e-14)
    assert ring.deviation == pytest.approx(np.ptp(distances), abs=1e-12)
    assert ring.proof is not None and ring.proof.certified
    assert ring.proof.lower <= ring.radius <= ring.proof.upper
    # Held: the centre lies in the hull of the points on the circle (a feasibility program).
    held = points[list(ring.outer)]
    answer = linprog(
        np.zeros(len(held)),
        A_eq=np.vstack(((held - ring.center).T / ring.radius, np.ones(len(held)))),
        b_eq=[0, 0, 1],
    )
    assert answer.status == 0


@given(seeds, st.sampled_from([kind for kind in KINDS if kind != "arc"]), st.integers(12, 400))
def test_the_largest_circle_inside_is_held_and_beats_a_grid(seed: int, kind: str, n: int) -> None:
    random = np.random.default_rng(seed)
    points = profile(kind, n, random)
    try:
        ring = roundness(points, "maximum_inscribed")
    except ValueError as refusal:
        assert "one side open" in str(refusal)
        return
    distances = np.hypot(*(points - ring.center).T)
    assert ring.radius == pytest.approx(distances.min(), rel=1e-14)
    assert ring.deviation == pytest.approx(np.ptp(distances), abs=1e-12)
    assert len(ring.inner) >= 3
    assert ring.proof is not None and ring.proof.lower <= ring.radius <= ring.proof.upper
    if ring.proof.certified:
        circle = fit_circle(points)
        spread = circle.radius * random.choice([1.0, 0.1, 0.001])
        others = random.uniform(-0.7, 0.7, (2000, 2)) * spread + circle.center
        least = np.hypot(*(points[:, None] - others).transpose(2, 0, 1)).min(axis=0)
        assert least.max() <= ring.radius + 1e-12


@given(seeds, kinds, st.integers(4, 500))
def test_the_fitted_circle_is_the_least_squares_one(seed: int, kind: str, n: int) -> None:
    """SciPy's Levenberg-Marquardt (MINPACK) from the found circle and from another start."""
    points = profile(kind, n, np.random.default_rng(seed))
    circle = fit_circle(points)

    def rest(unknown: FloatArray) -> FloatArray:
        return np.asarray(np.hypot(*(points - unknown[:2]).T) - unknown[2])

    found = np.array((*circle.center, circle.radius))
    best = least_squares(rest, found, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert (rest(found) ** 2).sum() <= (best.fun**2).sum() * (1 + 1e-9) + 1e-20


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([(0, 0), (1, 0), (0, 1)], "3 given, at least 4"),
        ([(0, 0), (1, 0), (0, 1), (0, 1)], "fewer than 4 different points"),
        ([(0, 0)] * 40, "fewer than 4 different points"),
        ([(k, 2 * k) for k in range(9)], "along one line"),
        ([(0, 0), (1, 0), (0, 1), (1, "x")], "circle point 4, coordinate 2: 'x'"),
        ([(0, 0), (1, 0), (0, 1), (1, float("inf"))], "circle point 4, coordinate 2: inf"),
    ],
)
@pytest.mark.parametrize(
    "method", ["minimum_zone", "least_squares", "minimum_circumscribed", "maximum_inscribed"]
)
def test_what_shows_no_circle_is_refused(points: list[tuple[float, ...]], said: str, method: str) -> None:
    with pytest.raises(ValueError, match=said):
        roundness(points, method)  # type: ignore[arg-type]


def test_an_arc_has_no_largest_circle_inside() -> None:
    with pytest.raises(ValueError, match="one side open"):
        roundness(profile("arc", 50, np.random.default_rng(1)), "maximum_inscribed")


def test_an_unknown_method_is_refused() -> None:
    with pytest.raises(ValueError, match=r"one of minimum_zone, least_squares.*not 'zone'"):
        roundness([(0, 0)] * 4, "zone")  # type: ignore[arg-type]


def test_points_on_a_circle_have_none() -> None:
    ring = roundness([(5, 0), (3, 4), (-4, 3), (0, -5), (4, -3)])
    assert (ring.deviation, ring.center, ring.radius) == (0.0, (0.0, 0.0), 5.0)
    assert ring.proof is not None and ring.proof.certified


def test_thousands_of_points_on_a_circle_have_only_their_rounding() -> None:
    angle = np.linspace(0, 2 * math.pi, 5000)
    points = np.column_stack((12 + 50 * np.cos(angle), -7 + 50 * np.sin(angle)))
    ring = roundness(points)
    assert ring.deviation < 1e-12
    assert ring.center == pytest.approx((12, -7), abs=1e-12)
    assert ring.radius == pytest.approx(50, abs=1e-12)
    assert ring.proof is not None and ring.proof.certified
    assert ring.proof.lower <= ring.deviation <= ring.proof.upper


@given(seeds, st.integers(4, 8), st.floats(0.01, 2.0))
def test_candidate_centers_stay_within_reach(seed: int, n: int, reach: float) -> None:
    random = np.random.default_rng(seed)
    around = random.normal(0, 1, (2, n))
    near, everywhere = rings(around, reach), rings(around, 1e9)
    assert everywhere is not None
    within = np.hypot(*everywhere.centers) <= reach
    if near is None:
        assert not within.any()
    else:
        assert (np.hypot(*near.centers) <= reach * (1 + 1e-12)).all()
        assert len(near.widths) == within.sum()
        assert near.width == everywhere.widths[within].min()


@given(seeds, kinds, st.integers(13, 3000))
def test_the_search_is_short(seed: int, kind: str, n: int) -> None:
    asked: list[int] = []

    def counting(around: FloatArray, reach: float) -> Rings | None:
        asked.append(around.shape[1])
        return rings(around, reach)

    around = loop(profile(kind, n, np.random.default_rng(seed)))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ring_search, "rings", counting)
        found = ring_search.search_ring(around)
    assert found.upper - found.candidates.width <= 2 * around.rounding
    assert len(asked) <= 10
    assert max(asked) <= 15


@pytest.mark.parametrize("points", [[(0, 0), (1, 0)], [(0, 0), (1, 1), (2, 2)], [(3, 3)] * 5])
def test_a_circle_needs_three_places_around_it(points: list[tuple[float, float]]) -> None:
    with pytest.raises(ValueError, match=r"at least 3 needed|along one line"):
        fit_circle(points)
