"""The arc: begun when a pass starts, taken back if nobody welded."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings import gate, rules
from housings.models import Arc
from housings.operations.temperatures import keep_temperatures, read_temperatures
from housings.operations.welds import AtJoint, at_joint, held_welder, moment_of, the_joint
from housings.weld_queries import released_by
from shopqc.operation import Answer, Run, operation
from shopqc.people import actor_of
from shopqc.refusals import Reason, Refused, refuse

PASS, DROPPED = "pass", "dropped"


@operation("begin_pass", locks=the_joint)
def begin_pass(
    run: Run,
    *,
    housing: str,
    joint: str,
    number: int,
    temperatures: Sequence[Mapping[str, Any]] = (),
    repair: int = 0,
    welder: str | None = None,
    done_at: str | None = None,
    seen_position: int | None = None,
    sure: bool = False,
) -> Answer:
    """A welder starts a pass, if the gate is free: from now on the arc is on.

    ``number`` is the pass the device means; ``temperatures`` were read just before. ``done_at`` is when the
    arc began, if that was not now.
    """
    at = at_joint(run, housing, joint)
    check_number(at, number)
    check_seen(at, seen_position)
    person = held_welder(run, welder)
    begun = moment_of(
        run, done_at, run.at, [(at.state.last_arc_at, _("the end of the last pass"))], "/done_at"
    )
    rows = read_temperatures(run, at, temperatures, default=begun, latest=begun, sure=sure)
    gate.check(at.situation, gate.NextPass(at.joint, actor_of(person), begun, rows, repair))
    released = at.state.release(begun, rows, repair=repair, read_by=begun)
    keep_temperatures(run, at.housing, rows)
    Arc.objects.create(
        joint=at.joint,
        housing=at.housing,
        number=number,
        welder=person,
        released_by=released_by(released),
        begun_at=begun,
    )
    run.write(at.housing, joint=at.joint.code, name=at.joint.name, number=number, welder=person.stamp)
    return {"housing": housing, "joint": joint, "number": number, "welder": person.stamp}


@operation("drop_arc", locks=the_joint)
def drop_arc(run: Run, *, housing: str, joint: str) -> Answer:
    """An arc that was begun by mistake: no pass came of it. Done by its welder, or by the QC lead."""
    # Also of a housing that was scrapped meanwhile: else its welder could begin nothing any more.
    at = at_joint(run, housing, joint, here=False, ended_too=True)
    arc = at.state.arc
    if arc is None:
        raise refuse("no_arc", joint=at.joint.name)
    if reasons := rules.reasons_of_person(run.by, arc.welder.stamp):
        raise Refused(*reasons)
    end_arc(run, arc, DROPPED, run.at)
    run.write(at.housing, joint=joint, name=at.joint.name, number=arc.number, welder=arc.welder.stamp)
    return {"housing": housing, "joint": joint, "number": arc.number}


def end_arc(run: Run, arc: Arc, how: str, at: datetime.datetime) -> None:
    """Part of an operation that holds the housing."""
    ended = Arc.objects.filter(pk=arc.pk, ended_at=None).update(ended_at=at, ended=how)
    if ended != 1:
        raise RuntimeError(f"An arc of housing {arc.housing_id} ended while {run.name} held it.")


def check_number(at: AtJoint, number: int) -> None:
    """Refuse a pass that is on record already, or one that would leave another out."""
    facts = {"number": number, "joint": at.joint.name, "next": at.state.next_number}
    if number < at.state.next_number:
        raise Refused(Reason("pass_known", facts, "/number"))
    if number > at.state.next_number:
        raise Refused(Reason("pass_skipped", facts, "/number"))


def check_seen(at: AtJoint, seen_position: int | None) -> None:
    """Refuse if a pass of the joint came after what the device had loaded."""
    last = at.state.last_pass
    if seen_position is not None and last is not None and last.record_position > seen_position:
        raise refuse("changed_meanwhile")
