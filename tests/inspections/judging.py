"""Looks, tests and repairs of welds as tests take them: usually of the left snout, by the QC lead."""

from __future__ import annotations

import datetime
from typing import Any

from housings.models import Housing
from housings.operations.temperatures import record_joint_temperature
from inspections.operations.extra_visits import add_visit
from inspections.operations.nonconformances import dispose
from inspections.operations.weld_looks import look_at_weld
from inspections.operations.weld_repairs import begin_repair
from inspections.operations.weld_tests import test_weld as record_test
from inspections.weld_rules import TESTING_STATION
from tests.factories import Floor

LEFT, RIGHT, ROSETTES = "snout_left", "snout_right", "rosettes_left"
UNDERCUT = {"number": "5011", "size": "0.8", "unit": "mm", "where": "3 o'clock"}
PORE = {"number": "2017", "size": "0.4", "unit": "mm"}
DUG = {"method": "grinding", "depth": "0.12", "length": "1.2", "unit": "in", "hour": "4"}
OUTSIDE = {
    "tester": "Tess Hollow",
    "tester_level": "2",
    "certificate": "PT-0417",
    "certified_until": "2027-01-31",
}
PENETRANT = {"batch": "P-88", "light": "white", "illuminance": "800", "dwell": "15", "developing": "10"}


def look(floor: Floor, housing: Housing, stage: str, *findings: Any, **inputs: Any) -> dict[str, Any]:
    """Look at a joint; accepted unless it is said otherwise."""
    given = {"joint": LEFT, "stage": stage, "accepted": True, "findings": list(findings), "by": "Q1"}
    return floor.do(look_at_weld, housing=housing.serial, **{**given, **inputs})


def refuse_weld(floor: Floor, housing: Housing, *findings: Any, **inputs: Any) -> int:
    """Refuse the finished weld of a joint; the number of its nonconformance."""
    found = findings or (UNDERCUT,)
    stage = inputs.pop("stage", "final")
    return int(look(floor, housing, stage, *found, accepted=False, **inputs)["nonconformance"])


def test(floor: Floor, housing: Housing, *findings: Any, **inputs: Any) -> dict[str, Any]:
    """Test a joint by dye penetrant, by somebody from outside; accepted unless it is said otherwise."""
    given = {"joint": LEFT, "method": "PT", "accepted": True, "findings": list(findings), "by": "Q1"}
    more = {**given, "how": PENETRANT, **OUTSIDE, **inputs}
    return floor.do(record_test, housing=housing.serial, **more)


test.__test__ = False  # type: ignore[attr-defined]  # a step, no test


def repair(floor: Floor, housing: Housing, nonconformance: int, **inputs: Any) -> dict[str, Any]:
    """Dig a joint out."""
    given = {"joint": LEFT, "nonconformance": nonconformance, "how": DUG, "by": "W1"}
    return floor.do(begin_repair, housing=housing.serial, **{**given, **inputs})


def rework(floor: Floor, housing: Housing, nonconformance: int, *stations: str, **inputs: Any) -> None:
    """Decide that a weld is made as it was asked for."""
    given = {"decision": "rework", "reason": "dig it out and weld it again", "by": "Q1"}
    floor.do(
        dispose,
        housing=housing.serial,
        nonconformance=nonconformance,
        stations=list(stations or ("snouts",)),
        **{**given, **inputs},
    )


def cold(floor: Floor, housing: Housing, at: datetime.datetime, value: str = "80", **more: Any) -> None:
    """Read how warm a joint is."""
    joint = more.pop("joint", LEFT)
    one = {"value": value, "unit": "F", "place": "stop", **more}
    floor.do(
        record_joint_temperature,
        by="W1",
        at=at,
        housing=housing.serial,
        joint=joint,
        temperatures=[one],
    )


def weld_at(floor: Floor, housing: Housing, joint: str, at: datetime.datetime) -> None:
    """Weld one more pass of a joint at another moment than now."""
    now, floor.at = floor.at, at
    try:
        floor.weld(housing, joint, 1)
    finally:
        floor.at = now


def to_testing(floor: Floor, housing: Housing) -> Housing:
    """Bring a housing to where welds are tested: an extra visit, because the default route has none."""
    floor.do(add_visit, by="Q1", housing=housing.serial, station=TESTING_STATION, why="first article")
    floor.walk(housing, TESTING_STATION)
    return housing
