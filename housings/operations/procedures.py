"""Welding procedures: publishing a revision, and saying by which one a joint is welded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db.models import Max
from django.utils.translation import gettext_lazy as _

from housings import queries, rules
from housings.engineering.procedure_reading import read_procedure
from housings.engineering.procedures import procedure_from, reaches
from housings.models import Housing, Joint, JointProcedure, ProcedureDraft, ProcedureRevision
from housings.operations.joints import joints_laid
from housings.operations.routes import use_up
from housings.operations.visits import the_housing
from shopqc import files
from shopqc.operation import Answer, Rows, Run, operation, the_shop
from shopqc.refusals import Reason, Refused, refuse, register

LONGEST_NAME, LONGEST_NOTE = 40, 2000

register(422, {"procedure_wrong": _("%(why)s")})
register(
    409,
    {
        "procedure_unchanged": _("It says the same as %(procedure)s, so nothing is published."),
        "procedure_does_not_reach": _("%(procedure)s does not reach %(joint)s: %(why)s"),
        "procedure_assigned": _("%(joint)s is welded by %(procedure)s already."),
        "procedure_old": _("%(procedure)s was replaced by revision %(newest)s; assign that one."),
        "arc_is_on": _("Stamp %(stamp)s is welding %(joint)s now. Wait until the pass is done."),
    },
)


def _the_shop(**_inputs: Any) -> list[Rows]:
    return [the_shop()]


def reasons_not_to_publish(data: object) -> list[Reason]:
    """Every reason against a procedure's data, each at its field."""
    _tidy, problems = read_procedure(data)
    return [
        Reason("procedure_wrong", {"why": one.sentence}, f"/data/{one.field}".rstrip("/")) for one in problems
    ]


@operation("publish_procedure", locks=_the_shop)
def publish_procedure(
    run: Run,
    *,
    name: str,
    data: Mapping[str, Any] | None = None,
    note: str = "",
    document: str = "",
    draft: int | None = None,
    version: int | None = None,
) -> Answer:
    """Publish the next revision of a procedure; joints keep the revision they were given.

    ``data`` as `housings.engineering.procedure_reading.read_procedure` takes it; ``document`` is the digest
    of the filed procedure or of its qualification record. ``draft`` and ``version`` name the draft it
    was written in: it goes with the publishing, and has the data if none is given.
    """
    if draft is not None:
        written = ProcedureDraft.objects.filter(pk=draft, version=version or 0).first()
        use_up(ProcedureDraft, draft, version)
        if data is None and written is not None:
            data = {name: value for name, value in written.data.items() if name != "document"}
    name = name.strip()
    reasons = reasons_not_to_publish(data or {})
    if not name:
        reasons.append(Reason("field_missing", field="/name"))
    elif len(name) > LONGEST_NAME:
        reasons.append(Reason("too_long", {"most": LONGEST_NAME}, "/name"))
    if len(note.strip()) > LONGEST_NOTE:
        reasons.append(Reason("too_long", {"most": LONGEST_NOTE}, "/note"))
    if document and not files.is_kept(document):
        reasons.append(Reason("document_not_filed", field="/document"))
    if reasons:
        raise Refused(*reasons)
    tidy, _problems = read_procedure(data)
    of_name = ProcedureRevision.objects.filter(name=name)
    newest = of_name.order_by("-number").first()
    if newest and newest.data == tidy and newest.document in (document, document or newest.document):
        raise refuse("procedure_unchanged", procedure=str(newest))
    row = ProcedureRevision.objects.create(
        name=name,
        number=(of_name.aggregate(most=Max("number"))["most"] or 0) + 1,
        data=tidy,
        document=document or (newest.document if newest else ""),
        note=note.strip(),
        published_at=run.at,
        published_by=run.by.stamp,
    )
    run.write(run.shop, [row], procedure=str(row), title=tidy["title"], document=row.document)
    return {"procedure": row.name, "number": row.number, "id": row.pk}


@operation("assign_procedure", locks=the_housing)
def assign_procedure(run: Run, *, housing: str, joint: str, procedure: int | None, why: str) -> Answer:
    """Say by which procedure a joint is welded from now on; ``None``: none reaches it.

    It has to reach the joint. Passes that were made before keep the procedure they were made by.
    """
    row = run.get(Housing, housing)
    if reasons := rules.reasons_of_state(row):
        raise Refused(*reasons)
    found = next((one for one in joints_laid(run, row) if one.code == joint), None)
    if found is None:
        raise refuse("not_found", "/joint", what=str(_("joint")), name=joint[:40])
    chosen = None
    if procedure is not None:
        chosen = ProcedureRevision.objects.filter(pk=procedure).first()
        if chosen is None:
            raise refuse("not_found", "/procedure", what=str(_("procedure")), name=procedure)
    reasons = [Reason("reason_needed", field="/why")] if not why.strip() else []
    if len(why.strip()) > LONGEST_NOTE:
        reasons.append(Reason("too_long", {"most": LONGEST_NOTE}, "/why"))
    reasons += reasons_not_to_assign(found, chosen)
    if reasons:
        raise Refused(*reasons)
    entry = JointProcedure.objects.create(
        joint=found,
        procedure=chosen,
        why=why.strip(),
        record_position=run.position_in(row),
        at=run.at,
        by_stamp=run.by.stamp,
    )
    run.write(
        row, [entry], joint=joint, name=found.name, procedure=str(chosen) if chosen else None, why=entry.why
    )
    return {"housing": housing, "joint": joint, "procedure": str(chosen) if chosen else None}


def reasons_not_to_assign(joint: Joint, chosen: ProcedureRevision | None) -> list[Reason]:
    """Why a joint is not to be welded by a procedure."""
    reasons = []
    arc = joint.arcs.filter(ended_at=None).select_related("welder").first()
    if arc is not None:
        reasons.append(Reason("arc_is_on", {"stamp": arc.welder.stamp, "joint": joint.name}))
    if chosen is None:
        return reasons
    facts = {"procedure": str(chosen), "joint": joint.name}
    if why := reaches(procedure_from(chosen.data), joint):
        facts["why"] = " ".join(why)
        reasons.append(Reason("procedure_does_not_reach", facts, "/procedure"))
    newest = next((one for one in queries.newest_procedures() if one.name == chosen.name), chosen)
    if newest.number != chosen.number:
        reasons.append(Reason("procedure_old", {**facts, "newest": newest.number}, "/procedure"))
    if _present(joint, for_repair=bool(chosen.data.get("for_repair"))) == chosen.pk:
        reasons.append(Reason("procedure_assigned", facts, "/procedure"))
    return reasons


def _present(joint: Joint, *, for_repair: bool) -> int | None:
    """The key of the procedure that counts for a joint now, for new welds or for repairs."""
    for entry in joint.procedures.select_related("procedure").order_by("-pk"):
        if entry.procedure is None:
            return None
        if bool(entry.procedure.data.get("for_repair")) == for_repair:
            return int(entry.procedure.pk)
    return None
