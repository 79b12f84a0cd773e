"""Procedures and welders of an invented shop, put on file by the real operations."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from typing import Any

from housings.engineering.ready_procedures import READY_PROCEDURES
from housings.models import Joint, ProcedureRevision
from housings.operations.procedures import publish_procedure
from housings.operations.welders import add_qualification
from tests.factories import AT, Floor

TIG: Mapping[str, Any] = {
    "process": "141",
    "joints": ["groove", "fillet", "plug"],
    "positions": ["PA", "PB", "PC", "PH"],
    "thickness": {"least": "0.125", "most": "0.75"},
    "diameter": {"least": "2.875"},
    "backing": "without",
}


def publish(floor: Floor, names: Iterable[str] = READY_PROCEDURES, **changes: Any) -> None:
    """Publish ready procedures, each with the same changes to its data."""
    for name in names:
        data = {**READY_PROCEDURES[name].data, **changes}
        floor.do(publish_procedure, by="E1", name=name, data=data)


def newest(name: str) -> ProcedureRevision:
    """The newest revision of a procedure."""
    return ProcedureRevision.objects.filter(name=name).latest("number")


def days_ago(days: int, at: datetime.datetime = AT) -> str:
    return (at.date() - datetime.timedelta(days=days)).isoformat()


def qualify(floor: Floor, stamp: str = "W1", tested: int = 30, **more: Any) -> int:
    """Put a TIG qualification on file that was tested so many days ago; its key."""
    ranges = {**TIG, **more.pop("ranges", {})}
    given = {
        "kind": "welding",
        "reference": f"{stamp}-T",
        "tested_on": days_ago(tested, floor.at),
        "ranges": ranges,
    }
    answer = floor.do(add_qualification, by="Q1", stamp=stamp, **{**given, **more})
    return int(answer["qualification"])


def joint_of(floor: Floor, code: str = "snout_left") -> Joint:
    """A joint of a newly released housing, by the procedures published so far."""
    return Joint.objects.get(housing=floor.housing(), code=code)
