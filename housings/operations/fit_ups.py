"""The hold point before the root: how a joint was fitted, and whether it may be welded so."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings import welder_rules
from housings.engineering.outside import Outside, fit_up_outside
from housings.engineering.weld_figures import read_fit_up
from housings.models import FitUp
from housings.operations.welds import AtJoint, at_joint, figure_reasons, moment_of, the_joint
from shopqc.models import Person
from shopqc.operation import Answer, Run, operation
from shopqc.refusals import Refused, refuse


@operation("record_fit_up", locks=the_joint)
def record_fit_up(
    run: Run,
    *,
    housing: str,
    joint: str,
    figures: Mapping[str, Any],
    tacked_by: str = "",
    note: str = "",
    done_at: str | None = None,
) -> Answer:
    """How a joint was found before its root: accepted if nothing is outside its procedure; the newest counts.

    ``figures``: ``gap``, ``land``, ``mismatch`` in ``length_unit``, ``bevel`` in degrees, and ``clean``,
    ``purged``, ``preheated`` as "yes" or "no". ``tacked_by`` is the stamp of who tacked it.
    """
    at = at_joint(run, housing, joint)
    if at.state.passes:
        raise refuse("fit_up_covered", joint=at.joint.name)
    kept, problems = read_fit_up(figures)
    if problems:
        raise Refused(*figure_reasons(problems))
    # The procedure's own sentences, then what a person makes of them.
    outside = fit_up_outside(at.state.procedure, kept) + _of_tacker(run, at, tacked_by.strip())
    before = at.state.fit_up.done_at if at.state.fit_up else None
    entry = FitUp(
        housing=at.housing,
        joint=at.joint,
        visit=at.visit,
        figures=kept,
        outside=outside,
        accepted=not outside,
        tacked_by=tacked_by.strip(),
        note=note.strip(),
        record_position=run.position_in(at.housing),
        done_at=moment_of(run, done_at, run.at, [(before, _("the fit-up before it"))], "/done_at"),
        received_at=run.at,
        by_stamp=run.by.stamp,
        by_person=run.by.person,
    )
    entry.save(force_insert=True)
    run.write(at.housing, [entry], joint=at.joint.code, name=at.joint.name, accepted=entry.accepted)
    return {"housing": housing, "joint": joint, "accepted": entry.accepted, "outside": outside}


def _of_tacker(run: Run, at: AtJoint, stamp: str) -> list[Outside]:
    """Whether somebody qualified tacked it, as far as the shop asks."""
    if not stamp:
        asks = welder_rules.WELDER_QUALIFIED in at.situation.in_use
        return [{"code": "tacker", "what": "Nobody is named who tacked it."}] if asks else []
    person = Person.objects.filter(stamp=stamp).first()
    if person is None:
        raise refuse("not_found", "/tacked_by", what=str(_("person with the stamp")), name=stamp[:20])
    reasons = welder_rules.reasons_against_tacker(
        person, at.state.revision, at.joint, run.at, at.situation.in_use
    )
    return [{"code": "tacker", "what": reason.sentence} for reason in reasons]
