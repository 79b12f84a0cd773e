"""Looking at a weld: the root before it is covered, the finished weld, a cavity before it is welded again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings.operations.holds import place_hold
from housings.operations.visits import the_housing
from inspections.models import Nonconformance, WeldLook, WeldRepair
from inspections.operations.weld_joints import (
    AtJoint,
    at_joint,
    open_for,
    reasons_of_time,
    reasons_of_welding,
)
from inspections.weld_findings import Findings, read_findings
from inspections.weld_queries import CAVITY
from inspections.weld_words import STAGE_WORDS
from shopqc.operation import Answer, Run, operation
from shopqc.refusals import Reason, Refused, register

register(
    409,
    {
        "no_repair_open": _("No repair of %(joint)s is open, so there is no cavity to look at."),
        "cavity_welded": _("Repair %(number)s of %(joint)s is being welded again; its cavity is closed."),
        "repair_not_welded": _(
            "Repair %(number)s of %(joint)s is not welded again yet; look at its cavity, or weld it first."
        ),
        "repair_is_other": _("The open repair of %(joint)s is number %(number)s."),
    },
)


@operation("look_at_weld", locks=the_housing)
def look_at_weld(
    run: Run,
    *,
    housing: str,
    joint: str,
    stage: str,
    accepted: bool,
    findings: Sequence[Mapping[str, Any]] = (),
    repair: int = 0,
    note: str = "",
    done_at: str | None = None,
    hold: bool = False,
) -> Answer:
    """Somebody looked at a weld and accepts or refuses it.

    ``joint``: its code. ``stage``: "root", "covered", "final" or "cavity". ``findings``: imperfections, each
    with ``number`` (ISO 6520-1), and optionally ``size``, ``length``, ``width``, ``throat`` with ``unit``
    ("mm" or "in"), and ``where``; none = nothing found. Each is judged by the quality level of the joint's
    procedure. ``repair``: which repair is meant, 0 = the one that is open, if any.

    A refused weld opens a nonconformance in the same write; a refused cavity is dug out further instead.
    """
    at = at_joint(run, housing, joint, done_at)
    begun = at.record.open_repair(at.joint)
    found = read_findings(findings, at.joint, at.level)
    reasons = [*found.reasons, *_reasons_of_stage(at, stage, begun, repair)]
    note = note.strip()
    if accepted:
        reasons += found.against
    elif not found.kept and not note and not found.reasons:
        reasons.append(Reason("finding_needed", field="/findings"))
    if reasons:
        raise Refused(*reasons)
    look = WeldLook(
        housing=at.housing,
        joint=at.joint,
        visit=at.visit,
        stage=stage,
        after_pass=at.state.last_pass.number if at.state.last_pass else 0,
        repair=begun.number if begun else 0,
        level=at.level,
        findings=found.kept,
        accepted=accepted,
        nonconformance=None if accepted else _opened(at, stage, found, note, begun),
        note=note,
        record_position=run.position_in(at.housing),
        done_at=at.done_at,
        received_at=run.at,
        by_stamp=run.by.stamp,
        by_person=run.by.person,
    )
    look.save(force_insert=True)
    number = look.nonconformance.number if look.nonconformance else None
    run.write(
        at.housing,
        [look],
        joint=joint,
        stage=stage,
        accepted=accepted,
        nonconformance=number,
        repair=look.repair,
    )
    if hold and not accepted:
        place_hold(run, at.housing, f"{look.nonconformance}: {at.name}")
    return {
        "housing": housing,
        "joint": joint,
        "look": str(look.pk),
        "accepted": accepted,
        "findings": found.kept,
        "nonconformance": number,
    }


def _reasons_of_stage(at: AtJoint, stage: str, begun: WeldRepair | None, repair: int) -> list[Reason]:
    """Whether there is that to look at."""
    if stage not in STAGE_WORDS:
        unknown = {"value": stage[:20], "choices": ", ".join(STAGE_WORDS)}
        return [Reason("choice_unknown", unknown, "/stage")]
    facts: dict[str, Any] = {"joint": at.name, "number": begun.number if begun else 0}
    if repair and (begun is None or begun.number != repair):
        code = "repair_is_other" if begun else "repair_not_begun"
        return [Reason(code, facts if begun else {**facts, "number": repair}, "/repair")]
    welded_again = begun is not None and bool(at.record.passes_after(at.state, begun.number))
    if stage == CAVITY:
        if begun is None:
            return [Reason("no_repair_open", facts, "/stage")]
        return [Reason("cavity_welded", facts, "/stage")] if welded_again else reasons_of_time(at)
    if begun is not None and not welded_again:
        return [Reason("repair_not_welded", facts, "/stage")]
    return reasons_of_welding(at)


def _opened(at: AtJoint, stage: str, found: Findings, note: str, begun: WeldRepair | None) -> Nonconformance:
    if stage == CAVITY and begun is not None:
        return begun.nonconformance
    return open_for(at, str(STAGE_WORDS[stage]).lower(), found, note)
