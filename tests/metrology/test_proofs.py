"""The proofs themselves: they hold where something is least, and fail where it is not."""

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.metrology.candidates import pairs_of
from inspections.metrology.cloud import Cloud, cloud, rounding_of
from inspections.metrology.contacts import least_pull
from inspections.metrology.loop import Loop, loop
from inspections.metrology.numbers import FloatArray
from inspections.metrology.plate_zone import narrowest_plate
from inspections.metrology.proof import Proof, prove
from inspections.metrology.ring_proof import SettledRing, is_least_within_reach, settle_ring
from inspections.metrology.ring_search import search_ring
from inspections.metrology.ring_zone import ring_widths, rings
from inspections.metrology.zone_proof import Settled, is_least_in_cone, settle
from inspections.metrology.zone_search import CONE, Narrowest, search
from tests.metrology.faces import KINDS, face, lying

seeds = st.integers(0, 2**32 - 1)


@pytest.mark.parametrize(
    ("lower", "upper", "rounding", "certified"),
    [
        (1.0, 1.0, 0.0, True),
        (1.0 - 0.9e-12, 1.0, 0.0, True),
        (1.0 - 1.1e-12, 1.0, 0.0, False),
        (1.0 - 1.1e-12, 1.0, 2e-12, True),
        (1.0 + 0.9e-12, 1.0, 0.0, True),
        (1.1, 1.0, 0.0, False),
        (-1e-15, 1e-15, 2e-15, True),
        (0.5, 1.0, 0.1, False),
        (0.0, 0.0, 0.0, True),
    ],
)
def test_bounds_that_meet_are_certified(lower: float, upper: float, rounding: float, certified: bool) -> None:
    proof = prove(lower, upper, (1, 2), rounding)
    assert proof.certified is certified
    assert 0 <= proof.lower <= proof.upper == upper
    assert proof.gap == upper - proof.lower
    assert proof.touching == (1, 2)


def test_a_proof_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        Proof(0.0, 1.0, (), False).certified = True  # type: ignore[misc]


@given(seeds, st.integers(1, 12))
def test_least_pull_is_what_a_scan_of_directions_finds(seed: int, count: int) -> None:
    random = np.random.default_rng(seed)
    pulls = random.normal(0, 1, (2, count)) + random.normal(0, 0.5, (2, 1))
    angles = np.linspace(0, 2 * math.pi, 4001)
    scan = float((pulls.T @ [np.cos(angles), np.sin(angles)]).max(axis=0).min())
    size = float(np.hypot(*pulls).max())
    assert max(0.0, scan) - size * math.pi / 4000 <= least_pull(pulls) <= max(0.0, scan)


@given(st.lists(st.floats(-10, 10), min_size=1, max_size=8))
def test_least_pull_along_a_line_is_the_weaker_side(pulls: list[float]) -> None:
    assert least_pull(np.array([pulls])) == max(0.0, min(max(pulls), -min(pulls)))


def zone_across(around: Cloud, normal: FloatArray) -> Settled:
    """The zone of all points across any normal, with what touches it."""
    heights = normal @ around.centred
    high, low = float(heights.max()), float(heights.min())
    tight = 1e-9 * (high - low)
    return Settled(
        high - low,
        normal,
        0.0,
        tuple(np.flatnonzero(heights >= high - tight).tolist()),
        tuple(np.flatnonzero(heights <= low + tight).tolist()),
    )


@given(seeds, st.sampled_from(KINDS), st.integers(5, 8), st.booleans())
def test_only_a_zone_that_is_least_is_said_to_be(seed: int, kind: str, n: int, lies: bool) -> None:
    """Every candidate normal is put forward; what the contacts certify must be the least of them all."""
    random = np.random.default_rng(seed)
    points = face(kind, n, random)
    around = cloud(lying(points, random, away=10.0) if lies else points)
    full = narrowest_plate(around.level(list(range(n))))
    edges = [around.centred[:, j] - around.centred[:, i] for i, j in combinations(range(n), 2)]
    for a, b in combinations(edges, 2):
        normal = np.cross(a, b)
        if np.linalg.norm(normal) <= 1e-9 * np.linalg.norm(a) * np.linalg.norm(b):
            continue
        normal /= np.linalg.norm(normal)
        zone = zone_across(around, normal if normal @ around.normal > 0 else -normal)
        if abs(float(normal @ around.normal)) >= math.cos(math.radians(CONE)):
            if is_least_in_cone(around, zone):
                assert zone.width == pytest.approx(full.width, rel=1e-6)
        else:
            # Its contacts would have to reach across the whole cone from outside.
            assert not is_least_in_cone(around, zone) or zone.width <= full.width * (1 + 1e-9)


@pytest.mark.parametrize("kind", ["noise", "uniform", "wavy", "dish", "saddle", "outlier", "long"])
def test_the_contacts_of_a_plate_prove_it(kind: str) -> None:
    random = np.random.default_rng(11)
    points = lying(face(kind, 1000, random), random)
    around = cloud(points)
    settled = settle(points, around, search(around, narrowest_plate))
    assert settled is not None
    assert is_least_in_cone(around, settled)
    # Where one side is held by one contact too few, nothing is proven.
    loose = settled._replace(high=settled.high[:1], low=settled.low[:1])
    assert not is_least_in_cone(around, loose)


def test_the_contacts_of_a_strip_prove_it() -> None:
    points = np.array([(0.0, 0.0), (4.0, 0.0), (3.0, 1.0)])
    around = cloud(points)
    zone = zone_across(around, np.array([0.0, 1.0]))
    # s = 1 (from the high contact to the nearer low one), w = 1: they reach 2 atan 1 = 90 degrees.
    assert is_least_in_cone(around, zone)
    wide = points * (1, 4)
    around = cloud(wide)
    # s = 1, w = 4: 28 degrees, less than the cone.
    assert not is_least_in_cone(around, zone_across(around, np.array([0.0, 1.0])))


@given(seeds, st.sampled_from(KINDS), st.integers(13, 4000))
def test_the_search_is_short_and_its_bounds_meet(seed: int, kind: str, n: int) -> None:
    random = np.random.default_rng(seed)
    points = lying(face(kind, n, random), random)
    around = cloud(points)
    asked: list[int] = []

    def counting(level: FloatArray) -> Narrowest:
        asked.append(level.shape[1])
        return narrowest_plate(level)

    found = search(around, counting)
    assert found.upper - found.lower <= 2 * around.rounding
    if kind != "thick":
        assert len(asked) <= 9
        assert max(asked) <= 12


@pytest.mark.parametrize(("k", "count"), [(3, 1), (4, 7), (8, 266), (12, 1705), (14, 3367), (24, 33_902)])
def test_every_triple_and_every_two_disjoint_pairs_are_tried_once(k: int, count: int) -> None:
    pairs = pairs_of(k)
    ends = np.stack((pairs.first, pairs.second))
    tried = {
        frozenset(map(frozenset, (ends[:, a], ends[:, b])))
        for a, b in zip(pairs.one, pairs.other, strict=True)
    }
    assert len(tried) == len(pairs.one) == count
    assert count == math.comb(k, 3) + 3 * math.comb(k, 4)
    triples = [frozenset().union(*pair) for pair in tried if len(frozenset().union(*pair)) == 3]
    assert len(set(triples)) == len(triples) == math.comb(k, 3)


@given(seeds, st.integers(4, 9))
def test_the_rim_of_the_cone_is_searched_exactly(seed: int, k: int) -> None:
    level = np.random.default_rng(seed).normal(0, 1, (3, k))
    lean = math.radians(CONE)
    turns = np.linspace(0, 2 * math.pi, 7201)
    rim = np.stack(
        (math.sin(lean) * np.cos(turns), math.sin(lean) * np.sin(turns), np.full(7201, math.cos(lean)))
    )
    scan = float(np.ptp(level.T @ rim, axis=0).min())
    least = narrowest_plate(level)
    assert least.width <= scan + 1e-12
    if least.on_rim:
        # A width changes by no more than the longest difference times half the step of the scan.
        longest = float(np.ptp(level, axis=1) @ np.ptp(level, axis=1)) ** 0.5
        assert scan - longest * math.pi / 7200 <= least.width
        assert math.degrees(math.acos(least.normal[2])) == pytest.approx(CONE, abs=1e-9)


def test_rounding_grows_with_the_coordinates() -> None:
    unit = 8 * 2.0**-52
    assert rounding_of(np.array([[0.25, -1.0], [0.5, 0.0]])) == unit
    assert rounding_of(np.array([[0.25, 3.0], [0.5, -1.0]])) == 3 * unit


def ring_about(around: Loop, center: FloatArray) -> SettledRing:
    """The ring of all points about any centre, with what touches it."""
    distances = np.hypot(*(around.around - center[:, None]))
    far, close = float(distances.max()), float(distances.min())
    tight = 1e-9 * (far - close)
    return SettledRing(
        far - close,
        (float(center[0] + around.center[0]), float(center[1] + around.center[1])),
        far,
        close,
        tuple(np.flatnonzero(distances >= far - tight).tolist()),
        tuple(np.flatnonzero(distances <= close + tight).tolist()),
    )


@settings(max_examples=60)
@given(seeds, st.integers(5, 8), st.sampled_from([0.01, 1.0, 5.0]))
def test_only_a_ring_that_is_least_is_said_to_be(seed: int, n: int, error: float) -> None:
    random = np.random.default_rng(seed)
    angle, radius = random.uniform(0, 2 * math.pi, n), 50 + random.normal(0, error, n)
    points = np.column_stack((radius * np.cos(angle), radius * np.sin(angle)))
    around = loop(points)
    found = search_ring(around)
    everything = rings(around.around, around.reach)
    assert everything is not None
    for center in everything.centers.T:
        ring = ring_about(around, center)
        if ring.width > 0 and is_least_within_reach(around, found, ring):
            assert ring.width == pytest.approx(everything.width, rel=1e-6)


@pytest.mark.parametrize("n", [20, 500])
def test_the_contacts_of_a_bore_prove_it(n: int) -> None:
    random = np.random.default_rng(n)
    angle, radius = random.uniform(0, 2 * math.pi, n), 50 + random.normal(0, 0.005, n)
    points = np.column_stack((radius * np.cos(angle), radius * np.sin(angle))) + 100
    around = loop(points)
    found = search_ring(around)
    settled = settle_ring(points, around, found)
    assert settled is not None
    assert is_least_within_reach(around, found, settled)
    loose = settled._replace(outer=settled.outer[:1], inner=settled.inner[:1])
    assert not is_least_within_reach(around, found, loose)
    assert not is_least_within_reach(around, found._replace(rim=settled.width), settled)
    assert not is_least_within_reach(around, found, settled._replace(inner_radius=0.0))


@given(seeds, st.integers(4, 200), st.sampled_from([0.005, 1.0, 10.0]))
def test_the_edge_of_the_search_is_bounded_below(seed: int, n: int, error: float) -> None:
    random = np.random.default_rng(seed)
    angle, radius = random.uniform(0, 2 * math.pi, n), 50 + random.normal(0, error, n)
    around = loop(np.column_stack((radius * np.cos(angle), radius * np.sin(angle))))
    found = search_ring(around)
    turns = random.uniform(0, 2 * math.pi, 500)
    edge = around.reach * np.stack((np.cos(turns), np.sin(turns)))
    assert ring_widths(around.around, edge).min() >= found.rim
    # Looking at 720 places costs no more than the way between two of them, there and back.
    if n > 50:
        assert found.rim >= min(found.upper, ring_widths(around.around, edge).min() / 2)
