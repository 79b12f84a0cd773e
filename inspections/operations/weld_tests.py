"""Testing a weld by dye penetrant or magnetic particles."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from housings import states as housing_states
from housings import welder_rules
from housings.engineering.stations import STATIONS
from housings.operations.visits import the_housing
from inspections.metrology.numbers import exact
from inspections.models import WeldTest
from inspections.operations.weld_joints import AtJoint, at_joint, open_for, reasons_of_welding
from inspections.planning.weld_testing import FIGURES, LEAST_LEVEL, LIGHTS, METHODS, YES_NO, fields_of
from inspections.waiting_clock import Waiting, waiting_of
from inspections.weld_findings import read_findings
from inspections.weld_queries import was_visited
from inspections.weld_rules import TEST_WAITED, TESTING_STATION, moment_words
from shopqc import files
from shopqc.models import Person
from shopqc.operation import Answer, Run, operation
from shopqc.refusals import Reason, Refused, register

LONGEST_HOW, LONGEST_TESTER, LARGEST_FIGURE = 60, 80, 1_000_000
LEVELS = ("1", "2", "3")

register(
    409,
    {
        "test_elsewhere": _("%(joint)s is tested at %(station)s, and the housing is not there."),
        "test_waits": _(
            "%(joint)s waits %(hours)s h from when it is cold, until %(until)s (warm last by %(by)s). "
            "Test it after that."
        ),
        "test_while_repaired": _(
            "Repair %(number)s of %(joint)s is open; it is tested once that is finished."
        ),
        "tester_level_low": _(
            "Level 1 tests and does not judge. Somebody of level %(least)s or 3 judges this."
        ),
        "tester_level_other": _("Stamp %(stamp)s is certified for level %(level)s of this method."),
        "certificate_expired": _("The certificate %(certificate)s of %(tester)s ended on %(day)s."),
    },
)
register(
    422,
    {
        "tester_needed": _("Say who tested it: a stamp, or the name of somebody from outside."),
        "tester_proof_needed": _("Of somebody from outside, say the certificate and until when it is good."),
        "demagnetised_needed": _("Say whether it was demagnetised afterwards: yes or no."),
        "test_detail_wrong": _("%(why)s"),
    },
)


@operation("test_weld", locks=the_housing)
def test_weld(
    run: Run,
    *,
    housing: str,
    joint: str,
    method: str,
    accepted: bool,
    tester: str,
    tester_level: str,
    how: Mapping[str, Any] | None = None,
    findings: Sequence[Mapping[str, Any]] = (),
    level: str = "",
    certificate: str = "",
    certified_until: str | None = None,
    document: str = "",
    note: str = "",
    done_at: str | None = None,
) -> Answer:
    """Somebody certified for the method has tested a weld and accepts or refuses it.

    ``method``: "PT" or "MT" (ISO 9712). ``how``: ``batch``, ``light`` ("white", "uv"), ``equipment``, figures
    as `inspections.planning.weld_testing.FIGURES`, and for MT ``demagnetised`` ("yes", "no"). ``findings`` as
    `look_at_weld` takes them; ``level``: the quality level they are judged by, "" = that of the procedure.
    ``tester``: a stamp of the shop, or a name from outside, then with ``certificate`` and ``certified_until``
    (a day). ``document``: digest of the filed report.

    The test waits for the hours that the procedure names, if the shop has that rule in use; what lay between
    is kept in any case. A refused weld opens a nonconformance in the same write.
    """
    at = at_joint(run, housing, joint, done_at)
    level = level or at.level
    found = read_findings(findings, at.joint, level if level in {"B", "C", "D"} else "")
    kept, reasons = _read_how(method, how or {})
    reasons += found.reasons
    if level not in {"B", "C", "D", ""}:
        reasons.append(Reason("choice_unknown", {"value": level[:20], "choices": "B, C, D"}, "/level"))
    reasons += _reasons_of_place(at) + reasons_of_welding(at)
    waiting = waiting_of(at.record, at.state)
    reasons += _reasons_of_waiting(at, waiting)
    tester = tester.strip()
    reasons += _reasons_of_tester(at, method, tester, tester_level, certificate.strip(), certified_until)
    if document and not files.is_kept(document):
        reasons.append(Reason("document_not_filed", field="/document"))
    note = note.strip()
    if accepted:
        reasons += found.against
    elif not found.kept and not note and not found.reasons:
        reasons.append(Reason("finding_needed", field="/findings"))
    if reasons:
        raise Refused(*reasons)
    shown, until = _proof(at, method, tester, certificate.strip(), certified_until)
    opened = None if accepted else open_for(at, str(_("test %(method)s")) % {"method": method}, found, note)
    test = WeldTest(
        housing=at.housing,
        joint=at.joint,
        visit=at.visit,
        method=method,
        level=level,
        how=kept,
        findings=found.kept,
        accepted=accepted,
        nonconformance=opened,
        cold_at=waiting.cold_at if waiting else None,
        waited_hours=waiting.waited(at.done_at) if waiting else "",
        tester=tester,
        tester_level=tester_level,
        certificate=shown,
        certified_until=until,
        document=document,
        note=note,
        record_position=run.position_in(at.housing),
        done_at=at.done_at,
        received_at=run.at,
        by_stamp=run.by.stamp,
        by_person=run.by.person,
    )
    test.save(force_insert=True)
    number = opened.number if opened else None
    run.write(at.housing, [test], joint=joint, method=method, accepted=accepted, nonconformance=number)
    return {
        "housing": housing,
        "joint": joint,
        "test": str(test.pk),
        "accepted": accepted,
        "findings": found.kept,
        "waited_hours": test.waited_hours,
        "nonconformance": number,
    }


def _reasons_of_place(at: AtJoint) -> list[Reason]:
    """Whether the housing is where its route has welds tested; without such a station it may be anywhere."""
    begun = at.record.open_repair(at.joint)
    facts = {"joint": at.name, "number": begun.number if begun else 0}
    reasons = [Reason("test_while_repaired", facts)] if begun else []
    planned = was_visited(at.situation.visits, TESTING_STATION, housing_states.DROPPED)
    if planned and at.visit.station != TESTING_STATION:
        station = STATIONS[TESTING_STATION].name
        reasons.append(Reason("test_elsewhere", {"joint": at.name, "station": station}))
    return reasons


def _reasons_of_waiting(at: AtJoint, waiting: Waiting | None) -> list[Reason]:
    if TEST_WAITED not in at.situation.in_use or waiting is None or waiting.is_over(at.done_at):
        return []
    facts = {
        "joint": at.name,
        "hours": format(waiting.hours, "f"),
        "until": moment_words(waiting.until),
        "by": waiting.heated_by,
    }
    return [Reason("test_waits", facts, "/done_at")]


def _reasons_of_tester(
    at: AtJoint, method: str, tester: str, level: str, certificate: str, until: str | None
) -> list[Reason]:
    """Whether who tested it may judge what the test shows, on the day of the test."""
    if not tester:
        return [Reason("tester_needed", field="/tester")]
    if len(tester) > LONGEST_TESTER:
        return [Reason("too_long", {"most": LONGEST_TESTER}, "/tester")]
    if level not in LEVELS:
        facts = {"value": level[:20] or "—", "choices": ", ".join(LEVELS)}
        return [Reason("choice_unknown", facts, "/tester_level")]
    on = timezone.localdate(at.done_at)
    if Person.objects.filter(stamp=tester).exists():
        return _reasons_of_own(at, method, tester, level, on)
    reasons = []
    if not certificate or not until:
        reasons.append(Reason("tester_proof_needed", field="/certificate"))
    elif datetime.date.fromisoformat(until) < on:
        facts = {"certificate": certificate, "tester": tester, "day": until}
        reasons.append(Reason("certificate_expired", facts, "/certified_until"))
    return reasons + _reasons_of_level(level)


def _reasons_of_own(at: AtJoint, method: str, stamp: str, level: str, on: datetime.date) -> list[Reason]:
    """Somebody of the shop: by what is on file, once the shop has rules about tests or welders in use."""
    asked = {TEST_WAITED, welder_rules.WELDER_QUALIFIED} & at.situation.in_use
    held = welder_rules.testing_qualification(stamp, method, on)
    if held is None:
        missing = welder_rules.tester_reasons(stamp, method, on) if asked else []
        return [reason.at("/tester") for reason in missing] + _reasons_of_level(level)
    on_file = str(held.ranges["level"])
    if int(level) > int(on_file):
        return [Reason("tester_level_other", {"stamp": stamp, "level": on_file}, "/tester_level")]
    return _reasons_of_level(level)


def _proof(
    at: AtJoint, method: str, tester: str, certificate: str, until: str | None
) -> tuple[str, datetime.date | None]:
    """The certificate that is kept with the test: what was said of it, else the one on file of our own."""
    if certificate or until:
        return certificate, datetime.date.fromisoformat(until) if until else None
    held = welder_rules.testing_qualification(tester, method, timezone.localdate(at.done_at))
    return (held.reference, held.valid_until) if held else ("", None)


def _reasons_of_level(level: str) -> list[Reason]:
    if int(level) >= LEAST_LEVEL:
        return []
    return [Reason("tester_level_low", {"least": LEAST_LEVEL}, "/tester_level")]


def _read_how(method: str, how: Mapping[str, Any]) -> tuple[dict[str, str], list[Reason]]:
    """How it was tested, as typed, and what is wrong with that."""
    if method not in METHODS:
        facts = {"value": method[:20], "choices": ", ".join(METHODS)}
        return {}, [Reason("choice_unknown", facts, "/method")]
    asked = fields_of(method)
    reasons = [Reason("field_unknown", field=f"/how/{name[:40]}") for name in how if name not in asked]
    kept = {name: str(how[name]).strip() for name in asked if str(how.get(name) or "").strip()}
    for name, text in list(kept.items()):
        if len(text) > LONGEST_HOW:
            reasons.append(Reason("too_long", {"most": LONGEST_HOW}, f"/how/{name}"))
        elif name in FIGURES:
            kept[name] = text.replace(",", ".")
            if not _is_figure(kept[name]):
                why = _("This is a number in %(unit)s, above zero.") % {"unit": FIGURES[name]}
                reasons.append(Reason("test_detail_wrong", {"why": why}, f"/how/{name}"))
    for name, choices in (("light", tuple(LIGHTS)), ("demagnetised", YES_NO)):
        if kept.get(name, choices[0]) not in choices:
            facts = {"value": kept[name][:20], "choices": ", ".join(choices)}
            reasons.append(Reason("choice_unknown", facts, f"/how/{name}"))
    if method == "MT" and "demagnetised" not in kept:
        reasons.append(Reason("demagnetised_needed", field="/how/demagnetised"))
    return kept, reasons


def _is_figure(text: str) -> bool:
    try:
        return 0 < exact(text, "figure") <= LARGEST_FIGURE
    except ValueError:
        return False
