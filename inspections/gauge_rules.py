"""What is against using a gauge for a reading: its age, its kind, its range.

Each rule can be "not in use yet"; then the same sentence is only a warning on the page.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections import found_wrong
from inspections.metrology.equipment import KINDS, UNITS, Measures, kind_of
from inspections.metrology.numbers import exact
from inspections.models import Characteristic, Gauge
from inspections.models.plans import (
    ANSWERED,
    DIAMETERS,
    END_ALIGNMENT,
    PRESSURE_LOSS,
    RUNOUT,
    SHAFT_CLEARANCE,
    SIZE,
)
from inspections.rules import GAUGE_IN_DATE, GAUGE_SUITS
from inspections.verdicts import INCH_IN_MM
from shopqc.refusals import Reason, register

Value = Fraction | Decimal
# What comes in later than this after it was measured, comes from paper or from a device without a line.
LATE = datetime.timedelta(minutes=10)
EVERY_RULE = frozenset({GAUGE_IN_DATE, GAUGE_SUITS})
# Where in a raw reading the figures stand that somebody read off the gauge itself. Coordinates of a machine
# are not among them: the range of its axes is not that of a gauge in the hand.
SHOWN = {
    SIZE: ("value",),
    RUNOUT: ("readings",),
    DIAMETERS: ("values", "differences"),
    END_ALIGNMENT: ("x", "y", "rolled_x", "rolled_y"),
    SHAFT_CLEARANCE: ("bore",),
    PRESSURE_LOSS: ("pressures",),
}

register(
    409,
    {
        "gauge_is_none": gettext_lazy(
            "%(gauge)s is on file as: %(kind)s. Nothing is read from that; name the gauge that was read."
        ),
        "gauge_of_other_kind": gettext_lazy(
            "%(gauge)s (%(kind)s) reads in %(unit)s; it cannot have measured %(name)s. "
            "Name the gauge that was read."
        ),
        "gauge_out_of_range": gettext_lazy(
            "%(gauge)s reads from %(lowest)s to %(highest)s %(unit)s; %(value)s %(unit)s is outside. Check "
            "the figure, or name the gauge that was read."
        ),
        "gauge_was_wrong": gettext_lazy(
            "%(gauge)s was found wrong on %(day)s, and this was measured before it was found right again. "
            "Measure it again."
        ),
        "equipment_other": gettext_lazy("%(gauge)s is on file as: %(kind)s. It is no %(wanted)s."),
    },
)


def reasons_against(
    gauge: Gauge,
    characteristic: Characteristic,
    on: datetime.date,
    values: Sequence[Value],
    rules: frozenset[str],
    *,
    unit: str | None = None,
) -> list[Reason]:
    """Every reason why a reading may not name this gauge; empty if it may.

    Parameters
    ----------
    gauge, characteristic
    on : date
        The shop's day of the measuring.
    values : sequence of Fraction or Decimal
        What the gauge showed (`figures_of`); may be empty.
    rules : frozenset of str
        Codes of the rules in use: what is not in use refuses nothing.
    unit : str, optional
        Of ``values``; that of the characteristic if it is left out.
    """
    found = reasons_of_age(gauge, on) if GAUGE_IN_DATE in rules else []
    if GAUGE_SUITS in rules:
        found += _reasons_of_kind(gauge, characteristic) or _reasons_of_range(
            gauge, values, unit or characteristic.unit
        )
    return found


def reasons_against_equipment(
    piece: Gauge, wanted: str, on: datetime.date, rules: frozenset[str]
) -> list[Reason]:
    """Why a piece cannot take part in a set-up as ``wanted``: bar, master or thermometer."""
    found = reasons_of_age(piece, on) if GAUGE_IN_DATE in rules else []
    kind = kind_of(piece.kind)
    if GAUGE_SUITS in rules and kind.measures is not Measures.ANYTHING and kind.role != wanted:
        facts = {"gauge": piece.code, "kind": _(kind.name), "wanted": _(KINDS[wanted].name)}
        found.append(Reason("equipment_other", facts))
    return found


def reasons_of_age(gauge: Gauge, on: datetime.date) -> list[Reason]:
    """Withdrawn, or overdue for its check."""
    found = []
    if gauge.withdrawn_at:
        found.append(Reason("gauge_withdrawn", {"gauge": gauge.code, "why": gauge.withdrawn_why}))
    if gauge.calibration_due and gauge.calibration_due < on:
        facts = {"gauge": gauge.code, "due": gauge.calibration_due.isoformat()}
        found.append(Reason("gauge_overdue", facts))
    return found


def reasons_of_past(
    gauge: Gauge, done_at: datetime.datetime, now: datetime.datetime, rules: frozenset[str]
) -> list[Reason]:
    """Why a reading that comes in late cannot name a gauge: it was found wrong for that time.

    One query for each gauge, and none for what is sent as it is read.
    """
    if GAUGE_IN_DATE not in rules or gauge.withdrawn_at or now - done_at < LATE:
        return []
    kept = vars(gauge)  # the same row serves every reading of one call
    checks = kept["all_checks"] if "all_checks" in kept else list(gauge.calibrations.all())
    kept["all_checks"] = checks
    for check in checks:
        if not check.found_right:
            at = found_wrong.moment_of(check.done_on, check.done_at)
            if found_wrong.span_of(checks, at, check.record_position).contains(done_at):
                return [Reason("gauge_was_wrong", {"gauge": gauge.code, "day": check.done_on.isoformat()})]
    return []


def warnings_of(
    gauge: Gauge,
    characteristic: Characteristic,
    on: datetime.date,
    values: Sequence[Value],
    rules: frozenset[str],
    *,
    unit: str | None = None,
) -> list[str]:
    """What the rules that are not in use would refuse, as sentences for the page."""
    refused = reasons_against(gauge, characteristic, on, values, rules, unit=unit)
    codes = {reason.code for reason in refused}
    every = reasons_against(gauge, characteristic, on, values, EVERY_RULE, unit=unit)
    return [reason.sentence for reason in every if reason.code not in codes]


def figures_of(characteristic: Characteristic, raw: Mapping[str, Any]) -> tuple[list[Fraction], str]:
    """The figures of a raw reading that were read off the gauge, and their unit.

    What is no number is left out.
    """
    found: list[Fraction] = []
    for name in SHOWN.get(characteristic.kind, ()):
        given = raw.get(name, [])
        for value in given if isinstance(given, list | tuple) else [given]:
            try:
                found.append(exact(value, name))
            except ValueError:
                continue  # the verdict refuses it with the better sentence
    return found, str(raw.get("unit") or _unit_of(characteristic))


def _unit_of(characteristic: Characteristic) -> str:
    # Camber and toe are angles, and what is read for them are lengths.
    return "in" if characteristic.kind == END_ALIGNMENT else characteristic.unit


def measures_of(characteristic: Characteristic) -> Measures | None:
    """What is read for a characteristic; None where a look or a plug answers or the unit says nothing."""
    if characteristic.kind in ANSWERED:
        return None
    if characteristic.kind == SIZE:
        return UNITS.get(characteristic.unit)
    return Measures.PRESSURE if characteristic.kind == PRESSURE_LOSS else Measures.LENGTH


def _reasons_of_kind(gauge: Gauge, characteristic: Characteristic) -> list[Reason]:
    kind, wanted = kind_of(gauge.kind), measures_of(characteristic)
    if wanted is None or kind.measures is Measures.ANYTHING:
        return []
    facts = {"gauge": gauge.code, "kind": _(kind.name), "unit": gauge.unit, "name": characteristic.name}
    if not kind.is_read:
        return [Reason("gauge_is_none", facts)]
    return [] if UNITS.get(gauge.unit, kind.measures) is wanted else [Reason("gauge_of_other_kind", facts)]


def _reasons_of_range(gauge: Gauge, values: Sequence[Value], unit: str) -> list[Reason]:
    lowest, highest = (Fraction(bound) if bound else None for bound in (gauge.lowest, gauge.highest))
    if lowest is None and highest is None:
        return []
    for value in values:
        shown = in_gauge_unit(Fraction(value), unit, gauge.unit)
        if shown is None:
            return []
        if (lowest is not None and shown < lowest) or (highest is not None and shown > highest):
            facts = {
                "gauge": gauge.code,
                "lowest": gauge.lowest or "…",
                "highest": gauge.highest or "…",
                "unit": gauge.unit,
                "value": format(float(shown), ".6g"),
            }
            return [Reason("gauge_out_of_range", facts)]
    return []


def in_gauge_unit(value: Fraction, unit: str, gauge_unit: str) -> Fraction | None:
    """A length as the gauge shows it; None where the two units are not of one kind."""
    match unit, gauge_unit:
        case ("in", "mm"):
            return value * INCH_IN_MM
        case ("mm", "in"):
            return value / INCH_IN_MM
    return value if unit == gauge_unit else None
