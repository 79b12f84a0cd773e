"""Who may weld and test what: qualifications, confirmed uses of a process, doubts and their answers."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from housings.engineering.procedures import PROCESSES
from housings.engineering.qualifications import read_ranges
from housings.models import ProcessUse, Qualification, QualificationEnd, WelderDoubt
from shopqc import files
from shopqc.models import Person
from shopqc.operation import Answer, Rows, Run, operation
from shopqc.refusals import Reason, Refused, refuse, register

LONGEST_REFERENCE, LONGEST_NAME, LONGEST_WHAT, LONGEST_TEXT = 60, 120, 200, 2000
# Before it a digit slipped.
FIRST_YEAR = 1960

register(
    422,
    {
        "qualification_wrong": _("%(why)s"),
        "qualification_dates": _("It ends on a day after the test."),
        "day_wrong": _("“%(day)s” is no day of the calendar, such as 2026-05-04."),
        "day_in_future": _("This lies in the future."),
        "day_long_ago": _("This lies before the year %(year)s; look at the year again."),
        "process_unknown": _("%(process)s is no process here. Processes are: %(processes)s."),
    },
)
register(
    409,
    {
        "qualification_exists": _("Stamp %(stamp)s has the qualification %(reference)s on file already."),
        "qualification_ended": _("The qualification %(reference)s was withdrawn already: %(why)s"),
        "use_known": _("That stamp %(stamp)s used %(process)s on %(day)s is confirmed already."),
        "doubt_answered": _("This doubt was answered already: %(answer)s"),
    },
)


def _the_person(*, stamp: str, **_inputs: Any) -> list[Rows]:
    return [Rows(Person, "stamp", [stamp], "/stamp")]


def _person_of(model: type[Any], pk: Any) -> list[Rows]:
    stamp = model.objects.filter(pk=pk).values_list("person__stamp", flat=True).first()
    return [Rows(Person, "stamp", [stamp])] if stamp else []


def _of_qualification(*, qualification: int, **_inputs: Any) -> list[Rows]:
    return _person_of(Qualification, qualification)


def _of_doubt(*, doubt: int, **_inputs: Any) -> list[Rows]:
    return _person_of(WelderDoubt, doubt)


@operation("add_qualification", locks=_the_person)
def add_qualification(
    run: Run,
    *,
    stamp: str,
    kind: str,
    reference: str,
    ranges: Mapping[str, Any],
    tested_on: str,
    valid_until: str | None = None,
    examiner: str = "",
    document: str = "",
) -> Answer:
    """Put a qualification on file: of a welder for a process, of a tester for a method.

    ``kind`` is "welding" or "testing"; ``ranges`` as `housings.engineering.qualifications.read_ranges` takes
    them; days by ISO 8601. ``document`` is the digest of its filed record.
    """
    person = run.get(Person, stamp)
    if kind not in (Qualification.WELDING, Qualification.TESTING):
        raise refuse("choice_unknown", "/kind", value=kind, choices="welding, testing")
    tidy, problems = read_ranges(kind, ranges)
    reasons = [
        Reason("qualification_wrong", {"why": one.sentence}, f"/ranges/{one.field}".rstrip("/"))
        for one in problems
    ]
    reasons += reasons_of_text("/reference", reference, LONGEST_REFERENCE)
    reasons += reasons_of_text("/examiner", examiner, LONGEST_NAME, needed=False)
    tested, wrong = past_day("/tested_on", tested_on, run.at)
    reasons += wrong
    until = None
    if valid_until:
        until, wrong = day_of("/valid_until", valid_until)
        reasons += wrong
        if tested and until and until <= tested:
            reasons.append(Reason("qualification_dates", field="/valid_until"))
    if document and not files.is_kept(document):
        reasons.append(Reason("document_not_filed", field="/document"))
    reference = reference.strip()
    standing = Qualification.objects.filter(person=person, reference=reference, kind=kind, end=None)
    if reference and any(row.ranges == tidy and row.tested_on == tested for row in standing):
        facts = {"stamp": stamp, "reference": reference}
        reasons.append(Reason("qualification_exists", facts, "/reference"))
    if reasons or tested is None:
        raise Refused(*reasons)
    row = Qualification.objects.create(
        person=person,
        kind=kind,
        reference=reference,
        ranges=tidy,
        tested_on=tested,
        valid_until=until,
        examiner=examiner.strip(),
        document=document,
        record_position=run.position_in(person),
        at=run.at,
        by_stamp=run.by.stamp,
    )
    run.write(
        person,
        [row],
        qualification=row.pk,
        kind=kind,
        reference=reference,
        ranges=tidy,
        tested_on=tested.isoformat(),
        valid_until=until.isoformat() if until else None,
    )
    return {"qualification": row.pk, "stamp": stamp}


@operation("end_qualification", locks=_of_qualification)
def end_qualification(run: Run, *, qualification: int, why: str) -> Answer:
    """Withdraw a qualification; it stays on file and counts no more."""
    row = Qualification.objects.filter(pk=qualification).select_related("person").first()
    if row is None:
        raise refuse("not_found", what=str(_("qualification")), name=qualification)
    if reasons := reasons_of_text("/why", why, LONGEST_TEXT, code="reason_needed"):
        raise Refused(*reasons)
    ended = QualificationEnd.objects.filter(qualification=row).first()
    if ended is not None:
        raise refuse("qualification_ended", reference=row.reference, why=ended.why)
    person = run.get(Person, row.person.stamp)
    end = QualificationEnd.objects.create(
        qualification=row,
        why=why.strip(),
        record_position=run.position_in(person),
        at=run.at,
        by_stamp=run.by.stamp,
    )
    run.write(person, [end], qualification=row.pk, reference=row.reference, why=end.why)
    return {"qualification": row.pk, "stamp": person.stamp}


@operation("confirm_process_use", locks=_the_person)
def confirm_process_use(run: Run, *, stamp: str, process: str, used_on: str, what: str) -> Answer:
    """Confirm that somebody used a process on a day, for what was welded before this program or elsewhere."""
    person = run.get(Person, stamp)
    reasons = reasons_of_process(process) + reasons_of_text("/what", what, LONGEST_WHAT)
    day, wrong = past_day("/used_on", used_on, run.at)
    reasons += wrong
    if day and ProcessUse.objects.filter(person=person, process=process, used_on=day).exists():
        facts = {"stamp": stamp, "process": PROCESSES.get(process, process), "day": day}
        reasons.append(Reason("use_known", facts, "/used_on"))
    if reasons or day is None:
        raise Refused(*reasons)
    use = ProcessUse.objects.create(
        person=person,
        process=process,
        used_on=day,
        what=what.strip(),
        record_position=run.position_in(person),
        at=run.at,
        by_stamp=run.by.stamp,
    )
    run.write(person, [use], process=process, used_on=day.isoformat(), what=use.what)
    return {"stamp": stamp, "process": process, "used_on": day.isoformat()}


@operation("doubt_welder", locks=_the_person)
def doubt_welder(run: Run, *, stamp: str, why: str, process: str = "") -> Answer:
    """Record a doubt about somebody's welding; it suspends them, in one process or all, until it is answered.

    What they have welded before stays as it is: whether it is looked at again is the QC lead's to say.
    """
    person = run.get(Person, stamp)
    reasons = reasons_of_text("/why", why, LONGEST_TEXT, code="reason_needed")
    if process:
        reasons += reasons_of_process(process)
    if reasons:
        raise Refused(*reasons)
    doubt = WelderDoubt.objects.create(
        person=person, process=process, why=why.strip(), at=run.at, by_stamp=run.by.stamp
    )
    run.write(person, doubt=doubt.pk, process=process, why=doubt.why)
    return {"doubt": doubt.pk, "stamp": stamp}


@operation("answer_welder_doubt", locks=_of_doubt)
def answer_welder_doubt(run: Run, *, doubt: int, answer: str) -> Answer:
    """Answer a doubt: what was found, such as that a test weld was sound. Then they may weld again."""
    row = WelderDoubt.objects.filter(pk=doubt).select_related("person").first()
    if row is None:
        raise refuse("not_found", what=str(_("doubt")), name=doubt)
    if reasons := reasons_of_text("/answer", answer, LONGEST_TEXT):
        raise Refused(*reasons)
    if row.answered_at is not None:
        raise refuse("doubt_answered", answer=row.answer)
    person = run.get(Person, row.person.stamp)
    changes = {"answered_at": run.at, "answered_by": run.by.stamp, "answer": answer.strip()}
    if WelderDoubt.objects.filter(pk=doubt, answered_at=None).update(**changes) != 1:
        raise RuntimeError(f"Doubt {doubt} was answered while its person was held.")
    run.write(person, doubt=row.pk, process=row.process, answer=answer.strip())
    return {"doubt": row.pk, "stamp": person.stamp}


def reasons_of_text(
    field: str, text: str, longest: int, *, needed: bool = True, code: str = "field_missing"
) -> list[Reason]:
    """Why words will not do: none where they are needed, or too many."""
    if needed and not text.strip():
        return [Reason(code, field=field)]
    return [Reason("too_long", {"most": longest}, field)] if len(text.strip()) > longest else []


def reasons_of_process(process: str) -> list[Reason]:
    """Why a process is none of the catalogue."""
    if process in PROCESSES:
        return []
    return [
        Reason("process_unknown", {"process": process[:20], "processes": ", ".join(PROCESSES)}, "/process")
    ]


def day_of(field: str, text: str) -> tuple[datetime.date | None, list[Reason]]:
    """A day of the calendar, or why it is none."""
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError:
        return None, [Reason("day_wrong", {"day": text[:20]}, field)]
    if day.year < FIRST_YEAR:
        return None, [Reason("day_long_ago", {"year": FIRST_YEAR}, field)]
    return day, []


def past_day(field: str, text: str, at: datetime.datetime) -> tuple[datetime.date | None, list[Reason]]:
    """A day that is not after today in the shop's zone, or why it is none."""
    if not text:
        return None, [Reason("field_missing", field=field)]
    day, reasons = day_of(field, text)
    if day and day > timezone.localdate(at):
        return None, [Reason("day_in_future", field=field)]
    return day, reasons
