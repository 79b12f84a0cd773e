"""Gauges and other equipment on file: added, changed, checked, withdrawn and taken into use again."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from housings.models import Housing
from inspections import found_wrong, gauge_figures
from inspections.metrology.equipment import kind_of, months_later
from inspections.models import Calibration, Gauge
from inspections.operations import doubts
from shopqc import files
from shopqc import rules as shop_rules
from shopqc.operation import Answer, Rows, Run, operation, the_shop
from shopqc.refusals import Reason, Refused, refuse, register

LONGEST_REFERENCE = 80
# Before it a clock was never set or a digit slipped.
FIRST_YEAR = 2000

register(
    422,
    {
        "gauge_exists": _("There is a gauge %(code)s already."),
        "check_dates": _("The next check comes after the check itself."),
        "check_due_needed": _("Say when the next check is due."),
        "check_in_future": _("This lies in the future; say when it was checked."),
        "check_long_ago": _("This lies before the year %(year)s; look at the year again."),
        "check_moment": _("The hour of the check is not on that day."),
        "check_not_filed": _("The document is not filed here; file it first."),
        "error_wrong": _("By how much it reads wrong is a number of at most %(most)s characters."),
        "error_scale_wrong": _("The part of each reading is between -0.5 and 0.5; 0.002 is two thousandths."),
        "error_needed": _(
            "Say by how much it reads wrong. If nobody can tell, withdraw it and say why: then nothing is "
            "computed again."
        ),
        "error_not_found": _("A check that finds an error does not find the gauge right."),
    },
)
register(
    409,
    {
        "withdrawn_already": _("The gauge %(gauge)s is withdrawn already: %(why)s"),
        "not_withdrawn": _("The gauge %(gauge)s is in use; there is nothing to take back."),
        "check_brings_back": _(
            "The gauge %(gauge)s was found wrong on %(day)s. Only a check that finds it right brings it back."
        ),
    },
)


def _the_shop(**_inputs: object) -> list[Rows]:
    return [the_shop()]


def _the_gauge(*, gauge: str, **_inputs: object) -> list[Rows]:
    return [Rows(Gauge, "code", [gauge])]


@operation("add_gauge", locks=_the_shop)
def add_gauge(
    run: Run,
    *,
    code: str,
    name: str = "",
    kind: str = "gauge",
    unit: str | None = None,
    uncertainty: str | None = None,
    calibration_due: str | None = None,
    lowest: str = "",
    highest: str = "",
    constants: Mapping[str, Any] | None = None,
    place: str = "",
) -> Answer:
    """Put a gauge or another piece of equipment on file.

    ``kind`` is a code of `inspections.metrology.equipment`, which gives what is left out: name, unit,
    uncertainty (expanded, k = 2, in ``unit``) and the day of the next check.
    """
    usual = kind_of(kind.strip())
    data: dict[str, Any] = {
        "name": name.strip() or usual.name,
        "kind": kind.strip() or usual.code,
        "unit": usual.unit if unit is None else unit.strip(),
        "uncertainty": usual.uncertainty if uncertainty is None else uncertainty.strip(),
        "lowest": lowest.strip(),
        "highest": highest.strip(),
        "constants": gauge_figures.tidy_constants(constants or {}),
        "place": place.strip(),
    }
    code = code.strip()
    reasons = [
        *gauge_figures.reasons_against_code(code),
        *gauge_figures.reasons_against_description(data),
    ]
    if Gauge.objects.filter(code=code).exists():
        reasons.append(Reason("gauge_exists", {"code": code}, "/code"))
    if reasons:
        raise Refused(*reasons)
    due = datetime.date.fromisoformat(calibration_due) if calibration_due else None
    if due is None and usual.months:
        due = months_later(timezone.localdate(run.at), usual.months)
    gauge = Gauge.objects.create(code=code, calibration_due=due, **data)
    run.write(
        gauge,
        name=gauge.name,
        due=due.isoformat() if due else None,
        uncertainty=gauge.uncertainty,
        description=data,
    )
    run.write(run.shop, gauge=gauge.code)
    return {"gauge": gauge.code}


@operation("change_gauge", locks=_the_gauge)
def change_gauge(
    run: Run, *, gauge: str, changes: Mapping[str, Any], seen_position: int | None = None
) -> Answer:
    """Change how a gauge is described; what was read with it keeps the figures of its time.

    ``changes``: fields of `inspections.gauge_figures.DESCRIPTION`; ``calibration_due`` may be ``None``: not
    checked by date. ``seen_position``: the last place in the gauge's record that was looked at.
    """
    row = run.get(Gauge, gauge)
    if seen_position is not None and seen_position != row.record_position:
        raise refuse("changed_meanwhile")
    unknown = [
        Reason("field_unknown", field=f"/{name[:40]}")
        for name in changes
        if name not in gauge_figures.DESCRIPTION
    ]
    if unknown:
        raise Refused(*unknown)
    before = {name: getattr(row, name) for name in gauge_figures.DESCRIPTION}
    after = before | {
        name: value.strip() if isinstance(value, str) else value for name, value in changes.items()
    }
    after["constants"] = gauge_figures.tidy_constants(after["constants"] or {})
    if reasons := list(gauge_figures.reasons_against_description(after)):
        raise Refused(*reasons)
    if isinstance(after["calibration_due"], str):
        after["calibration_due"] = datetime.date.fromisoformat(after["calibration_due"])
    changed = sorted(name for name in before if after[name] != before[name])
    if changed:
        for name in changed:
            setattr(row, name, after[name])
        row.save(update_fields=changed)
        run.write(
            row,
            before={name: before[name] for name in changed},
            after={name: after[name] for name in changed},
        )
    return {"gauge": gauge, "changed": changed}


@operation("withdraw_gauge", locks=_the_gauge)
def withdraw_gauge(run: Run, *, gauge: str, why: str) -> Answer:
    """Take a gauge out of use: it was dropped, recalled, cannot be trusted. Nothing is computed again."""
    row = run.get(Gauge, gauge)
    if not why.strip():
        raise refuse("reason_needed", "/why")
    if row.withdrawn_at:
        raise refuse("withdrawn_already", gauge=gauge, why=row.withdrawn_why)
    take_out_of_use(run, row, why.strip())
    run.write(row, withdrawn=True, why=why.strip())
    return {"gauge": gauge, "withdrawn": True}


def take_out_of_use(run: Run, gauge: Gauge, why: str) -> None:
    """Part of an operation that holds the gauge's lock."""
    gauge.withdrawn_at, gauge.withdrawn_why = run.at, why
    gauge.save(update_fields=["withdrawn_at", "withdrawn_why"])


@operation("return_gauge", locks=_the_gauge)
def return_gauge(run: Run, *, gauge: str, why: str) -> Answer:
    """Take a withdrawn gauge into use again without a check; one that was found wrong needs a check."""
    row = run.get(Gauge, gauge)
    if not why.strip():
        raise refuse("reason_needed", "/why")
    if row.withdrawn_at is None:
        raise refuse("not_withdrawn", gauge=gauge)
    if wrong := found_wrong.waits_for_check(row):
        raise refuse("check_brings_back", gauge=gauge, day=wrong.done_on.isoformat())
    row.withdrawn_at, row.withdrawn_why = None, ""
    row.save(update_fields=["withdrawn_at", "withdrawn_why"])
    run.write(row, withdrawn=False, why=why.strip())
    return {"gauge": gauge, "withdrawn": False}


def _gauge_and_housings(
    *,
    gauge: str,
    done_on: str,
    found_right: bool = True,
    done_at: str | None = None,
    seen: str | None = None,
    **inputs: Any,
) -> list[Rows]:
    rows = [Rows(Gauge, "code", [gauge])]
    row = None if found_right else Gauge.objects.filter(code=gauge).first()
    if row is None:
        return rows
    try:
        told = {**inputs, "done_on": done_on, "done_at": done_at, "found_right": False}
        check = unsaved_check(row, None, **told)
    except Refused:
        return rows  # the operation says why
    span = found_wrong.span_of(row.calibrations.all(), found_wrong.moment_of(check.done_on, check.done_at))
    # Whatever was measured with it may turn out otherwise. Judged here, so that nobody waits for that behind
    # the locks; looked at again once they are held.
    found_wrong.examine(found_wrong.error_of(check), span, shop_rules.the_shop())
    serials = found_wrong.serials_with(row, span)
    return [*rows, Rows(Housing, "serial", serials)] if serials else rows


def _when(done_on: str, done_at: str | None) -> tuple[datetime.date, datetime.datetime | None]:
    moment = datetime.datetime.fromisoformat(done_at) if done_at else None
    return datetime.date.fromisoformat(done_on), moment


@operation("record_calibration", locks=_gauge_and_housings)
def record_calibration(
    run: Run,
    *,
    gauge: str,
    done_on: str,
    due_on: str | None = None,
    uncertainty: str | None = None,
    reference: str = "",
    found_right: bool = True,
    error_offset: str = "0",
    error_scale: str = "0",
    constants: Mapping[str, Any] | None = None,
    note: str = "",
    document: str = "",
    done_at: str | None = None,
    seen: str | None = None,
) -> Answer:
    """A gauge was checked against something better.

    Found right, it is in date until ``due_on`` and in use again. Found wrong, by ``error_offset`` (in its
    unit) and ``error_scale`` (it shows true × (1 + scale) + offset; of a master or a bar also by its
    ``constants`` as they really are), it is out of use until a check finds it right, and every reading since
    the last good check is judged again: those whose verdict changes are doubted, their housings held, their
    certificates questioned. ``document``: SHA-256 of the filed report. ``seen``: the digest of what was
    looked at before (`inspections.found_wrong.Examined.digest`).
    """
    row = run.get(Gauge, gauge)
    check = unsaved_check(
        row,
        run.at,
        done_on=done_on,
        due_on=due_on,
        uncertainty=uncertainty,
        reference=reference,
        found_right=found_right,
        error_offset=error_offset,
        error_scale=error_scale,
        constants=constants,
        note=note,
        document=document,
        done_at=done_at,
    )
    check.record_position, check.by_stamp = run.position_in(row), run.by.stamp
    if not found_right:
        return {"gauge": gauge, "due": None, **doubts.doubt_readings(run, row, check, seen)}
    check.save(force_insert=True)
    if not row.calibrations.filter(done_on__gt=check.done_on).exists():
        _found_right(row, check)
    due = check.due_on.isoformat() if check.due_on else None
    run.write(row, [check], due=due, uncertainty=check.uncertainty)
    return {"gauge": gauge, "due": due}


def unsaved_check(
    gauge: Gauge,
    at: datetime.datetime | None,
    *,
    done_on: str,
    due_on: str | None = None,
    uncertainty: str | None = None,
    reference: str = "",
    found_right: bool = True,
    error_offset: str = "0",
    error_scale: str = "0",
    constants: Mapping[str, Any] | None = None,
    note: str = "",
    document: str = "",
    done_at: str | None = None,
) -> Calibration:
    """A check as it would be recorded at a moment, or at any; inputs as in `record_calibration`.

    Raises
    ------
    Refused
        With everything that is wrong with it.
    """
    uncertainty = gauge.uncertainty if uncertainty is None else uncertainty.strip()
    figures = gauge_figures.tidy_constants(constants or {})
    done, moment = _when(done_on, done_at)
    due = datetime.date.fromisoformat(due_on) if due_on else None
    reasons = [
        *gauge_figures.reasons_against_uncertainty(uncertainty),
        *gauge_figures.reasons_against_constants(figures),
        *_reasons_against_days(at, done, moment, due),
        *_reasons_against_error(found_right, error_offset, error_scale, figures),
    ]
    if len(reference.strip()) > LONGEST_REFERENCE:
        reasons.append(Reason("too_long", {"most": LONGEST_REFERENCE}, "/reference"))
    if document and not files.is_kept(document):
        reasons.append(Reason("check_not_filed", field="/document"))
    if reasons:
        raise Refused(*reasons)
    months = kind_of(gauge.kind).months
    if due is None and months:
        due = months_later(done, months)
    return Calibration(
        gauge=gauge,
        done_on=done,
        done_at=moment,
        due_on=due if found_right else None,
        found_right=found_right,
        error_offset=error_offset,
        error_scale=error_scale,
        constants=figures,
        note=note.strip(),
        document=document,
        reference=reference.strip(),
        uncertainty=uncertainty,
    )


def _found_right(gauge: Gauge, check: Calibration) -> None:
    gauge.calibration_due, gauge.uncertainty = check.due_on, check.uncertainty
    gauge.withdrawn_at, gauge.withdrawn_why = None, ""
    gauge.constants = {**gauge.constants, **check.constants}
    gauge.save(update_fields=["calibration_due", "uncertainty", "withdrawn_at", "withdrawn_why", "constants"])


def _reasons_against_days(
    at: datetime.datetime | None,
    done: datetime.date,
    moment: datetime.datetime | None,
    due: datetime.date | None,
) -> list[Reason]:
    reasons = []
    if due is not None and due <= done:
        reasons.append(Reason("check_dates", field="/due_on"))
    if done.year < FIRST_YEAR:
        reasons.append(Reason("check_long_ago", {"year": FIRST_YEAR}, "/done_on"))
    if at and done > timezone.localdate(at):
        reasons.append(Reason("check_in_future", field="/done_on"))
    if at and moment and moment > at:
        reasons.append(Reason("check_in_future", field="/done_at"))
    elif moment and timezone.localdate(moment) != done:
        reasons.append(Reason("check_moment", field="/done_at"))
    return reasons


def _reasons_against_error(
    found_right: bool, offset: str, scale: str, constants: Mapping[str, Any]
) -> list[Reason]:
    found = {
        name: gauge_figures.figure(value)
        for name, value in (("error_offset", offset), ("error_scale", scale))
    }
    reasons = [
        Reason("error_wrong", {"most": gauge_figures.LONGEST_NUMBER}, f"/{name}")
        for name, value in found.items()
        if value is None
    ]
    if reasons:
        return reasons
    if found_right:
        return [Reason("error_not_found", field="/error_offset")] if any(found.values()) else []
    if abs(found["error_scale"] or Decimal(0)) > doubts.LARGEST_SCALE:
        reasons.append(Reason("error_scale_wrong", field="/error_scale"))
    if not any(found.values()) and not constants:
        reasons.append(Reason("error_needed", field="/error_offset"))
    return reasons
