"""Recording readings: the only way in."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from typing import Any, cast

from django.db import IntegrityError
from django.db.models import Exists, OuterRef, Subquery
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
from inspections.operations.reading_reasons import Bench, done_at, reasons_against
from inspections.standing import last_move
from inspections.verdicts import ENGINE, Asked, Judged, Rule, as_typed, judge_or_refuse
from shopqc.models import Person
from shopqc.operation import Answer, Rows, Run, operation
from shopqc.refusals import Reason, Refused, refuse
from shopqc.rules import in_use, the_shop

MOST_AT_ONCE = 200


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
    if away := housing_rules.reasons_of_away(bench.visits):
        raise Refused(*away)
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


def _bench(run: Run, housing: Housing, readings: Sequence[Mapping[str, Any]]) -> Bench:
    codes = {entry["characteristic"] for entry in readings}
    ids = {entry["replaces"] for entry in readings if entry.get("replaces")}
    # Work is looked at only if something was recorded since the oldest device last looked.
    stale = any(entry["seen_position"] != housing.record_position for entry in readings)
    shop = the_shop()
    stamps = {entry["measured_by"] for entry in readings if entry.get("measured_by")}
    visits = housing_queries.visits_of(housing)
    # The last number and the work of the present visit are read along with the characteristics, so that a
    # failing reading costs no more queries than a recorded reading may.
    last = Nonconformance.objects.filter(housing=OuterRef("housing")).order_by("-number").values("number")[:1]
    work_here = WorkDone.objects.filter(visit=housing_queries.visit_here(visits))
    known = list(
        Characteristic.objects.filter(housing=housing, code__in=codes).annotate(
            last_number=Subquery(last), work_is_done_here=Exists(work_here)
        )
    )
    return Bench(
        run=run,
        housing=housing,
        visits=visits,
        characteristics={found.code: found for found in known},
        work_is_done_here=any(found.work_is_done_here for found in known),
        raised_before=max((found.last_number or 0 for found in known), default=0),
        replaced={
            str(found.pk): found
            for found in (Reading.objects.filter(housing=housing, pk__in=ids) if ids else ())
        },
        moves=housing_queries.moves_of(housing) if stale else (),
        stamps=frozenset(
            Person.objects.filter(stamp__in=stamps).values_list("stamp", flat=True) if stamps else ()
        ),
        shop=shop,
        rules=in_use(shop),
    )


def _reading(bench: Bench, entry: Mapping[str, Any], index: int) -> Reading:
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
    if reasons := reasons_against(bench, characteristic, gauge, equipment, entry, at):
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
        uncertainty=judged.uncertainty,
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
        done_at=done_at(bench, entry),
        received_at=bench.run.at,
        replaces_id=uuid.UUID(entry["replaces"]) if entry.get("replaces") else None,
        reason=str(entry.get("reason", "")).strip(),
        by_stamp=bench.run.by.stamp,
        by_person=bench.run.by.person,
    )


def _where(
    bench: Bench, characteristic: Characteristic, entry: Mapping[str, Any], at: str
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
    bench: Bench, characteristic: Characteristic, visit: Visit, entry: Mapping[str, Any], at: str
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
    move = last_move(characteristic, bench.moves, bench.visits)
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


def _judge(
    bench: Bench,
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


def _raise_for_fails(bench: Bench, made: Sequence[Reading]) -> list[Nonconformance]:
    """A failing reading opens a nonconformance with it, unless the work of its visit is still to move it."""
    run, failing = bench.run, [reading for reading in made if reading.verdict == FAIL]
    if not bench.work_is_done_here:
        failing = [reading for reading in failing if not _is_moved_here(reading)]
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


def _is_moved_here(reading: Reading) -> bool:
    """Whether the reading is of the present visit, whose work moves what it measured."""
    visit = reading.visit
    is_here = visit.state == housing_states.HERE and housing_rules.has_work(visit)
    return is_here and reading.station in reading.characteristic.movable_by
