"""Who may weld a joint, who may tack it, and who may test a weld."""

from __future__ import annotations

import datetime
from collections.abc import Collection

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from housings.engineering.procedures import PROCESSES, procedure_from
from housings.engineering.qualifications import METHODS, reaches
from housings.models import Joint, JointSettings, ProcedureRevision, Qualification
from housings.welder_standing import Standing, is_in_date, standing_of
from shopqc.models import Person
from shopqc.refusals import Reason, register
from shopqc.rules import Rule, the_shop
from shopqc.rules import register as register_rules

WELDER_QUALIFIED = "welder_qualified"

register_rules(
    Rule(
        WELDER_QUALIFIED,
        _("Only who is qualified for a joint, in date and in continuity, welds and tacks it."),
        _("Whether each welder was qualified for the joint was not checked throughout."),
        from_start=False,
    )
)
register(
    409,
    {
        "welder_doubted": _(
            "The welding of stamp %(stamp)s is in doubt since %(day)s: %(why)s The QC lead or the engineer "
            "answers the doubt."
        ),
        "welder_without_procedure": _(
            "%(joint)s has no procedure, so nobody can tell who is qualified for it. Assign one first."
        ),
        "welder_not_qualified": _(
            "Stamp %(stamp)s has no qualification for %(process)s on file. Somebody who has one welds this, "
            "or the QC lead enters it."
        ),
        "welder_out_of_range": _(
            "Stamp %(stamp)s is qualified for %(process)s, but not for %(joint)s: %(why)s"
        ),
        "welder_expired": _(
            "The qualification %(reference)s of stamp %(stamp)s for %(process)s ended on %(day)s."
        ),
        "welder_not_yet": _(
            "The qualification %(reference)s of stamp %(stamp)s counts from its test on %(day)s."
        ),
        "welder_out_of_continuity": _(
            "Stamp %(stamp)s last used %(process)s on %(last)s, and %(months)s months later, on %(until)s, "
            "the qualification fell out of continuity. A new test or a use "
            "confirmed for the time between brings it back."
        ),
        "tester_not_qualified": _(
            "Stamp %(stamp)s has no qualification for %(method)s testing on file. Name who tested, or enter "
            "it."
        ),
        "tester_expired": _(
            "The qualification %(reference)s of stamp %(stamp)s for %(method)s testing ended on %(day)s."
        ),
    },
)


def reasons_against_welder(
    person: Person,
    procedure: ProcedureRevision | None,
    joint: Joint,
    at: datetime.datetime,
    in_use: Collection[str],
) -> list[Reason]:
    """Why somebody may not weld a joint by its procedure; a doubt counts with the rule off too."""
    return _against(person, procedure, joint, at, in_use, tack=False)


def reasons_against_tacker(
    person: Person,
    procedure: ProcedureRevision | None,
    joint: Joint,
    at: datetime.datetime,
    in_use: Collection[str],
) -> list[Reason]:
    """Why somebody may not tack a joint: as for welding it, but type of weld and position do not count."""
    return _against(person, procedure, joint, at, in_use, tack=True)


def _against(
    person: Person,
    revision: ProcedureRevision | None,
    joint: Joint,
    at: datetime.datetime,
    in_use: Collection[str],
    *,
    tack: bool,
) -> list[Reason]:
    standing = standing_of(person, at)
    procedure = procedure_from(revision.data) if revision else None
    reasons = reasons_of_doubts(standing, procedure.process if procedure else None)
    if WELDER_QUALIFIED not in in_use:
        return reasons
    if procedure is None:
        return [*reasons, Reason("welder_without_procedure", {"joint": joint.name})]
    process, on = procedure.process, timezone.localdate(at)
    facts = {"stamp": person.stamp, "process": PROCESSES[process]}
    held = standing.welding(process)
    if not held:
        return [*reasons, Reason("welder_not_qualified", facts)]
    position = "" if tack else _position_of(joint)
    against = {
        row.pk: reaches(qualified, procedure, joint, position=position, tack=tack) for row, qualified in held
    }
    reaching = [row for row, _qualified in held if not against[row.pk]]
    if not reaching:
        row = min((row for row, _qualified in held), key=lambda row: len(against[row.pk]))
        why = {"joint": joint.name, "why": " ".join(against[row.pk])}
        return [*reasons, Reason("welder_out_of_range", {**facts, **why})]
    if not any(is_in_date(row, on) for row in reaching):
        return [*reasons, _not_in_date(reaching[-1], facts, on)]
    if lapsed := reason_of_continuity(standing, process, on):
        reasons.append(lapsed)
    return reasons


def _position_of(joint: Joint) -> str:
    """How the joint lies, if its settings say so."""
    newest = JointSettings.objects.filter(joint=joint).order_by("-record_position").first()
    return str(newest.figures.get("position", "")) if newest else ""


def _not_in_date(row: Qualification, facts: dict[str, str], on: datetime.date) -> Reason:
    if row.tested_on > on:
        return Reason("welder_not_yet", {**facts, "reference": row.reference, "day": row.tested_on})
    return Reason("welder_expired", {**facts, "reference": row.reference, "day": row.valid_until})


def reason_of_continuity(
    standing: Standing, process: str, on: datetime.date, months: int | None = None
) -> Reason | None:
    """Why a qualification is out of continuity on a day, if it is; ``months`` by default as the shop says."""
    months = the_shop().continuity_months if months is None else months
    until = standing.alive_until(process, on, months)
    if until is None or on <= until:
        return None
    facts = {
        "stamp": standing.person.stamp,
        "process": PROCESSES[process],
        "last": standing.last_use(process, on),
        "months": months,
        "until": until,
    }
    return Reason("welder_out_of_continuity", facts)


def reasons_of_doubts(standing: Standing, process: str | None) -> list[Reason]:
    """Each open doubt about somebody's welding, in a process or in every one."""
    return [
        Reason(
            "welder_doubted",
            {
                "stamp": standing.person.stamp,
                "day": timezone.localdate(doubt.at),
                "why": doubt.why if doubt.why.endswith((".", "!", "?")) else f"{doubt.why}.",
            },
        )
        for doubt in standing.doubts_about(process)
    ]


def testing_qualification(stamp: str, method: str, on: datetime.date) -> Qualification | None:
    """The qualification of a person for a method of testing on a day, the highest level first."""
    rows = Qualification.objects.filter(
        person__stamp=stamp, kind=Qualification.TESTING, ranges__method=method, end=None
    )
    in_date = [row for row in rows if is_in_date(row, on)]
    return max(in_date, key=lambda row: (row.ranges["level"], row.tested_on), default=None)


def tester_reasons(stamp: str, method: str, on: datetime.date) -> list[Reason]:
    """Why a person may not test welds by a method (ISO 9712: VT, PT, MT …) on a day; empty if they may."""
    if testing_qualification(stamp, method, on) is not None:
        return []
    facts = {"stamp": stamp, "method": METHODS.get(method, method)}
    rows = Qualification.objects.filter(
        person__stamp=stamp, kind=Qualification.TESTING, ranges__method=method, end=None, tested_on__lte=on
    )
    last = rows.order_by("-valid_until", "-pk").first()
    if last is None:
        return [Reason("tester_not_qualified", facts)]
    return [Reason("tester_expired", {**facts, "reference": last.reference, "day": last.valid_until})]
