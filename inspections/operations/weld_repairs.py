"""Digging a weld out to weld it again, counted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings.engineering.procedures import procedure_from, reaches
from housings.models import JointProcedure, ProcedureRevision
from housings.operations.visits import the_housing
from housings.queries import newest_procedures
from housings.rules import reasons_of_holds
from housings.weld_rules import PROCEDURE_FOLLOWED
from inspections.metrology.numbers import exact
from inspections.models import Nonconformance, WeldRepair
from inspections.models.nonconformances import REPAIR, REWORK
from inspections.operations.weld_joints import AtJoint, at_joint
from shopqc.models import Person
from shopqc.operation import Answer, Run, operation
from shopqc.people import ENGINEER
from shopqc.refusals import Reason, Refused, refuse, register

METHODS = {"grinding": _("ground"), "machining": _("machined"), "gouging": _("gouged")}
HOURS = tuple(str(hour) for hour in range(1, 13))
FIELDS = frozenset({"method", "depth", "length", "unit", "hour"})
WITHOUT_ENGINEER = 2
"""How many repairs of one joint the shop makes on the decision about each (common practice, no source)."""

register(
    409,
    {
        "not_of_joint": _(
            "Nonconformance %(number)s is not about %(joint)s. Look at the weld and refuse it: that opens "
            "one."
        ),
        "not_to_be_repaired": _("Nonconformance %(number)s was decided otherwise: %(decision)s."),
        "repair_before_decision": _(
            "Nonconformance %(number)s waits for a decision. Once it says rework or repair, the weld is dug "
            "out."
        ),
        "repaired_already": _("What nonconformance %(number)s is about was repaired and accepted already."),
        "repairs_escalate": _(
            "%(joint)s was repaired %(count)s times. Another repair is begun by an engineer with a "
            "credential on file."
        ),
        "repair_procedure_missing": _("No published procedure for repairs reaches %(joint)s."),
        "repair_procedure_short": _("Procedure %(procedure)s does not do for this repair: %(why)s"),
    },
)
register(422, {"excavation_wrong": _("%(why)s")})


@operation("begin_repair", locks=the_housing)
def begin_repair(
    run: Run,
    *,
    housing: str,
    joint: str,
    nonconformance: int,
    procedure: int | None = None,
    how: Mapping[str, Any] | None = None,
) -> Answer:
    """A weld was dug out where it was refused; its passes are welded once somebody has seen the cavity.

    ``nonconformance``: number of one that is about this joint and was decided as rework or repair.
    ``procedure``: key of a published procedure for repairs; without it, the first that reaches the joint.
    ``how``: ``method`` ("grinding", "machining", "gouging"), ``depth`` and ``length`` with ``unit`` ("in" or
    "mm"), ``hour`` of the clock, seen from the end. The third repair of a joint needs the engineer.
    """
    at = at_joint(run, housing, joint)
    found = (
        Nonconformance.objects.select_related("disposition")
        .filter(housing=at.housing, number=nonconformance)
        .first()
    )
    if found is None:
        raise refuse("not_found", "/nonconformance", what=str(_("nonconformance")), name=nonconformance)
    kept, reasons = _read_how(how or {})
    reasons += reasons_of_holds(at.situation.holds)
    reasons += reasons_against_repair(at.record.open_repair(at.joint), at.name, found, at)
    number = len(at.record.repairs_of(at.joint)) + 1
    credential = _credential(run)
    reasons += reasons_of_count(at.name, number, credential)
    chosen, against = _procedure(at, procedure)
    reasons += against
    if reasons:
        raise Refused(*reasons)
    repair = WeldRepair(
        housing=at.housing,
        joint=at.joint,
        visit=at.visit,
        number=number,
        nonconformance=found,
        procedure=chosen,
        how=kept,
        credential=credential if number > WITHOUT_ENGINEER else "",
        record_position=run.position_in(at.housing),
        at=run.at,
        by_stamp=run.by.stamp,
    )
    repair.save(force_insert=True)
    given = _assign(at, chosen, number)
    run.write(at.housing, [repair, *given], joint=joint, repair=number, nonconformance=found.number)
    return {
        "housing": housing,
        "joint": joint,
        "repair": number,
        "procedure": str(chosen) if chosen else None,
        "nonconformance": found.number,
    }


def reasons_against_repair(
    begun: WeldRepair | None, name: str, found: Nonconformance, at: AtJoint
) -> list[Reason]:
    """Whether this nonconformance lets the joint be dug out now."""
    reasons = []
    if begun is not None:
        reasons.append(Reason("repair_open", {"joint": name, "number": begun.number}))
    facts = {"number": found.number, "joint": name}
    if found.pk not in about_joint(at):
        return [*reasons, Reason("not_of_joint", facts, "/nonconformance")]
    decision = found.decision
    if decision is None:
        reasons.append(Reason("repair_before_decision", facts, "/nonconformance"))
    elif decision.kind not in {REWORK, REPAIR}:
        facts["decision"] = decision.words
        reasons.append(Reason("not_to_be_repaired", facts, "/nonconformance"))
    elif begun is None and any(
        repair.nonconformance_id == found.pk for repair in at.record.repairs_of(at.joint)
    ):
        reasons.append(Reason("repaired_already", facts, "/nonconformance"))
    return reasons


def about_joint(at: AtJoint) -> set[int]:
    """Keys of the nonconformances that looks, tests and passes of a joint opened."""
    keys = {look.nonconformance_id for look in at.record.looks_of(at.joint) if look.nonconformance_id}
    keys |= {test.nonconformance_id for test in at.record.tests_of(at.joint) if test.nonconformance_id}
    numbers = [entry.nonconformance for entry in at.state.passes if entry.nonconformance is not None]
    if numbers:
        of_passes = Nonconformance.objects.filter(housing=at.housing, number__in=numbers)
        keys |= set(of_passes.values_list("pk", flat=True))
    return keys


def reasons_of_count(name: str, number: int, credential: str) -> list[Reason]:
    """Whether so many repairs of one joint need somebody else; ``credential``: an engineer's, or ""."""
    if number <= WITHOUT_ENGINEER or credential:
        return []
    return [Reason("repairs_escalate", {"joint": name, "count": number - 1})]


def _credential(run: Run) -> str:
    if ENGINEER not in run.by.roles or run.by.person is None:
        return ""
    return Person.objects.values_list("credential", flat=True).get(pk=run.by.person) or ""


def _procedure(at: AtJoint, wanted: int | None) -> tuple[ProcedureRevision | None, list[Reason]]:
    """The procedure of the repair, and what is against it."""
    if wanted is None:
        chosen = repair_procedures(at.state.joint)
        if chosen or PROCEDURE_FOLLOWED not in at.situation.in_use:
            return (chosen[0] if chosen else None), []
        return None, [Reason("repair_procedure_missing", {"joint": at.name}, "/procedure")]
    revision = ProcedureRevision.objects.filter(pk=wanted).first()
    if revision is None:
        facts = {"what": str(_("procedure")), "name": wanted}
        return None, [Reason("not_found", facts, "/procedure")]
    data = procedure_from(revision.data)
    why = list(reaches(data, at.joint))
    if not data.for_repair:
        why.insert(0, str(_("It is not for repairs.")))
    facts = {"procedure": str(revision), "why": " ".join(why)}
    return revision, [Reason("repair_procedure_short", facts, "/procedure")] if why else []


def repair_procedures(joint: Any) -> list[ProcedureRevision]:
    """The newest published procedures for repairs that reach a joint, by name."""
    read = ((revision, procedure_from(revision.data)) for revision in newest_procedures())
    return [revision for revision, data in read if data.for_repair and not reaches(data, joint)]


def _assign(at: AtJoint, chosen: ProcedureRevision | None, number: int) -> list[JointProcedure]:
    """Give the joint the procedure of the repair, unless it has it already."""
    if chosen is None or chosen == at.state.repair_revision:
        return []
    given = JointProcedure(
        joint=at.joint,
        procedure=chosen,
        why=str(_("repair %(number)d") % {"number": number}),
        record_position=at.run.position_in(at.housing),
        at=at.run.at,
        by_stamp=at.run.by.stamp,
    )
    given.save(force_insert=True)
    return [given]


def _read_how(how: Mapping[str, Any]) -> tuple[dict[str, str], list[Reason]]:
    """How it was dug out, as typed, and what is wrong with that."""
    kept = {name: str(value).strip() for name, value in how.items() if str(value or "").strip()}
    reasons = [Reason("field_unknown", field=f"/how/{name[:40]}") for name in how if name not in FIELDS]
    if kept.get("method") not in METHODS:
        facts = {"value": kept.get("method", "—")[:20], "choices": ", ".join(METHODS)}
        reasons.append(Reason("choice_unknown", facts, "/how/method"))
    if kept.setdefault("unit", "mm") not in {"mm", "in"}:
        reasons.append(
            Reason("choice_unknown", {"value": kept["unit"][:20], "choices": "mm, in"}, "/how/unit")
        )
    for name, words in (("depth", _("The depth")), ("length", _("The length"))):
        kept[name] = kept.get(name, "").replace(",", ".")
        if not _is_size(kept[name]):
            why = _("%(what)s of the cavity is a number above zero, such as 0.2.") % {"what": words}
            reasons.append(Reason("excavation_wrong", {"why": why}, f"/how/{name}"))
    if kept.get("hour", "12") not in HOURS:
        hour = {"why": _("The hour of the clock is a number from 1 to 12.")}
        reasons.append(Reason("excavation_wrong", hour, "/how/hour"))
    return kept, reasons


def _is_size(text: str) -> bool:
    try:
        return 0 < exact(text, "size") <= 1000
    except ValueError:
        return False
