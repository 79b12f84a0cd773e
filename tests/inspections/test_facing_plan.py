"""The facing cut worked out by hand beside what the program says. Facts of geometry, no source needed."""

from __future__ import annotations

import math

import numpy as np
import pytest

from inspections.facing.plan import Asked, plan_of

REACH = 28.0
LIMITS = Asked("0.4375", ("2.495", "2.505"), "0.003", "12", None, "0.4375")
TURNS = [2 * math.pi * place / 8 for place in range(8)]
Points = list[list[float]]


def flat_face(height: float, rise: float = 0.0) -> Points:
    """A flat ring at a distance from A-B; ``rise``: how much farther out over 12 in to the right."""
    return [[5 * math.cos(a), 5 * math.sin(a), height + rise / 12 * 5 * math.cos(a)] for a in TURNS]


def journal(x: float) -> Points:
    return [[x, 1.25 * math.sin(a), 1.25 * math.cos(a)] for a in TURNS]


def lying(points: Points, degrees: float, about: str) -> Points:
    """The same housing lying turned under the probe, and moved aside."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    turn = {
        "y": [[c, 0, -s], [0, 1, 0], [s, 0, c]],
        "z": [[c, -s, 0], [s, c, 0], [0, 0, 1]],
    }[about]
    return (np.array(points) @ np.array(turn).T + (3, -2, 7)).tolist()


def test_a_high_flat_face_is_cut_to_the_far_limit_and_may_go_on_to_the_near_one() -> None:
    plan = plan_of(flat_face(2.535), journal(-REACH), journal(REACH), "0.500", LIMITS)
    assert plan.cut.saved
    assert plan.cut.depth == pytest.approx(2.535 - 2.505, abs=1e-6)
    assert plan.last_depth == pytest.approx(2.535 - 2.495, abs=1e-6)
    assert plan.stops == "distance"
    assert plan.cut.least_remaining == pytest.approx(0.470, abs=1e-6)
    # A thread of 7/16 in engages over what is left of the ring.
    assert plan.engagement == pytest.approx(0.470 / 0.4375, abs=1e-6)


def test_a_thin_ring_ends_the_cut_before_the_distance_does() -> None:
    plan = plan_of(flat_face(2.535), journal(-REACH), journal(REACH), "0.4725", LIMITS)
    assert plan.stops == "thickness"
    assert plan.last_depth == pytest.approx(0.035, abs=1e-6)


def test_a_ring_that_would_get_too_thin_is_not_saved_and_says_why() -> None:
    plan = plan_of(flat_face(2.535), journal(-REACH), journal(REACH), "0.460", LIMITS)
    assert not plan.cut.saved
    assert set(plan.cut.forbids) == {"thickness", "distance"}
    assert plan.last_depth is None
    assert plan.engagement is None


@pytest.mark.parametrize(("degrees", "about"), [(0.7, "y"), (-1.5, "y"), (4.0, "z")])
def test_how_the_housing_lies_under_the_probe_does_not_change_the_cut(degrees: float, about: str) -> None:
    parts = [flat_face(2.535, rise=0.02), journal(-REACH), journal(REACH)]
    straight = plan_of(*parts, "0.500", LIMITS)
    aslant = plan_of(*(lying(part, degrees, about) for part in parts), "0.500", LIMITS)
    assert aslant.cut.depth == pytest.approx(straight.cut.depth, abs=1e-5)
    assert aslant.cut.yaw == pytest.approx(straight.cut.yaw, abs=1e-4)


def test_shims_level_a_housing_that_lies_with_its_right_end_up() -> None:
    # Turned by a about y: the right end is up by sin(a) for each inch, and the left jack has to make it good.
    parts = [flat_face(2.535), journal(-REACH), journal(REACH)]
    exact = Asked("0.4375", ("2.495", "2.505"), "0", "12", ("0", "0"), "0.4375")
    plan = plan_of(*(lying(part, -0.1, "y") for part in parts), "0.500", exact)
    raised = plan.shims([[-24, 6], [24, 6], [0, -9]])
    want = 48 * math.tan(math.radians(0.1))
    assert abs(raised[0] - raised[1]) == pytest.approx(want, rel=0.01)
    assert min(raised) == 0


def test_a_parallel_limit_is_an_angle_to_either_side() -> None:
    low, high = LIMITS.yaw
    assert -low == high == pytest.approx(math.degrees(math.atan(0.003 / 12)))


def test_an_axis_along_the_face_normal_is_refused_with_a_sentence() -> None:
    standing = [[[y, z, x] for x, y, z in part] for part in (journal(-REACH), journal(REACH))]
    with pytest.raises(ValueError, match="Check which way the probe's axes run"):
        plan_of(flat_face(2.535), *standing, "0.5", LIMITS)
