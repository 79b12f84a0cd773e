"""What the invented shop welds by, and who may: procedures, qualifications, confirmed uses of a process."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fixtures_demo.generate import HERE, load
from fixtures_demo.progress import Progress
from housings.engineering.ready_procedures import READY_PROCEDURES
from housings.operations.procedures import publish_procedure
from housings.operations.welders import add_qualification, confirm_process_use

WELDERS: dict[str, list[dict[str, Any]]] = load(HERE / "welders.json")

Once = Callable[..., dict[str, Any]]
DayFromNow = Callable[[int], Callable[[], str]]


def publish_procedures(once: Once) -> None:
    """The example procedures, each with a record of its qualification that is as invented."""
    for name, ready in READY_PROCEDURES.items():
        data = {**ready.data, "qualified_by": f"Procedure test {name} (invented)"}
        once(f"procedure {name}", publish_procedure, name=name, data=data, note=ready.what)


def qualify(progress: Progress, once: Once, day: DayFromNow) -> None:
    """Who may weld and test; days count from the day the demo is loaded and are noted first."""
    for entry in WELDERS["qualifications"]:
        given = dict(entry)
        reference = given["reference"]
        given["tested_on"] = progress.once(f"tested {reference}", day(-given.pop("tested_days_ago")))
        if (days := given.pop("valid_in_days", None)) is not None:
            given["valid_until"] = progress.once(f"valid {reference}", day(days))
        once(f"qualification {reference}", add_qualification, **given)
    for use in WELDERS["uses"]:
        given = dict(use)
        name = f"{given['stamp']} {given['process']}"
        given["used_on"] = progress.once(f"used {name}", day(-given.pop("days_ago")))
        once(f"use {name}", confirm_process_use, **given)
