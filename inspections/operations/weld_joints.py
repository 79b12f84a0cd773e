"""What looking, testing and repairing have in common: which joint, where the housing is, and when."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _

from housings import gate, queries
from housings.models import Housing, Joint, Visit
from housings.operations.joints import joints_laid
from housings.rules import reasons_of_away, reasons_of_state
from housings.weld_queries import JointState
from inspections.models import Nonconformance
from inspections.operations.nonconformances import open_nonconformance
from inspections.weld_findings import Findings
from inspections.weld_queries import WeldRecord
from inspections.weld_rules import moment_words
from inspections.weld_words import finding_words
from shopqc.operation import Run
from shopqc.refusals import Reason, Refused, refuse, register

register(
    409,
    {
        "weld_nowhere": _(
            "The housing has not arrived at any station, so no weld of it can be judged there."
        ),
        "nothing_welded": _("Nothing of %(joint)s is on record as welded yet."),
    },
)
register(
    422,
    {
        "seen_in_future": _("This lies in the future; say when it was."),
        "seen_before_weld": _(
            "%(joint)s was welded last at %(ended)s, and this was before; look at the time."
        ),
    },
)


@dataclass(frozen=True)
class AtJoint:
    """A joint of a housing that a run holds, as it stands, and where the housing is."""

    run: Run
    housing: Housing
    situation: gate.Situation
    record: WeldRecord
    state: JointState
    visit: Visit
    done_at: datetime.datetime

    @property
    def joint(self) -> Joint:
        return self.state.joint

    @property
    def name(self) -> str:
        return self.state.joint.name

    @property
    def level(self) -> str:
        """The quality level of ISO 5817 that its procedure names; "" if none does."""
        return self.state.procedure.level if self.state.procedure else ""


def at_joint(run: Run, housing: str, joint: str, done_at: str | None = None) -> AtJoint:
    """Find a joint of a housing that the run holds, or refuse with what is in the way of judging it."""
    row = run.get(Housing, housing)
    if reasons := reasons_of_state(row):
        raise Refused(*reasons)
    joints_laid(run, row)
    situation = gate.Situation(row)
    record = situation.kept(WeldRecord)
    state = record.state_of(joint)
    if state is None:
        raise refuse("not_found", "/joint", what=str(_("joint")), name=joint[:40])
    visit = queries.visit_here(situation.visits)
    if visit is None:
        raise refuse("weld_nowhere")
    if reasons := reasons_of_away(situation.visits):
        raise Refused(*reasons)
    when = datetime.datetime.fromisoformat(done_at) if done_at else run.at
    return AtJoint(run, row, situation, record, state, visit, when)


def reasons_of_welding(at: AtJoint) -> list[Reason]:
    """Whether there is a weld to be judged, and whether it was welded when it was."""
    reasons = reasons_of_time(at)
    if at.record.last_welded(at.state) is None:
        reasons.append(Reason("nothing_welded", {"joint": at.name}))
    return reasons


def reasons_of_time(at: AtJoint) -> list[Reason]:
    """Whether the moment lies between the last pass and now."""
    if at.done_at > at.run.at:
        return [Reason("seen_in_future", field="/done_at")]
    ended = at.state.last_arc_at
    if ended is not None and at.done_at < ended:
        facts = {"joint": at.name, "ended": moment_words(ended)}
        return [Reason("seen_before_weld", facts, "/done_at")]
    return []


def open_for(at: AtJoint, what: str, findings: Findings, note: str) -> Nonconformance:
    """Open a nonconformance for a weld that was refused, in the same write."""
    words = "; ".join([*(finding_words(one) for one in findings.kept), *([note] if note else [])])
    number = open_nonconformance(
        at.run,
        at.housing,
        at.visit,
        f"{at.name}, {what}: {words}",
        defect=findings.defect,
        major=findings.is_major,
    )
    return Nonconformance.objects.get(housing=at.housing, number=number)
