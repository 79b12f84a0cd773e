"""Work at a supplier: sent, came back with its certificate of conformity, or was never really sent."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings import queries, rules
from housings.engineering.stations import STATIONS
from housings.models import Away, Housing
from housings.operations.visits import keep_work, the_housing, visit_at
from shopqc import files
from shopqc.operation import Answer, Run, operation
from shopqc.refusals import Reason, Refused, refuse

LONGEST_SUPPLIER, LONGEST_REFERENCE = 120, 60


@operation("send_to_supplier", locks=the_housing)
def send_to_supplier(
    run: Run,
    *,
    housing: str,
    station: str,
    supplier: str,
    reference: str = "",
    expected_on: str | None = None,
) -> Answer:
    """The housing goes to a supplier for the work of the station it is at.

    Until it is recorded as back nothing is done to it or measured here. ``expected_on`` is a day (ISO 8601).
    """
    row = run.get(Housing, housing)
    visits = queries.visits_of(row)
    visit = visit_at(visits, station)
    if reasons := rules.reasons_of_state(row, after_sign_off=visit.at.after_sign_off):
        raise Refused(*reasons)
    reasons = [*rules.reasons_of_holds(queries.holds_on(row)), *rules.reasons_of_away(visits)]
    if not visit.at.supplier_possible:
        reasons.append(Reason("no_supplier_here", {"station": STATIONS[station].name}))
    if not supplier.strip():
        reasons.append(Reason("field_missing", field="/supplier"))
    if reasons:
        raise Refused(*reasons)
    before = queries.stays_away_of(row)
    stay = Away.objects.create(
        housing=row,
        visit=visit,
        number=max((stay.number for stay in before), default=0) + 1,
        supplier=supplier.strip()[:LONGEST_SUPPLIER],
        reference=reference.strip()[:LONGEST_REFERENCE],
        expected_on=datetime.date.fromisoformat(expected_on) if expected_on else None,
        sent_at=run.at,
        sent_by=run.by.stamp,
    )
    run.write(
        row,
        stay=stay.number,
        visit=visit.number,
        station=station,
        supplier=stay.supplier,
        reference=stay.reference,
        expected_on=expected_on,
    )
    return {"housing": housing, "stay": stay.number, "supplier": stay.supplier}


@operation("back_from_supplier", locks=the_housing)
def back_from_supplier(
    run: Run,
    *,
    housing: str,
    condition: str,
    conformity: str = "",
    work_done: bool = True,
    details: Mapping[str, Any] | None = None,
) -> Answer:
    """The housing is back, in the ``condition`` that somebody saw.

    ``conformity`` is the SHA-256 of the supplier's filed certificate; it may follow later
    (`file_conformity`). Unless ``work_done`` is false, the work of the station counts as done by now, so that
    what it moves is measured again; ``details`` describe it.
    """
    row = run.get(Housing, housing)
    stay = _open_stay(row)
    reasons = [] if condition.strip() else [Reason("field_missing", field="/condition")]
    if conformity and not files.is_kept(conformity):
        reasons.append(Reason("document_not_filed", field="/conformity"))
    if details and not work_done:
        why = _("Work that was not done has no details.")
        reasons.append(Reason("detail_wrong", {"why": why}, "/details"))
    if reasons:
        raise Refused(*reasons)
    _end(run, stay, condition=condition.strip(), conformity=conformity)
    visit = next(visit for visit in queries.visits_of(row) if visit.pk == stay.visit_id)
    done = []
    if work_done and rules.has_work(visit):
        note = str(_("at %(supplier)s")) % {"supplier": stay.supplier}
        done = [keep_work(run, row, visit, note=note, details=details or {})]
    run.write(
        row,
        done,
        stay=stay.number,
        station=visit.station,
        supplier=stay.supplier,
        condition=condition.strip(),
        conformity=conformity,
    )
    return {"housing": housing, "stay": stay.number, "work_done": bool(done)}


@operation("file_conformity", locks=the_housing)
def file_conformity(run: Run, *, housing: str, stay: int, conformity: str) -> Answer:
    """The supplier's certificate of conformity for a stay that is over; a later one replaces a wrong one."""
    row = run.get(Housing, housing)
    if reasons := rules.reasons_of_state(row):
        raise Refused(*reasons)
    if not files.is_kept(conformity):
        raise refuse("document_not_filed", "/conformity")
    found = Away.objects.filter(housing=row, number=stay, recalled_why="").exclude(back_at=None).first()
    if found is None:
        raise refuse("not_found", "/stay", what=str(_("stay at a supplier that is over")), name=stay)
    Away.objects.filter(pk=found.pk).update(conformity=conformity)
    run.write(row, stay=stay, supplier=found.supplier, before=found.conformity, conformity=conformity)
    return {"housing": housing, "stay": stay, "conformity": conformity}


@operation("recall_from_supplier", locks=the_housing)
def recall_from_supplier(run: Run, *, housing: str, why: str) -> Answer:
    """It was recorded as sent and never was: it is here again, and no work was done.

    Done by whoever recorded it as sent, or by the QC lead.
    """
    row = run.get(Housing, housing)
    stay = _open_stay(row)
    if reasons := rules.reasons_of_person(run.by, stay.sent_by):
        raise Refused(*reasons)
    if not why.strip():
        raise refuse("reason_needed", "/why")
    _end(run, stay, recalled_why=why.strip())
    run.write(row, stay=stay.number, supplier=stay.supplier, why=why.strip())
    return {"housing": housing, "stay": stay.number}


def _open_stay(housing: Housing) -> Away:
    stay = Away.objects.filter(housing=housing, back_at=None).first()
    if stay is None:
        raise refuse("not_away")
    return stay


def _end(run: Run, stay: Away, **columns: str) -> None:
    ended = Away.objects.filter(pk=stay.pk, back_at=None).update(
        back_at=run.at, back_by=run.by.stamp, **columns
    )
    if ended != 1:
        raise RuntimeError(f"Stay {stay.number} ended while {run.name} held its housing.")
