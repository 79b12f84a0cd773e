"""Recording readings: the only way in."""

from __future__ import annotations

import datetime
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from django.db import IntegrityError
from django.db.models import OuterRef, Subquery
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from housings import queries as housing_queries
from housings import rules as housing_rules
from housings import states as housing_states
from housings.engineering.stations import STATIONS
from housings.models import Housing, Visit, WorkDone
from inspections import setup as setups
from inspections import wording
from inspections.basis import basis_of
from inspections.models import Characteristic, Gauge, Nonconformance, Reading
from inspections.models.plans import Due
from inspections.models.readings import FAIL
from inspections.rules import GAUGE_IN_DATE, GAUGE_NAMED, TEMPERATURE_RECORDED
from inspections.standing import last_move
from inspections.verdicts import ENGINE, Asked, Judged, Rule, as_typed, judge_or_refuse
from shopqc import files
from shopqc.models import Person, Shop
from shopqc.operation import Answer, Rows, Run, operation
from shopqc.refusals import Reason, Refused, refuse, register
from shopqc.rules import in_use, the_shop

MOST_AT_ONCE = 200

register(
    409,
    {
        "nowhere": _("The housing has not arrived at any station, so nothing can be measured there."),
        "moved_meanwhile": _(
            "%(station)s was done after your device last looked, and it moves %(name)s. "
            "Say whether you measured before it or after it."
        ),
        "replaced_already": _("This reading was replaced already; load the page again."),
        "gauge_overdue": _(
            "The check of the gauge %(gauge)s was due on %(due)s. Use another one, or have it checked."
        ),
        "gauge_withdrawn": _("The gauge %(gauge)s was withdrawn: %(why)s"),
    },
)
register(
    422,
    {
        "not_due_here": _("%(name)s is not due at %(station)s."),
        "gauge_needed": _("Say with which gauge %(name)s was measured."),
        "temperature_needed": _("Say how warm the part was when %(name)s was measured."),
        "stamp_unknown": _("Nobody has the stamp %(stamp)s."),
        "paper_not_filed": _("The photograph of the page is not filed here; file it first."),
        "paper_lacks": _("What is copied from paper says who measured, and when."),
        "measured_in_future": _("This lies in the future; say when it was measured."),
        "reading_known": _("There is a reading with this id already."),
        "readings_number": _("Send 1 to %(most)s readings at once."),
        "replaces_other": _("A reading can only replace one of the same characteristic of this housing."),
        "reason_for_correction": _("Say why the reading before is replaced."),
        "position_ahead": _(
            "The record of this housing ends at %(position)s; it cannot have been seen up to %(seen)s."
        ),
    },
)


def _housing_and_gauges(*, housing: str, readings: Sequence[Mapping[str, Any]], **_inputs: Any) -> list[Rows]:
    # The gauges and what else of the equipment took part, each with the place that names it first.
    named: dict[str, str] = {}
    for index, entry in enumerate(readings):
        if entry.get("gauge"):
            named.setdefault(entry["gauge"], f"/readings/{index}/gauge")
        for name, code in setups.codes_of(entry.get("setup")):
            named.setdefault(code, f"/readings/{index}/setup/{name}")
    return [
        Rows(Housing, "serial", [housing]),
        *(Rows(Gauge, "code", [code], named[code]) for code in sorted(named)),
    ]


@dataclass(frozen=True)
class _Bench:
    """What the readings of one call have in common."""

    run: Run
    housing: Housing
    visits: Sequence[Visit]
    characteristics: Mapping[str, Characteristic]
    raised_before: int
    replaced: Mapping[str, Reading]
    work_done: Sequence[WorkDone]
    stamps: frozenset[str]
    shop: Shop
    rules: frozenset[str]


@operation("record_readings", locks=_housing_and_gauges)
def record_readings(run: Run, *, housing: str, readings: Sequence[Mapping[str, Any]]) -> Answer:
    """Record readings of one housing, all or none.

    Each reading is a dict:

    - ``characteristic``: code; ``raw``: as the gauge said it (`inspections.verdicts`);
    - ``seen_position``: the last place in the housing's record that the device had loaded;
    - optional ``id`` (UUID made by the client), ``visit`` (number; else where the housing is),
      ``gauge`` (code), ``temperature`` of the part (``{"value", "unit": "F" or "C"}``), ``setup``
      (`inspections.setup`), ``done_at``, ``paper`` (digest of the filed photograph of the page it was copied
      from) with ``measured_by`` (stamp of who measured),
      ``measured`` (``"before"`` or ``"after"``: the answer when something moved the feature meanwhile),
      ``replaces`` (id of a reading) with ``reason``.

    A failing reading opens a nonconformance in the same write.
    """
    row = run.get(Housing, housing)
    if not 1 <= len(readings) <= MOST_AT_ONCE:
        raise refuse("readings_number", "/readings", most=MOST_AT_ONCE)
    if reasons := housing_rules.reasons_of_state(row, after_sign_off=False):
        raise Refused(*reasons)
    bench = _bench(run, row, readings)
    reasons_found: list[Reason] = []
    made: list[Reading] = []
    for index, entry in enumerate(readings):
        try:
            made.append(_reading(bench, entry, index))
        except Refused as refused:
            reasons_found += refused.reasons
    if reasons_found:
        raise Refused(*reasons_found)
    try:
        Reading.objects.bulk_create(made)
    except IntegrityError as error:
        # Client-made ids are the only way two readings can collide under the housing's lock.
        raise refuse("reading_known", "/readings") from error
    raised = _raise_for_fails(bench, made)
    run.write(row, [*made, *raised], readings=len(made), nonconformances=[n.number for n in raised])
    numbers = {found.reading_id: found.number for found in raised}
    return {
        "housing": housing,
        "readings": [
            {
                "id": str(reading.pk),
                "characteristic": entry["characteristic"],
                "value": reading.value,
                "verdict": reading.verdict,
                "nonconformance": numbers.get(reading.pk),
            }
            for reading, entry in zip(made, readings, strict=True)
        ],
    }


def _bench(run: Run, housing: Housing, readings: Sequence[Mapping[str, Any]]) -> _Bench:
    codes = {entry["characteristic"] for entry in readings}
    ids = {entry["replaces"] for entry in readings if entry.get("replaces")}
    # Work is looked at only if something was recorded since the oldest device last looked.
    stale = any(entry["seen_position"] != housing.record_position for entry in readings)
    shop = the_shop()
    stamps = {entry["measured_by"] for entry in readings if entry.get("measured_by")}
    # The last number is read along with the characteristics, so that a failing reading costs no more queries
    # than a recorded reading may.
    last = Nonconformance.objects.filter(housing=OuterRef("housing")).order_by("-number").values("number")[:1]
    known = list(
        Characteristic.objects.filter(housing=housing, code__in=codes).annotate(last_number=Subquery(last))
    )
    return _Bench(
        run=run,
        housing=housing,
        visits=housing_queries.visits_of(housing),
        characteristics={found.code: found for found in known},
        raised_before=max((found.last_number or 0 for found in known), default=0),
        replaced={
            str(found.pk): found
            for found in (Reading.objects.filter(housing=housing, pk__in=ids) if ids else ())
        },
        work_done=housing_queries.work_done_of(housing) if stale else (),
        stamps=frozenset(
            Person.objects.filter(stamp__in=stamps).values_list("stamp", flat=True) if stamps else ()
        ),
        shop=shop,
        rules=in_use(shop),
    )


def _reading(bench: _Bench, entry: Mapping[str, Any], index: int) -> Reading:
    at = f"/readings/{index}"
    characteristic = bench.characteristics.get(entry["characteristic"])
    if characteristic is None:
        raise refuse(
            "not_found", f"{at}/characteristic", what=str(_("characteristic")), name=entry["characteristic"]
        )
    visit, due = _where(bench, characteristic, entry, at)
    gauge = bench.run.get(Gauge, entry["gauge"]) if entry.get("gauge") else None
    setup = entry.get("setup") or {}
    equipment = {name: bench.run.get(Gauge, code) for name, code in setups.codes_of(setup)}
    reasons = [
        *_reasons_against_gauge(bench, characteristic, gauge, at),
        *_reasons_against_setup(bench, setup, equipment, at),
        *_reasons_against_temperature(bench, characteristic, entry.get("temperature"), setup, at),
        *_reasons_against_paper(bench, entry, at),
        *_reasons_against_correction(bench, characteristic, entry, at),
    ]
    if reasons:
        raise Refused(*reasons)
    temperature = entry.get("temperature") or {}
    basis = basis_of(characteristic, gauge, equipment, setup, temperature)
    judged = _judge(bench, characteristic, due, setup, basis, entry["raw"], at)
    return Reading(
        id=uuid.UUID(entry["id"]) if entry.get("id") else uuid.uuid4(),
        housing=bench.housing,
        characteristic=characteristic,
        visit=visit,
        station=visit.station,
        raw=as_typed(entry["raw"]),
        value=judged.value,
        detail=judged.detail,
        lower=due.lower,
        upper=due.upper,
        verdict=judged.verdict,
        rule=bench.shop.decision_rule,
        uncertainty=judged.uncertainty or (gauge.uncertainty if gauge else ""),
        engine=ENGINE,
        gauge=gauge,
        gauge_due=gauge.calibration_due if gauge else None,
        temperature=str(temperature.get("value", "")),
        temperature_unit=temperature.get("unit", ""),
        setup=setups.as_kept(setup),
        basis=basis,
        paper=entry.get("paper") or "",
        measured_by=entry.get("measured_by") or "",
        seen_position=entry["seen_position"],
        record_position=bench.run.position_in(bench.housing),
        stands_from=_stands_from(bench, characteristic, visit, entry, at),
        place=index,
        done_at=_done_at(bench, entry),
        received_at=bench.run.at,
        replaces_id=uuid.UUID(entry["replaces"]) if entry.get("replaces") else None,
        reason=str(entry.get("reason", "")).strip(),
        by_stamp=bench.run.by.stamp,
        by_person=bench.run.by.person,
    )


def _done_at(bench: _Bench, entry: Mapping[str, Any]) -> datetime.datetime:
    return datetime.datetime.fromisoformat(entry["done_at"]) if entry.get("done_at") else bench.run.at


def _where(
    bench: _Bench, characteristic: Characteristic, entry: Mapping[str, Any], at: str
) -> tuple[Visit, Due]:
    """The visit that a reading belongs to, and the limits there."""
    if entry.get("visit") is not None:
        visit = next((v for v in bench.visits if v.number == entry["visit"]), None)
        if visit is None or visit.state in {housing_states.AHEAD, housing_states.DROPPED}:
            raise refuse("not_found", f"{at}/visit", what=str(_("visit that was made")), name=entry["visit"])
    else:
        visit = housing_queries.visit_here(bench.visits)
        if visit is None:
            raise refuse("nowhere", at)
    due = characteristic.due_at(visit.station)
    if due is None:
        raise refuse(
            "not_due_here",
            f"{at}/characteristic",
            name=characteristic.name,
            station=STATIONS[visit.station].name,
        )
    return visit, due


def _stands_from(
    bench: _Bench, characteristic: Characteristic, visit: Visit, entry: Mapping[str, Any], at: str
) -> int:
    """From which place in the record the reading counts; asks if the feature moved meanwhile."""
    seen, now = entry["seen_position"], bench.housing.record_position
    if seen > now:
        raise refuse("position_ahead", f"{at}/seen_position", position=now, seen=seen)
    if entry.get("replaces"):
        # A correction says what was typed wrongly. It was measured when the other was, not now.
        return bench.replaced[entry["replaces"]].stands_from
    # For a visit that is over it was measured before the housing went on, and counts for no more than what
    # its device had seen by then.
    over = visit.left_position
    move = last_move(characteristic, bench.work_done, bench.visits)
    if entry.get("measured") == "after":
        return bench.run.position_in(bench.housing) if over is None else over
    if move is None or move.record_position <= seen:
        return bench.run.position_in(bench.housing) if over is None else min(int(seen), over)
    if entry.get("measured") == "before":
        return int(seen) if over is None else min(int(seen), over)
    raise refuse(
        "moved_meanwhile",
        f"{at}/measured",
        station=STATIONS[move.station].name,
        name=characteristic.name,
    )


def _reasons_against_gauge(
    bench: _Bench, characteristic: Characteristic, gauge: Gauge | None, at: str
) -> Iterable[Reason]:
    where = f"{at}/gauge"
    if gauge is None:
        if characteristic.needs_gauge and GAUGE_NAMED in bench.rules:
            yield Reason("gauge_needed", {"name": characteristic.name}, where)
        return
    yield from _reasons_against_age(bench, gauge, where)


def _reasons_against_age(bench: _Bench, gauge: Gauge, where: str) -> Iterable[Reason]:
    if GAUGE_IN_DATE not in bench.rules:
        return
    if gauge.withdrawn_at:
        yield Reason("gauge_withdrawn", {"gauge": gauge.code, "why": gauge.withdrawn_why}, where)
    if gauge.calibration_due and gauge.calibration_due < timezone.localdate(bench.run.at):
        facts = {"gauge": gauge.code, "due": gauge.calibration_due.isoformat()}
        yield Reason("gauge_overdue", facts, where)


def _reasons_against_setup(
    bench: _Bench, setup: Mapping[str, Any], equipment: Mapping[str, Gauge], at: str
) -> Iterable[Reason]:
    yield from setups.reasons_against(setup, equipment, f"{at}/setup")
    for name, piece in equipment.items():
        yield from _reasons_against_age(bench, piece, f"{at}/setup/{name}")


def _reasons_against_temperature(
    bench: _Bench,
    characteristic: Characteristic,
    temperature: Mapping[str, str] | None,
    setup: Mapping[str, Any],
    at: str,
) -> Iterable[Reason]:
    where = f"{at}/temperature"
    if temperature:
        yield from setups.reasons_against_temperature(temperature, where)
    elif not setup.get("settled") and characteristic.needs_gauge and TEMPERATURE_RECORDED in bench.rules:
        yield Reason("temperature_needed", {"name": characteristic.name}, where)


def _reasons_against_paper(bench: _Bench, entry: Mapping[str, Any], at: str) -> Iterable[Reason]:
    """A reading copied from paper says from which page, who measured and when."""
    paper, stamp = entry.get("paper"), entry.get("measured_by")
    if stamp and stamp not in bench.stamps:
        yield Reason("stamp_unknown", {"stamp": stamp}, f"{at}/measured_by")
    if not paper:
        return
    if not files.is_kept(paper):
        yield Reason("paper_not_filed", field=f"{at}/paper")
    for name in ("measured_by", "done_at"):
        if not entry.get(name):
            yield Reason("paper_lacks", field=f"{at}/{name}")
    if entry.get("done_at") and _done_at(bench, entry) > bench.run.at:
        yield Reason("measured_in_future", field=f"{at}/done_at")


def _reasons_against_correction(
    bench: _Bench, characteristic: Characteristic, entry: Mapping[str, Any], at: str
) -> Iterable[Reason]:
    if not entry.get("replaces"):
        return
    before = bench.replaced.get(entry["replaces"])
    if before is None or before.characteristic_id != characteristic.pk:
        yield Reason("replaces_other", field=f"{at}/replaces")
    elif Reading.objects.filter(replaces=before).exists():
        yield Reason("replaced_already", field=f"{at}/replaces")
    if not str(entry.get("reason", "")).strip():
        yield Reason("reason_for_correction", field=f"{at}/reason")


def _judge(
    bench: _Bench,
    characteristic: Characteristic,
    due: Due,
    setup: Mapping[str, Any],
    basis: Mapping[str, Any],
    raw: Mapping[str, Any],
    at: str,
) -> Judged:
    asked = Asked(
        kind=characteristic.kind,
        unit=characteristic.unit,
        lower=due.lower,
        upper=due.upper,
        parameters=characteristic.parameters,
        rule=cast(Rule, bench.shop.decision_rule),  # one of them by the column's choices
        uncertainty=basis["gauge_uncertainty"],
        setup=setup,
        basis=basis,
    )
    return judge_or_refuse(asked, raw, name=characteristic.name, pointer=f"{at}/raw")


def _raise_for_fails(bench: _Bench, made: Sequence[Reading]) -> list[Nonconformance]:
    """A failing reading opens a nonconformance with it."""
    run, failing = bench.run, [reading for reading in made if reading.verdict == FAIL]
    raised = []
    for number, reading in enumerate(failing, start=bench.raised_before + 1):
        characteristic = reading.characteristic
        found = wording.figure_with_unit(reading, characteristic)
        entry = Nonconformance(
            housing=bench.housing,
            number=number,
            characteristic=characteristic,
            reading=reading,
            visit=reading.visit,
            what=f"{characteristic.name}: {found}",
            severity=characteristic.severity,
            raised_at=run.at,
            raised_by=run.by.stamp,
        )
        entry.save(force_insert=True)
        raised.append(entry)
    return raised
