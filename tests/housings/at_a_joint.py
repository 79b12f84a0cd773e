"""Steps at a joint as tests take them: the left snout of a housing at the bench, and every step there."""

from __future__ import annotations

import datetime
from typing import Any

from housings.models import Housing
from housings.operations.arcs import begin_pass, drop_arc
from housings.operations.fit_ups import record_fit_up
from housings.operations.joint_settings import ask_each_pass, record_joint_settings
from housings.operations.passes import record_pass, take_back_pass
from housings.operations.temperatures import record_joint_temperature
from shopqc.operations.shop import switch_rule
from tests.factories import Floor

LEFT, RIGHT, ROSETTES = "snout_left", "snout_right", "rosettes_left"
GOOD_FIT_UP = {
    "gap": "0.09",
    "land": "0.06",
    "mismatch": "0.01",
    "bevel": "30",
    "clean": "yes",
    "purged": "yes",
    "preheated": "yes",
}
# Of the example procedure for a snout of 4140: 400 to 600 °F.
COLD, WARM, HOT = "390", "450", "610"


def use(floor: Floor, *rules: str) -> None:
    """Put rules into use, as the owner does."""
    for rule in rules:
        floor.do(switch_rule, by="O1", rule=rule, in_use=True)


def read(value: str = WARM, **more: Any) -> dict[str, Any]:
    return {"value": value, "unit": "F", "place": "stop", **more}


def later(floor: Floor, minutes: float) -> datetime.datetime:
    return floor.at + datetime.timedelta(minutes=minutes)


def text(at: datetime.datetime) -> str:
    return at.isoformat()


def fit_up(floor: Floor, housing: Housing, by: str = "W1", **inputs: Any) -> dict[str, Any]:
    given = {"joint": LEFT, "figures": GOOD_FIT_UP, "tacked_by": "W1"}
    return floor.do(record_fit_up, by=by, housing=housing.serial, **{**given, **inputs})


def settings(floor: Floor, housing: Housing, by: str = "W1", **inputs: Any) -> dict[str, Any]:
    given = {"joint": LEFT, "figures": {"volts": "12", "amps": "180", "travel": "3.5"}}
    return floor.do(record_joint_settings, by=by, housing=housing.serial, **{**given, **inputs})


def each_pass(floor: Floor, housing: Housing, why: str, by: str = "Q1", joint: str = LEFT) -> dict[str, Any]:
    return floor.do(ask_each_pass, by=by, housing=housing.serial, joint=joint, why=why)


def heat(floor: Floor, housing: Housing, *temperatures: Any, by: str = "W1", **inputs: Any) -> dict[str, Any]:
    given = {"joint": LEFT, "temperatures": list(temperatures)}
    return floor.do(record_joint_temperature, by=by, housing=housing.serial, **{**given, **inputs})


def begin(floor: Floor, housing: Housing, number: int, by: str = "W1", **inputs: Any) -> dict[str, Any]:
    given = {"joint": LEFT, "number": number}
    return floor.do(begin_pass, by=by, housing=housing.serial, **{**given, **inputs})


def drop(floor: Floor, housing: Housing, by: str = "W1", joint: str = LEFT, **inputs: Any) -> dict[str, Any]:
    return floor.do(drop_arc, by=by, housing=housing.serial, joint=joint, **inputs)


def done(floor: Floor, housing: Housing, number: int, by: str = "W1", **inputs: Any) -> dict[str, Any]:
    given = {"joint": LEFT, "number": number}
    return floor.do(record_pass, by=by, housing=housing.serial, **{**given, **inputs})


def take_back(floor: Floor, housing: Housing, number: int, by: str = "W1", **inputs: Any) -> dict[str, Any]:
    given = {"joint": LEFT, "number": number, "why": "Tapped twice."}
    return floor.do(take_back_pass, by=by, housing=housing.serial, **{**given, **inputs})
