"""The snout bench as it is at the moment the demo is loaded: minutes are counted back from then.

Three housings and two welders, one of whom alternates between two of them. Each joint shows something else.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass

from fixtures_demo.weld_work import Event, Seam, Welding, counted_back, degrees
from housings.engineering.joints import joints_of
from housings.engineering.spec import Spec


@dataclass(frozen=True)
class Shown:
    """One joint at the bench: when its arcs ended and when it was read since, minutes; `now` in words.

    ``root_seen``: whether somebody has looked at the root.
    """

    now: str
    arcs: tuple[float, ...] = ()
    read: tuple[float, ...] = ()
    root_seen: bool = True


BENCH: Mapping[str, Mapping[str, Shown]] = {
    "b2": {
        "snout_left": Shown(
            "waits for somebody to look at its root", arcs=(-9.0,), read=(-7.5,), root_seen=False
        ),
    },
    "f1": {
        "snout_left": Shown(
            "may be welded now", arcs=(-39.5, -31.0, -22.4, -13.6, -4.4), read=(-3.4, -2.4, -0.4)
        ),
        "snout_right": Shown(
            "has cooled too far, and is reheated first", arcs=(-86.0, -75.0, -64.0), read=(-1.5,)
        ),
    },
    "f2": {
        "snout_left": Shown(
            "waits until it has cooled",
            arcs=(-43.4, -34.9, -26.4, -17.9, -9.4, -0.9),
            read=(-8.4, -7.4, -0.1),
        ),
        "snout_right": Shown("is fitted, and waits for its preheat"),
    },
}
WELDERS = {"b2": "W1", "f1": "W1", "f2": "W2"}
BEFORE_ALL = -100.0


def at_the_bench(label: str, spec: Spec) -> list[Event]:
    """What was recorded at the bench of a housing, in its order."""
    welding = Welding(spec, "snouts", WELDERS[label], random.Random(f"kettle creek bench {label}"), {})
    joints = {joint.code: joint for joint in joints_of(spec)}
    for code, shown in BENCH[label].items():
        _weld(welding, welding.seam(joints[code]), shown)
    return counted_back(welding.events, -BEFORE_ALL)


def _weld(welding: Welding, seam: Seam, shown: Shown) -> None:
    """The passes of one joint; ``welding.minute`` begins at `BEFORE_ALL`."""
    welding.minute = 0.0
    welding.fit_up(seam)
    reads = [minute - BEFORE_ALL for minute in shown.read]
    for number, ended in enumerate((minute - BEFORE_ALL for minute in shown.arcs), start=1):
        begins = ended - seam.arc_minutes - 0.4
        _read(welding, seam, [one for one in reads if one < begins])
        reads = [one for one in reads if one >= begins]
        seam.cooling.cool(begins)
        if seam.shown < seam.limits[0] + 5:
            welding.warm(seam)
        welding.minute = begins
        welding.weld(seam)
        if number == 1 and shown.root_seen:
            welding.minute += 1.0
            welding.look_at_root(seam)
    _read(welding, seam, reads)


def _read(welding: Welding, seam: Seam, moments: list[float]) -> None:
    """What the thermometer shows where the last pass stopped."""
    for minute in moments:
        seam.cooling.cool(minute)
        welding.do("temperatures", seam.joint.code, {"temperatures": [_at(minute, seam)]}, at=minute)


def _at(minute: float, seam: Seam) -> dict[str, object]:
    return {"minute": round(minute, 2), **degrees(seam.shown, "stop")}
