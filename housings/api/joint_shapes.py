"""What is answered about the joints of a housing: plain data, with stamps and no names of people."""

from __future__ import annotations

import datetime
from typing import Any

from housings.api.shapes import moment_or_none
from housings.models import Arc, FitUp, JointSettings, JointTemperature, ProcedureRevision, WeldPass
from housings.weld_queries import JointState
from shopqc.canonical import moment
from shopqc.refusals import Reason


def joint_shape(
    state: JointState, at: datetime.datetime, against: list[Reason], *, for_customer: bool = False
) -> dict[str, Any]:
    """How a joint stands at a moment; ``against`` are the reasons against its next pass.

    How the machine was set, and with whose filler, is no customer's business.
    """
    joint = state.joint
    return {
        "code": joint.code,
        "name": joint.name,
        "kind": joint.kind,
        "station": joint.station,
        "side": joint.side,
        "count": joint.count,
        "several_passes": joint.is_multipass,
        "grades": [joint.grade_a, joint.grade_b],
        "thickness": joint.thickness,
        "diameter": joint.diameter,
        "is_here": state.is_here,
        "procedure": _procedure(state.revision),
        "repair_procedure": _procedure(state.repair_revision),
        "passes_done": state.done,
        "passes_least": state.least,
        "next_pass": state.next_number,
        "fit_up": _fit_up(state.fit_up) if state.fit_up else None,
        "settings": _settings(state.settings) if state.settings and not for_customer else None,
        "passes": [pass_shape(one) for one in state.passes],
        "temperatures": [temperature_shape(one) for one in state.since_last],
        "temperature_says": state.release(at).said,
        "arc": _arc(state.arc) if state.arc else None,
        "last_arc_at": moment_or_none(state.last_arc_at),
        "against_next_pass": [{"code": one.code, "detail": one.sentence} for one in against],
    }


def pass_shape(one: WeldPass) -> dict[str, Any]:
    """A weld pass. ``heat_input`` is in kJ/mm, on the basis of the procedure."""
    return {
        "number": one.number,
        "repair": one.repair,
        "welder": one.welder.stamp,
        "figures": one.figures,
        "heat_input": one.heat_input or None,
        "stop_at": one.stop_at or None,
        "outside": one.outside,
        "nonconformance": one.nonconformance,
        "note": one.note,
        "record_position": one.record_position,
        "begun_at": moment_or_none(one.begun_at),
        "done_at": moment(one.done_at),
        "by": one.by_stamp,
    }


def temperature_shape(one: JointTemperature) -> dict[str, Any]:
    """A temperature of a joint, as typed."""
    return {
        "value": one.value,
        "unit": one.unit,
        "crayon": one.crayon,
        "place": one.place,
        "thermometer": one.thermometer,
        "simulated": one.simulated,
        "after_pass": one.after_pass,
        "record_position": one.record_position,
        "done_at": moment(one.done_at),
        "by": one.by_stamp,
    }


def _procedure(revision: ProcedureRevision | None) -> dict[str, Any] | None:
    return {"name": revision.name, "revision": revision.number} if revision else None


def _fit_up(one: FitUp) -> dict[str, Any]:
    return {
        "accepted": one.accepted,
        "figures": one.figures,
        "outside": one.outside,
        "tacked_by": one.tacked_by,
        "note": one.note,
        "done_at": moment(one.done_at),
        "by": one.by_stamp,
    }


def _settings(one: JointSettings) -> dict[str, Any]:
    return {
        "figures": one.figures,
        "outside": one.outside,
        "filler": one.filler.number if one.filler else None,
        "gas": one.gas.number if one.gas else None,
        "each_pass": one.each_pass,
        "at": moment(one.at),
        "by": one.by_stamp,
    }


def _arc(arc: Arc) -> dict[str, Any]:
    return {"number": arc.number, "welder": arc.welder.stamp, "begun_at": moment(arc.begun_at)}
