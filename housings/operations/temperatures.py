"""Temperatures of a joint: figures and crayons, as typed; asked about where the other unit is likelier."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings.engineering.temperatures import fits_in_other_unit, looks_like_other_unit, read_temperature
from housings.models import Housing, JointTemperature
from housings.operations.welds import AtJoint, at_joint, moment_of, the_joint
from housings.weld_rules import MEASURED_AT, reasons_of_arcs
from shopqc.operation import Answer, Run, operation
from shopqc.people import PROGRAM
from shopqc.refusals import Reason, Refused, refuse

MOST_TEMPERATURES, LONGEST_THERMOMETER = 20, 20
FIELDS = ("value", "unit", "crayon", "place", "thermometer", "simulated", "done_at")


@operation("record_joint_temperature", locks=the_joint)
def record_joint_temperature(
    run: Run, *, housing: str, joint: str, temperatures: Sequence[Mapping[str, Any]], sure: bool = False
) -> Answer:
    """How hot a joint is.

    ``temperatures``: each with ``value``, ``unit`` ("F" or "C") and, if there is more to say, ``crayon``
    ("above" if it melted, "below" if not), ``place`` (a key of `MEASURED_AT`), ``thermometer``,
    ``simulated`` and ``done_at``.
    ``sure`` answers the question whether the other unit was meant.
    """
    at = at_joint(run, housing, joint)
    if not 1 <= len(temperatures) <= MOST_TEMPERATURES:
        raise refuse("temperatures_number", "/temperatures", most=MOST_TEMPERATURES)
    if reasons := reasons_of_arcs(at.state, PROGRAM, run.at):
        raise Refused(*reasons)
    rows = read_temperatures(run, at, temperatures, default=run.at, latest=run.at, sure=sure)
    keep_temperatures(run, at.housing, rows)
    run.write(at.housing, joint=at.joint.code, name=at.joint.name, read=[_said(row) for row in rows])
    return {"housing": housing, "joint": joint, "after_pass": rows[0].after_pass, "read": len(rows)}


def read_temperatures(
    run: Run,
    at: AtJoint,
    given: Sequence[Mapping[str, Any]],
    *,
    default: datetime.datetime,
    latest: datetime.datetime,
    sure: bool,
) -> list[JointTemperature]:
    """Temperatures as rows that are not saved yet; every reason against any of them is refused at once.

    ``default`` is when one was read that does not say; after ``latest`` it cannot have let the arc start.
    """
    if len(given) > MOST_TEMPERATURES:
        raise refuse("temperatures_number", "/temperatures", most=MOST_TEMPERATURES)
    state, rows = at.state, []
    reasons: list[Reason] = []
    last_arc = (state.last_arc_at, _("the end of the last pass"))
    previous = (state.since_last[-1].done_at if state.since_last else None, _("the reading before it"))
    place = state.procedure.measured_at if state.procedure else "stop"
    for index, entry in enumerate(given):
        field = f"/temperatures/{index}"
        found = _reasons_of_entry(entry, field)
        reasons += found
        if found:
            continue
        moment = moment_of(run, entry.get("done_at"), default, [last_arc, previous], f"{field}/done_at")
        if moment > latest:
            reasons.append(Reason("read_after_arc", field=f"{field}/done_at"))
        crayon = entry.get("crayon") or ""
        value, unit = str(entry["value"]).strip(), str(entry["unit"])
        since = (moment - state.last_arc_at).total_seconds() / 60 if state.last_arc_at else None
        asked = looks_like_other_unit(value, unit, since) or (
            state.procedure is not None
            and fits_in_other_unit(
                value,
                unit,
                state.procedure.temperature_unit,
                state.procedure.preheat_least,
                state.procedure.interpass_greatest,
            )
        )
        if asked and not sure and not crayon:
            facts = {
                "value": value,
                "unit": unit,
                "joint": at.joint.name,
                "other": "C" if unit == "F" else "F",
            }
            reasons.append(Reason("unit_asked", facts, f"{field}/unit"))
        previous = (moment, _("the reading before it"))
        rows.append(
            JointTemperature(
                housing=at.housing,
                joint=at.joint,
                visit=at.visit,
                value=value,
                unit=unit,
                crayon=crayon,
                place=entry.get("place") or place,
                thermometer=str(entry.get("thermometer") or "").strip(),
                after_pass=state.next_number - 1,
                simulated=bool(entry.get("simulated", False)),
                record_position=run.position_in(at.housing),
                index=index,
                done_at=moment,
                received_at=run.at,
                by_stamp=run.by.stamp,
                by_person=run.by.person,
            )
        )
    if reasons:
        raise Refused(*reasons)
    return rows


def _reasons_of_entry(entry: Mapping[str, Any], field: str) -> list[Reason]:
    """What is wrong with one temperature as it was sent."""
    reasons = [Reason("field_unknown", field=f"{field}/{name}") for name in entry if name not in FIELDS]
    try:
        read_temperature(entry.get("value"), entry.get("unit"))
    except ValueError as error:
        reasons.append(Reason("weld_figure_wrong", {"why": _(str(error))}, f"{field}/value"))
    choices = {"crayon": ("", "above", "below"), "place": ("", *MEASURED_AT)}
    for name, allowed in choices.items():
        if (value := entry.get(name) or "") not in allowed:
            facts = {"value": str(value)[:40], "choices": ", ".join(allowed[1:])}
            reasons.append(Reason("choice_unknown", facts, f"{field}/{name}"))
    if len(str(entry.get("thermometer") or "").strip()) > LONGEST_THERMOMETER:
        why = _("The name of a thermometer has at most %(most)s characters.") % {"most": LONGEST_THERMOMETER}
        reasons.append(Reason("weld_figure_wrong", {"why": why}, f"{field}/thermometer"))
    return reasons


def keep_temperatures(run: Run, housing: Housing, rows: Sequence[JointTemperature]) -> None:
    """Save temperatures as facts of the run's line. Part of an operation that holds the housing."""
    for row in rows:
        row.save(force_insert=True)
    if rows:
        run.write(housing, rows)


def _said(row: JointTemperature) -> str:
    """A temperature as the line of the record book has it."""
    sign = {"above": "> ", "below": "< "}.get(row.crayon, "")
    return f"{sign}{row.value} °{row.unit}"
