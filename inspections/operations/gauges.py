"""Gauges on file, and their checks."""

from __future__ import annotations

import datetime

from django.utils.translation import gettext_lazy as _

from inspections.metrology.numbers import exact
from inspections.models import Calibration, Gauge
from shopqc.operation import Answer, Rows, Run, operation, the_shop
from shopqc.refusals import Reason, Refused, register

register(
    422,
    {
        "gauge_exists": _("There is a gauge %(code)s already."),
        "uncertainty_wrong": _("The uncertainty is a number, zero or more, in the gauge's unit."),
        "check_dates": _("The next check comes after the check itself."),
    },
)


def _reasons_against_uncertainty(uncertainty: str) -> list[Reason]:
    try:
        if exact(uncertainty, "The uncertainty") >= 0:
            return []
    except ValueError:
        return [Reason("uncertainty_wrong", field="/uncertainty")]
    return [Reason("uncertainty_wrong", field="/uncertainty")]


def _the_shop(**_inputs: object) -> list[Rows]:
    return [the_shop()]


@operation("add_gauge", locks=_the_shop)
def add_gauge(
    run: Run,
    *,
    code: str,
    name: str,
    kind: str,
    unit: str = "in",
    uncertainty: str = "0",
    calibration_due: str | None = None,
) -> Answer:
    """Put a gauge on file; ``uncertainty`` is expanded, k = 2, in ``unit``."""
    reasons = [
        Reason("field_missing", field=f"/{field}")
        for field, value in (("code", code), ("name", name))
        if not value.strip()
    ]
    reasons += _reasons_against_uncertainty(uncertainty)
    if Gauge.objects.filter(code=code.strip()).exists():
        reasons.append(Reason("gauge_exists", {"code": code}, "/code"))
    if reasons:
        raise Refused(*reasons)
    gauge = Gauge.objects.create(
        code=code.strip(),
        name=name.strip(),
        kind=kind.strip(),
        unit=unit,
        uncertainty=uncertainty,
        calibration_due=datetime.date.fromisoformat(calibration_due) if calibration_due else None,
    )
    run.write(gauge, name=gauge.name, due=calibration_due, uncertainty=uncertainty)
    run.write(run.shop, gauge=gauge.code)
    return {"gauge": gauge.code}


def _the_gauge(*, gauge: str, **_inputs: object) -> list[Rows]:
    return [Rows(Gauge, "code", [gauge])]


@operation("record_calibration", locks=_the_gauge)
def record_calibration(
    run: Run, *, gauge: str, done_on: str, due_on: str, uncertainty: str, reference: str = ""
) -> Answer:
    """A gauge was checked against something better and found right until ``due_on``."""
    row = run.get(Gauge, gauge)
    reasons = _reasons_against_uncertainty(uncertainty)
    done, due = datetime.date.fromisoformat(done_on), datetime.date.fromisoformat(due_on)
    if due <= done:
        reasons.append(Reason("check_dates", field="/due_on"))
    if reasons:
        raise Refused(*reasons)
    calibration = Calibration(
        gauge=row,
        done_on=done,
        due_on=due,
        reference=reference.strip(),
        uncertainty=uncertainty,
        record_position=run.position_in(row),
        by_stamp=run.by.stamp,
    )
    calibration.save(force_insert=True)
    Gauge.objects.filter(pk=row.pk).update(
        calibration_due=due, uncertainty=uncertainty, withdrawn_at=None, withdrawn_why=""
    )
    run.write(row, [calibration], due=due_on, uncertainty=uncertainty)
    return {"gauge": gauge, "due": due_on}
