"""Why a reading is not taken: its gauge, its set-up, its temperature, its page, its correction."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from housings.models import Housing, Visit
from inspections import gauge_rules
from inspections import setup as setups
from inspections.models import Characteristic, Gauge, Reading
from inspections.rules import GAUGE_NAMED, TEMPERATURE_RECORDED
from inspections.standing import Move
from shopqc import files
from shopqc.models import Shop
from shopqc.operation import Run
from shopqc.refusals import Reason, register

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


@dataclass(frozen=True)
class Bench:
    """What the readings of one call have in common."""

    run: Run
    housing: Housing
    visits: Sequence[Visit]
    characteristics: Mapping[str, Characteristic]
    raised_before: int
    work_is_done_here: bool
    replaced: Mapping[str, Reading]
    moves: Sequence[Move]
    stamps: frozenset[str]
    shop: Shop
    rules: frozenset[str]


def reasons_against(
    bench: Bench,
    characteristic: Characteristic,
    gauge: Gauge | None,
    equipment: Mapping[str, Gauge],
    entry: Mapping[str, Any],
    at: str,
) -> list[Reason]:
    """Every reason against one entry of a call; ``at`` is its pointer."""
    setup = entry.get("setup") or {}
    return [
        *_reasons_against_gauge(bench, characteristic, gauge, entry, at),
        *_reasons_against_setup(bench, setup, equipment, at),
        *_reasons_against_temperature(bench, characteristic, entry.get("temperature"), setup, at),
        *_reasons_against_paper(bench, entry, at),
        *_reasons_against_correction(bench, characteristic, entry, at),
    ]


def done_at(bench: Bench, entry: Mapping[str, Any]) -> datetime.datetime:
    return datetime.datetime.fromisoformat(entry["done_at"]) if entry.get("done_at") else bench.run.at


def _reasons_against_gauge(
    bench: Bench, characteristic: Characteristic, gauge: Gauge | None, entry: Mapping[str, Any], at: str
) -> Iterable[Reason]:
    where = f"{at}/gauge"
    if gauge is None:
        if characteristic.needs_gauge and GAUGE_NAMED in bench.rules:
            yield Reason("gauge_needed", {"name": characteristic.name}, where)
        return
    values, unit = gauge_rules.figures_of(characteristic, entry["raw"])
    on = timezone.localdate(bench.run.at)
    reasons = gauge_rules.reasons_against(gauge, characteristic, on, values, bench.rules, unit=unit)
    reasons += gauge_rules.reasons_of_past(gauge, done_at(bench, entry), bench.run.at, bench.rules)
    for reason in reasons:
        yield replace(reason, field=where)


def _reasons_against_setup(
    bench: Bench, setup: Mapping[str, Any], equipment: Mapping[str, Gauge], at: str
) -> Iterable[Reason]:
    yield from setups.reasons_against(setup, equipment, f"{at}/setup")
    for name, piece in equipment.items():
        on = timezone.localdate(bench.run.at)
        for reason in gauge_rules.reasons_against_equipment(piece, name, on, bench.rules):
            yield replace(reason, field=f"{at}/setup/{name}")


def _reasons_against_temperature(
    bench: Bench,
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


def _reasons_against_paper(bench: Bench, entry: Mapping[str, Any], at: str) -> Iterable[Reason]:
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
    if entry.get("done_at") and done_at(bench, entry) > bench.run.at:
        yield Reason("measured_in_future", field=f"{at}/done_at")


def _reasons_against_correction(
    bench: Bench, characteristic: Characteristic, entry: Mapping[str, Any], at: str
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
