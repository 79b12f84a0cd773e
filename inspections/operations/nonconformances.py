"""Raising a nonconformance, and deciding about it."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any

from django.db.models import Max
from django.utils.translation import gettext_lazy as _

from housings import gate
from housings import queries as housing_queries
from housings import states as housing_states
from housings.engineering.stations import STATIONS
from housings.models import Housing, Visit
from housings.operations.holds import place_hold
from housings.operations.orders import end_housing
from housings.operations.visits import insert_visits, the_housing
from housings.rules import reasons_of_state
from inspections.models import Disposition, Nonconformance, Reading
from inspections.models.nonconformances import (
    ALWAYS_MAJOR,
    DECISIONS,
    DEFECTS,
    ENTRY_ERROR,
    REPAIR,
    REWORK,
    SCRAP,
    USE_AS_IS,
)
from inspections.models.plans import MAJOR, MINOR
from inspections.queries import Measured
from inspections.rework import visits_for_rework
from shopqc import files
from shopqc.models import Person
from shopqc.operation import Answer, Run, operation
from shopqc.people import ENGINEER, QC_LEAD
from shopqc.refusals import Reason, Refused, refuse, register

register(
    409,
    {
        "decided_already": _("Nonconformance %(number)s was decided already: %(decision)s."),
        "needs_engineer": _(
            "Nonconformance %(number)s is major: only an engineer with a credential on file "
            "may decide %(decision)s."
        ),
        "needs_concession": _(
            "Nonconformance %(number)s is major: %(decision)s needs the customer's concession, "
            "filed as a document."
        ),
        "not_replaced": _("An entry error needs the reading that replaces the wrong one; record it first."),
    },
)
register(
    422,
    {
        "decision_unknown": _("%(decision)s is no disposition. Dispositions are: %(decisions)s."),
        "defect_unknown": _("%(defect)s is not one of: %(defects)s."),
        "rework_stations": _("Say at which stations it is reworked."),
        "concession_not_filed": _("The concession is not filed here; file the document first."),
        "no_reading_to_replace": _("Only a nonconformance that came from a reading can be an entry error."),
    },
)


@operation("raise_nonconformance", locks=the_housing)
def raise_nonconformance(
    run: Run,
    *,
    housing: str,
    what: str,
    defect: str = "other",
    characteristic: str | None = None,
    hold: bool = False,
) -> Answer:
    """Somebody saw something that is not as it was asked for, with or without a reading of it.

    With ``characteristic``, the reading of it that counts now is meant: so an
    undecided one can be brought to a decision.
    """
    row = run.get(Housing, housing)
    reasons = reasons_of_state(row)
    if not what.strip():
        reasons.append(Reason("field_missing", field="/what"))
    if defect not in DEFECTS:
        facts = {"defect": defect, "defects": ", ".join(DEFECTS)}
        reasons.append(Reason("defect_unknown", facts, "/defect"))
    if reasons:
        raise Refused(*reasons)
    measured = Measured(gate.Situation(row))
    subject = next((c for c in measured.characteristics if c.code == characteristic), None)
    if characteristic and subject is None:
        raise refuse("not_found", "/characteristic", what=str(_("characteristic")), name=characteristic)
    found = _open(
        run,
        row,
        characteristic=subject,
        reading=measured.standings[subject.pk].reading if subject else None,
        visit=housing_queries.visit_here(measured.situation.visits),
        defect=defect,
        what=what.strip(),
        major=subject is not None and subject.severity == MAJOR,
    )
    run.write(row, nonconformance=found.number, severity=found.severity)
    if hold:
        place_hold(run, row, f"{found}: {found.what}")
    return {"housing": housing, "nonconformance": found.number, "severity": found.severity}


def open_nonconformance(
    run: Run, housing: Housing, visit: Visit | None, what: str, *, defect: str = "other", major: bool = False
) -> int:
    """Open one for work that was not as its procedure asks (`settings.NONCONFORMANCE_OPENER`); its number.

    Part of an operation that holds the housing.
    """
    return _open(run, housing, visit=visit, defect=defect, what=what, major=major).number


def _open(
    run: Run, housing: Housing, *, visit: Visit | None, defect: str, what: str, major: bool, **more: Any
) -> Nonconformance:
    most = Nonconformance.objects.filter(housing=housing).aggregate(most=Max("number"))["most"] or 0
    found = Nonconformance(
        housing=housing,
        number=most + 1,
        visit=visit,
        defect=defect,
        what=what,
        severity=MAJOR if major or defect in ALWAYS_MAJOR else MINOR,
        raised_at=run.at,
        raised_by=run.by.stamp,
        **more,
    )
    found.save(force_insert=True)
    run.write(housing, [found])
    return found


def reasons_against_decision(
    found: Nonconformance, kind: str, *, roles: frozenset[str], credential: str, concession: str
) -> list[Reason]:
    """Why this person may not decide so. The page asks the same beforehand."""
    reasons = []
    facts = {"number": found.number, "decision": DECISIONS.get(kind, kind)}
    if found.decision:
        return [Reason("decided_already", {"number": found.number, "decision": found.decision.words})]
    accepts = kind in {USE_AS_IS, REPAIR}
    if found.severity == MAJOR and accepts:
        if ENGINEER not in roles or not credential:
            reasons.append(Reason("needs_engineer", facts))
        if not concession:
            reasons.append(Reason("needs_concession", facts, "/concession"))
    elif kind == ENTRY_ERROR and QC_LEAD not in roles:
        reasons.append(Reason("not_allowed", {"operation": "entry_error", "roles": str(_("QC lead"))}))
    return reasons


@operation("dispose", locks=the_housing)
def dispose(
    run: Run,
    *,
    housing: str,
    nonconformance: int,
    decision: str,
    reason: str,
    stations: Sequence[str] = (),
    replaced_by: str | None = None,
    concession: str = "",
) -> Answer:
    """Decide about a nonconformance, once.

    ``stations`` for rework and repair; ``replaced_by`` (id of a reading) for
    an entry error; ``concession``: SHA-256 of the customer's filed document.
    """
    row = run.get(Housing, housing)
    found = (
        Nonconformance.objects.select_related("disposition", "characteristic", "reading")
        .filter(housing=row, number=nonconformance)
        .first()
    )
    if found is None:
        raise refuse("not_found", what=str(_("nonconformance")), name=nonconformance)
    credential = (
        Person.objects.values_list("credential", flat=True).filter(pk=run.by.person).first() or ""
        if run.by.person
        else ""
    )
    reasons = reasons_of_state(row)
    if decision not in DECISIONS:
        facts = {"decision": decision, "decisions": ", ".join(DECISIONS)}
        reasons.append(Reason("decision_unknown", facts, "/decision"))
    reasons += reasons_against_decision(
        found, decision, roles=run.by.roles, credential=credential, concession=concession
    )
    if not reason.strip():
        reasons.append(Reason("reason_needed", field="/reason"))
    if decision in {REWORK, REPAIR}:
        if not stations:
            reasons.append(Reason("rework_stations", field="/stations"))
        reasons += [
            Reason("station_unknown", {"station": station}, f"/stations/{index}")
            for index, station in enumerate(stations)
            if station not in STATIONS
        ]
    if concession and not files.is_kept(concession):
        reasons.append(Reason("concession_not_filed", field="/concession"))
    replacement = _replacement(found, replaced_by) if decision == ENTRY_ERROR else None
    if decision == ENTRY_ERROR and replacement is None:
        code = "not_replaced" if found.reading_id else "no_reading_to_replace"
        reasons.append(Reason(code, field="/replaced_by"))
    if reasons:
        raise Refused(*reasons)
    disposition = Disposition(
        nonconformance=found,
        kind=decision,
        reason=reason.strip(),
        replaced_by=replacement,
        concession=concession,
        credential=credential if ENGINEER in run.by.roles else "",
        record_position=run.position_in(row),
        at=run.at,
        by_stamp=run.by.stamp,
    )
    disposition.save(force_insert=True)
    run.write(row, [disposition], nonconformance=found.number, decision=decision)
    inserted: list[str] = []
    if decision in {REWORK, REPAIR}:
        measured = Measured(gate.Situation(row))
        wanted = visits_for_rework(
            list(stations),
            found.characteristic,
            found.reading,
            measured.characteristics,
            measured.situation.visits,
        )
        inserted = [
            visit.station for visit in insert_visits(run, row, wanted, f"{found}: {disposition.words}")
        ]
    elif decision == SCRAP:
        end_housing(run, row, housing_states.SCRAPPED)
    return {"housing": housing, "nonconformance": found.number, "decision": decision, "inserted": inserted}


def _replacement(found: Nonconformance, replaced_by: str | None) -> Reading | None:
    """The reading that replaces the wrong one, if it really does."""
    if not found.reading_id or not replaced_by:
        return None
    try:
        wanted = uuid.UUID(replaced_by)
    except ValueError:
        return None
    return Reading.objects.filter(pk=wanted, replaces=found.reading_id).first()
