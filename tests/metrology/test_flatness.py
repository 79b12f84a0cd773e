"""Flatness: against the slow obvious answer, against other solvers, and what must not change it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog
from scipy.spatial.transform import Rotation

from inspections.metrology import flatness
from inspections.metrology.numbers import FloatArray
from inspections.metrology.plate_zone import narrowest_plate
from tests.metrology.faces import KINDS, face, lying
from tests.metrology.zones_by_brute_force import least_width

COS_30 = 3**0.5 / 2
seeds = st.integers(0, 2**32 - 1)
kinds = st.sampled_from(KINDS)


def normal_of(points: FloatArray) -> FloatArray:
    """Least-squares normal by another way than the package's: singular vectors of the points themselves."""
    return np.asarray(np.linalg.svd(points - points.mean(axis=0))[2][2])


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("n", [4, 5, 6, 7, 8])
def test_it_is_the_rational_minimum(kind: str, n: int) -> None:
    random = np.random.default_rng(n)
    for lies in (False, True):
        points = face(kind, n, random)
        points = lying(points, random) if lies else points
        exact = least_width(points.tolist(), normal_of(points).tolist(), COS_30)
        try:
            zone = flatness(points)
        except ValueError as refusal:
            assert kind in ("thick", "outlier") and "not like a plate" in str(refusal)
            continue
        assert zone.proof is not None and zone.proof.certified
        assert zone.deviation == pytest.approx(exact, rel=1e-12, abs=0)


@given(seeds, kinds, st.booleans())
def test_the_cutting_planes_find_what_full_enumeration_finds(seed: int, kind: str, lies: bool) -> None:
    random = np.random.default_rng(seed)
    points = face(kind, int(random.integers(13, 25)), random)
    points = lying(points, random) if lies else points
    centred = points - points.mean(axis=0)
    _, _, axes = np.linalg.svd(centred)
    full = narrowest_plate((centred @ axes.T).T)
    if full.on_rim:
        with pytest.raises(ValueError, match="not like a plate"):
            flatness(points)
    else:
        assert flatness(points).deviation == pytest.approx(full.width, rel=1e-14, abs=2e-12)


@given(seeds, st.sampled_from([kind for kind in KINDS if kind != "thick"]), st.integers(20, 3000))
def test_a_linear_program_agrees_on_level_faces(seed: int, kind: str, n: int) -> None:
    """HiGHS: the least t with 0 <= z - ax - by - c <= t, seen across the plane it finds."""
    points = face(kind, n, np.random.default_rng(seed))
    x, y, z = (points - points.mean(axis=0)).T
    scale = np.ptp(z)
    rows = np.column_stack((x / 300, y / 300, np.ones(n)))
    ones = np.ones((n, 1))
    answer = linprog(
        [0, 0, 0, 1],
        A_ub=np.block([[rows, 0 * ones], [-rows, -ones]]),
        b_ub=np.concatenate((z / scale, -z / scale)),
        bounds=[(None, None)] * 3 + [(0, None)],
    )
    slope = np.hypot(answer.x[0], answer.x[1]) * scale / 300
    vertical = answer.x[3] * scale / np.hypot(1, slope)
    # A level face: both criteria differ by the square of the slope; HiGHS stops at 1e-7 of the range.
    assert flatness(points).deviation == pytest.approx(vertical, rel=1e-5, abs=1e-6 * scale)


@given(seeds, kinds, st.integers(4, 400))
def test_neither_place_nor_order_nor_doubles_matter(seed: int, kind: str, n: int) -> None:
    random = np.random.default_rng(seed)
    points = face(kind, n, random)
    try:
        zone = flatness(points)
    except ValueError as refusal:
        with pytest.raises(ValueError, match=str(refusal)[:30]):
            flatness(lying(points, random))
        return
    turned = Rotation.random(rng=random)
    moved = turned.apply(points) + random.uniform(-1000, 1000, 3)
    again = flatness(moved)
    # Only the rounding of the moved coordinates may show.
    assert again.deviation == pytest.approx(zone.deviation, rel=0, abs=2e-12)
    order = random.permutation(np.concatenate((np.arange(n), random.integers(0, n, 5))))
    assert flatness(points[order]).deviation == zone.deviation
    assert flatness(points * 1024).deviation == zone.deviation * 1024


@given(seeds, kinds, st.integers(8, 200))
def test_a_point_between_the_planes_changes_nothing(seed: int, kind: str, n: int) -> None:
    random = np.random.default_rng(seed)
    points = face(kind, n, random)
    try:
        zone = flatness(points)
    except ValueError:
        return
    weights = random.dirichlet(np.ones(n), 3)
    more = np.vstack((points, weights @ points))
    assert flatness(more).deviation == pytest.approx(zone.deviation, rel=1e-12)


@given(seeds, kinds, st.integers(4, 5000))
def test_the_result_is_what_it_says(seed: int, kind: str, n: int) -> None:
    random = np.random.default_rng(seed)
    points = lying(face(kind, n, random), random)
    try:
        zone = flatness(points)
    except ValueError:
        return
    heights = points @ np.array(zone.normal) - zone.offset
    half = zone.deviation / 2
    assert np.abs(heights).max() == pytest.approx(half, abs=1e-11)
    assert heights[list(zone.high)] == pytest.approx(half, abs=1e-11)
    assert heights[list(zone.low)] == pytest.approx(-half, abs=1e-11)
    assert max(zone.normal, key=abs) > 0
    assert np.hypot.reduce(zone.normal) == pytest.approx(1, abs=1e-15)
    proof = zone.proof
    assert proof is not None and proof.certified
    assert proof.touching == zone.touching and len(zone.touching) >= 4
    assert proof.lower <= zone.deviation <= proof.upper
    squares = flatness(points, "least_squares")
    assert squares.deviation >= zone.deviation - 1e-12 and squares.proof is None
    heights = points @ np.array(squares.normal) - squares.offset
    assert heights[squares.high[0]] == pytest.approx(squares.deviation / 2, abs=1e-11)
    assert heights[squares.low[0]] == pytest.approx(-squares.deviation / 2, abs=1e-11)


@pytest.mark.parametrize(
    "points",
    [
        [(0, 0, 0), (1, 0, 0), (0, 1, 0), (1, 1, 0)],
        [(0, 0, 5), (1, 0, 6), (0, 1, 7), (1, 1, 8), (2, 2, 11)],
        [(x, y, 1000) for x in range(30) for y in range(20)],
    ],
)
def test_points_in_a_plane_have_none(points: list[tuple[float, ...]]) -> None:
    zone = flatness(points)
    assert zone.deviation == pytest.approx(0, abs=1e-15)
    assert zone.proof is not None and zone.proof.certified


def test_a_plane_that_lies_tilted_has_only_its_rounding() -> None:
    random = np.random.default_rng(5)
    level = np.column_stack((random.uniform(0, 300, (5000, 2)), np.zeros(5000)))
    points = lying(level, random)
    zone = flatness(points)
    assert zone.deviation < 2e-12
    assert np.abs(points @ np.array(zone.normal) - zone.offset).max() < 2e-12
    assert zone.proof is not None and zone.proof.certified


@pytest.mark.parametrize("scale", [1e-9, 1e-3, 25.4, 1e9])
def test_any_unit_will_do(scale: float) -> None:
    points = face("wavy", 500, np.random.default_rng(3))
    assert flatness(points * scale).deviation == pytest.approx(flatness(points).deviation * scale, rel=1e-11)


def test_a_nanometre_on_a_metre_is_seen() -> None:
    assert flatness(
        [(0, 0, "1e-6"), (1000, 0, 0), (1000, 1000, "1e-6"), (0, 1000, 0)]
    ).deviation == pytest.approx(1e-6, rel=1e-12)


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([(0, 0, 0), (1, 0, 0), (0, 1, 0)], "3 given, at least 4"),
        ([(0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 1, 0)], "fewer than 4 different points"),
        ([(1, 2, 3)] * 50, "fewer than 4 different points"),
        ([(0, 0, k) for k in range(5)], "along one line"),
        ([(k, 2 * k, 3 * k + (1e-9 if k == 3 else 0)) for k in range(40)], "along one line"),
        ([(0, 0, 0), (1, 0, 0), (0, 1, 0), (0, "one", 0)], "face point 4, coordinate 2: 'one'"),
        ([(0, 0, 0), (1, 0, 0), (0, 1, 0), (0, float("nan"), 0)], "face point 4, coordinate 2: nan"),
    ],
)
@pytest.mark.parametrize("method", ["minimum_zone", "least_squares"])
def test_what_shows_no_face_is_refused(points: list[tuple[float, ...]], said: str, method: str) -> None:
    with pytest.raises(ValueError, match=said):
        flatness(points, method)  # type: ignore[arg-type]


def test_a_cloud_that_is_no_plate_is_refused() -> None:
    edges_of_a_square_bar = [(1, 0), (-1, 0), (0, 0.9), (0, -0.9)]
    with pytest.raises(ValueError, match=r"not like a plate.*30 degrees"):
        flatness([(x, y, z) for x in range(0, 1000, 10) for y, z in edges_of_a_square_bar])


def test_an_unknown_method_is_refused() -> None:
    with pytest.raises(ValueError, match="the method is minimum_zone or least_squares, not 'average'"):
        flatness([(0, 0, 0)] * 4, "average")  # type: ignore[arg-type]
