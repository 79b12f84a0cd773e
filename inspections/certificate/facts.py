"""The frozen record of a sign-off: plain data from which the certificate is rendered, and nothing else.

What stands here is what the customer can check years later, so names,
limits and sentences are copied, not referred to.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from decimal import ROUND_UP, Decimal
from typing import Any

from housings import states as housing_states
from housings.engineering.spec_fields import FIELDS
from housings.engineering.stations import STATIONS
from inspections import rules, setup_words, states, wording
from inspections.models import Characteristic, Nonconformance, Reading
from inspections.models.plans import (
    FACE_TO_AXIS,
    HOLE_CENTER,
    HOLE_PATTERN,
    PILOT_TO_AXIS,
    RUNOUT,
)
from inspections.queries import Measured
from inspections.standing import Standing
from inspections.weld_summary import weld_summary
from shopqc.canonical import moment
from shopqc.models import Person, Shop
from shopqc.rules import RULES

FORMAT = 3
"""Format 1 has no parameters of its results, so no pictures; 2 no welds and materials. Both still print."""
# What of the build spec the drawing of the housing needs.
SHAPE = (
    "width", "tube_od", "snout_size", "center_offset", "links", "bracket_offset", "vent_side", "drain"
)  # fmt: skip

EXCEPTION = "The signer has also worked on this housing, measured it or judged its welds."
COMPUTED_FROM_AXIS = frozenset({FACE_TO_AXIS, PILOT_TO_AXIS})
# Supports that take hold of both journals, so that what lies or turns in them does so about A-B.
HOLDS_BY_JOURNALS = frozenset({"centers", "bearings", "bar", "v_blocks"})

LIMITS_OF_THIS_PAPER = (
    "It says what was measured and seen on this housing, by whom and when. It does not say that the housing, "
    "or anything it is fitted to, is safe to use.",
    "What has happened to the housing since the signature (transport, mounting, use, a crash, a repair) "
    "is not covered.",
    "Whether the design suits the vehicle and its use is for the designer and a licensed engineer to say.",
)
DECISION_RULES = {
    "simple": "Decided by simple acceptance: a value within its limits, the limits included, passes; "
    "the uncertainty of the gauge is not taken off.",
    "guarded": "Decided with a guard band: a value passes if it is within its limits by at least the "
    "expanded uncertainty (k = 2) of the gauge.",
    "guarded_95": "Decided with a guard band after ISO 14253-1: a value passes if it is within its limits "
    "by at least 1.645 standard uncertainties of the gauge.",
}
CAUTIONS = (
    "An axle housing that breaks on the road can kill. Have it fitted and looked at by qualified people.",
    "Follow the shop's written procedures, the rules of the place where it is used, and licensed practice.",
    "A bare housing weighs 180 to 280 lb: lift it with a hoist.",
)


def freeze(
    measured: Measured, *, shop: Shop, signer: Person, number: str, code: str, at: datetime.datetime
) -> dict[str, Any]:
    """The facts of a sign-off, as plain data."""
    housing = measured.housing
    in_use = measured.situation.in_use
    results = [_result(standing) for standing in _printed(measured)]
    accepted = any(result["state"] == states.ACCEPTED for result in results)
    took_part = rules.took_part(signer.pk, signer.stamp, measured)
    return {
        "format": FORMAT,
        "number": number,
        "revision": 1,
        "code": code,
        "shop": {"name": shop.name, "address": shop.address, "paper": shop.paper},
        "issued_for": {"customer": housing.order.customer.name, "order": housing.order.reference},
        "housing": {
            "serial": housing.serial,
            "serial_grouped": housing.serial_grouped,
            "order": housing.order.number,
            "route": str(housing.route),
            "plan": str(measured.characteristics[0].plan),
            "spec": _spec_rows(housing.spec.data),
            "shape": {name: housing.spec.data.get(name) for name in SHAPE},
        },
        "signed": {
            "name": signer.name,
            "role": "QC lead",
            "stamp": signer.stamp,
            "at": moment(at),
            "exception": EXCEPTION if took_part else "",
        },
        "verdict": _verdict(accepted),
        "decision_rules": [DECISION_RULES[rule] for rule in sorted({result["rule"] for result in results})],
        "results": _by_part(results),
        # How it was welded, and of what: ``welds`` and ``materials``.
        **weld_summary(measured.situation),
        "dispositions": [_disposition(found) for found in measured.nonconformances if found.decision],
        "not_recorded": [str(rule.when_off) for code, rule in sorted(RULES.items()) if code not in in_use],
        "route": _route(measured),
        "limits_of_this_paper": list(LIMITS_OF_THIS_PAPER),
        "cautions": list(CAUTIONS),
    }


def _printed(measured: Measured) -> list[Standing]:
    return [
        measured.standings[c.pk]
        for c in measured.characteristics
        if measured.standings[c.pk].reading is not None
    ]


def _verdict(accepted: bool) -> dict[str, str]:
    if accepted:
        return {
            "word": "pass with exceptions",
            "sentence": "Everything the plan asks for was measured; what is outside its limits was accepted "
            "as listed under exceptions.",
        }
    return {"word": "pass", "sentence": "Everything the plan asks for was measured and is within its limits."}


def _spec_rows(spec: Mapping[str, Any]) -> list[list[str]]:
    """What was ordered, as label and value, in the order of the form."""
    return [
        [field.label, f"{_shown(spec[name])} {field.unit}".strip()]
        for name, field in FIELDS.items()
        if spec.get(name) is not None
    ]


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _asked(reading: Reading, unit: str) -> str:
    lower, upper = reading.lower, reading.upper
    if lower is None and upper is None:
        return "as the drawing asks"
    if lower is None:
        return f"up to {upper} {unit}".strip()
    if upper is None:
        return f"at least {lower} {unit}".strip()
    if Decimal(lower) == Decimal(upper):
        return f"{lower} {unit}".strip()
    return f"{lower} to {upper} {unit}".strip()


def _found(reading: Reading, characteristic: Characteristic) -> str:
    """What was found, for people, with the digits the gauge gave; ``value`` beside it has them all."""
    return wording.figure(reading, characteristic)


def _result(standing: Standing) -> dict[str, Any]:
    characteristic, reading = standing.characteristic, standing.counted
    assert reading is not None
    return {
        "code": characteristic.code,
        "part": characteristic.part,
        "kind": characteristic.kind,
        "parameters": characteristic.parameters,
        "name": characteristic.name,
        "asked": _asked(reading, characteristic.unit),
        "found": _found(reading, characteristic),
        "value": reading.value,
        "detail": reading.detail,
        "lower": reading.lower,
        "upper": reading.upper,
        "unit": characteristic.unit,
        "state": standing.state,
        "verdict": reading.verdict,
        "verdict_word": str(states.STANDING_WORDS[standing.state]),
        "rule": reading.rule,
        "gauge": reading.gauge.code if reading.gauge else "",
        "gauge_due": reading.gauge_due.isoformat() if reading.gauge_due else "",
        "temperature": f"{reading.temperature} °{reading.temperature_unit}" if reading.temperature else "",
        "uncertainty": reading.uncertainty,
        "uncertainty_shown": rounded_up(reading.uncertainty),
        "setup": setup_words.in_words(reading.setup),
        "simulated": bool(reading.setup.get("simulated")),
        "paper": reading.paper,
        "measured_by": reading.measured_by,
        "stamp": reading.by_stamp,
        "measured_at": moment(reading.done_at),
        "station": STATIONS[reading.station].name,
        "from_axis": from_axis(characteristic, reading.setup),
        "is_datum": characteristic.is_datum,
        "raw": reading.raw,
        "engine": reading.engine,
        "note": characteristic.note,
    }


def from_axis(characteristic: Characteristic, setup: Mapping[str, Any]) -> str | bool | None:
    """The datum it was measured from; ``False`` where one was needed and not used, else ``None``.

    It was if it is computed from the points of both journals, or if the housing lay or turned in what holds
    it by them. A face needs no datum to be flat.
    """
    if not characteristic.measured_from:
        located = characteristic.kind in {RUNOUT, HOLE_CENTER, HOLE_PATTERN} or characteristic.unit == "°"
        return False if located and not characteristic.is_datum else None
    if characteristic.kind in COMPUTED_FROM_AXIS:
        return characteristic.measured_from
    held = setup.get("support") in HOLDS_BY_JOURNALS and setup.get("section") != "in_v_block"
    return characteristic.measured_from if held else False


def rounded_up(uncertainty: str) -> str:
    """An uncertainty with two digits, rounded up so that it never promises too much; "" where none is known.

    >>> rounded_up("0.000123001"), rounded_up("0.5"), rounded_up("0")
    ('0.00013', '0.5', '')
    """
    value = Decimal(uncertainty or "0")
    if value <= 0:
        return ""
    step = Decimal(1).scaleb(value.adjusted() - 1)
    return format(max(value.quantize(step, ROUND_UP), step).normalize(), "f")


def _by_part(results: list[dict[str, Any]]) -> list[dict[str, Any]]:
    order = ("face", "holes", "ends", "tubes", "welds", "fittings")
    parts = [*order, *sorted({result["part"] for result in results} - set(order))]
    return [
        {"part": part, "rows": rows}
        for part in parts
        if (rows := [result for result in results if result["part"] == part])
    ]


def _disposition(found: Nonconformance) -> dict[str, Any]:
    decision = found.decision
    assert decision is not None
    return {
        "nonconformance": found.number,
        "what": found.what,
        "severity": found.severity,
        "decision": decision.words,
        "reason": decision.reason,
        "concession": decision.concession,
        "credential": decision.credential,
        "by": decision.by_stamp,
        "at": moment(decision.at),
    }


def _route(measured: Measured) -> list[dict[str, str]]:
    return [
        {"name": visit.at.name, "done_at": moment(visit.left_at), "stamp": visit.left_by}
        for visit in measured.situation.visits
        if visit.state == housing_states.LEFT and visit.left_at
    ]
