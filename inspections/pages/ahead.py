"""What would come out if it were recorded now: judged by the same engine, and nothing is written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

from inspections import wording
from inspections.basis import basis_of
from inspections.measuring import Measuring
from inspections.models import Characteristic, Gauge, Reading
from inspections.pictures import Picture, picture_of
from inspections.setup import codes_of
from inspections.verdicts import Asked, Rule, as_typed, judge
from shopqc.models import Shop


@dataclass(frozen=True)
class Ahead:
    """One figure that is not recorded yet; no ``verdict`` if it cannot be worked out: ``why`` says so."""

    characteristic: Characteristic
    verdict: str
    why: str
    picture: Picture | None = None
    found: str = ""


def look_ahead(
    measuring: Measuring, entries: Iterable[Mapping[str, Any]], gauges: Mapping[str, Gauge], shop: Shop
) -> list[Ahead]:
    """Judge entries as `record_readings` takes them; ``gauges`` is the equipment they may name, by code."""
    by_code = {c.code: c for c in measuring.characteristics}
    found = [_one(measuring, by_code[entry["characteristic"]], entry, gauges, shop) for entry in entries]
    return _each_picture_once(found)


def _one(
    measuring: Measuring,
    characteristic: Characteristic,
    entry: Mapping[str, Any],
    gauges: Mapping[str, Gauge],
    shop: Shop,
) -> Ahead:
    due = measuring.due(characteristic)
    setup = entry.get("setup") or {}
    gauge = gauges.get(entry.get("gauge") or "")
    equipment = {name: gauges[code] for name, code in codes_of(setup) if code in gauges}
    asked = Asked(
        kind=characteristic.kind,
        unit=characteristic.unit,
        lower=due.lower,
        upper=due.upper,
        parameters=characteristic.parameters,
        rule=cast(Rule, shop.decision_rule),  # one of them by the column's choices
        setup=setup,
        basis=basis_of(characteristic, gauge, equipment, setup, entry.get("temperature")),
    )
    try:
        raw = as_typed(entry["raw"])
        judged = judge(asked, raw)
    except ValueError as error:
        return Ahead(characteristic, "", f"{characteristic.name}: {error}")
    reading = Reading(
        characteristic=characteristic,
        raw=raw,
        value=judged.value,
        detail=judged.detail,
        lower=due.lower,
        upper=due.upper,
        verdict=judged.verdict,
        setup=dict(setup),
    )
    picture = picture_of(characteristic, raw, judged.detail, due.lower, due.upper, judged.value)
    why, found = wording.why(reading, characteristic), wording.figure_with_unit(reading, characteristic)
    return Ahead(characteristic, judged.verdict, why, picture, found)


def _each_picture_once(found: list[Ahead]) -> list[Ahead]:
    """One probing gives several figures and may give one drawing; it is shown with the first of them."""
    seen: set[str] = set()
    kept = []
    for one in found:
        svg = one.picture.svg if one.picture else ""
        again = svg in seen
        seen.add(svg)
        kept.append(replace(one, picture=None) if again else one)
    return kept
