"""Simulate the shop's joints and record them beside the tests.

``python -m tests.engineering.cooling.record``; it takes some minutes. A test simulates a few of
them again.
"""

from __future__ import annotations

import json
from dataclasses import astuple
from pathlib import Path

from .joints import CoolDown, Kind, simulate

DATA = Path(__file__).parent / "data"
THIN = Kind(pipes=((0.1016, 0.009525), (0.0889, 0.00635)), first_share=0.3, heat=(0.7, 1.2))
"""Joints that the forecast was not made for: thinner walls, and heat inputs further apart."""

SETS = {
    "learning": (1, range(40), Kind()),
    "test": (2, range(120), Kind()),
    "thin": (3, range(30), THIN),
}
"""Joints to learn from, to test with, and of another kind: seed, numbers, kind."""


def write() -> None:
    DATA.mkdir(exist_ok=True)
    for name, (seed, joints, kind) in SETS.items():
        rows = [json.dumps(astuple(one), separators=(",", ":")) for one in simulate(seed, joints, kind=kind)]
        (DATA / f"{name}.json").write_text("[\n" + ",\n".join(rows) + "\n]\n")


def read(name: str) -> list[list[CoolDown]]:
    """The recorded joints of a set, each its passes."""
    joints: dict[int, list[CoolDown]] = {}
    for row in json.loads((DATA / f"{name}.json").read_text()):
        one = CoolDown(*row)
        joints.setdefault(one.joint, []).append(one)
    return list(joints.values())


if __name__ == "__main__":
    write()
