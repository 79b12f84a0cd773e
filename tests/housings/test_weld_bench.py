"""The order of the bench: it looks ahead, and keeps no more joints in rotation than gain something."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

import pytest
import time_machine

from housings import weld_bench
from housings.engineering.cooling import windows_to_come
from housings.joint_cooling import AIR_C, celsius
from housings.weld_bench import Bench
from tests.factories import AT, Floor

MINUTE = datetime.timedelta(minutes=1)
LEFT, RIGHT = "snout_left", "snout_right"


@pytest.fixture
def floor(db: None) -> Iterator[Floor]:
    """A floor with a procedure for every joint."""
    with time_machine.travel(AT, tick=False):
        floor = Floor()
        floor.procedures()
        floor.procedure(
            "snout-4140-250", preheat_least="250", interpass_greatest="400", passes={"least": "7"}
        )
        yield floor


def test_a_joint_waits_with_the_windows_after_its_next_passes(
    floor: Floor, monkeypatch: pytest.MonkeyPatch
) -> None:
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 2, every=20 * MINUTE)
    asked: list[weld_bench.WaitingJoint] = []
    order = weld_bench.next_joints

    def seen(joints: list[weld_bench.WaitingJoint], *rest: float, **more: int | None) -> object:
        asked.extend(joints)
        return order(joints, *rest, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(weld_bench, "next_joints", seen)
    Bench(floor.actor("W1"), floor.at + 21 * MINUTE)
    then = {one.key.split()[1]: one.then for one in asked}
    # Seven passes: after the third come three more waits, and after the first of a new joint five.
    expected = windows_to_come(1, 6, AIR_C, celsius("250", "F"), celsius("400", "F"))
    assert then[RIGHT] == expected
    assert then[LEFT] == windows_to_come(3, 6, AIR_C, celsius("250", "F"), celsius("400", "F"))


def test_no_new_joint_comes_first_beyond_what_gains_something(floor: Floor) -> None:
    """Joints that cool are welded on before one more is begun, once so many are under way."""
    housings = [floor.housing(until="snouts") for _ in range(3)]
    for housing in housings[:2]:
        floor.weld(housing, LEFT, 2, every=20 * MINUTE)
        floor.weld(housing, RIGHT, 2, every=20 * MINUTE)
    bench = Bench(floor.actor("W1"), floor.at + 21 * MINUTE)
    assert bench.rotation is not None
    snouts = [line for line in bench.lines if line.waits]
    under_way = [line for line in snouts if line.state.passes]
    assert len(under_way) >= bench.rotation.joints
    assert snouts[: len(under_way)] == under_way
