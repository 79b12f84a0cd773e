"""What is answered about measuring and certificates: plain data, public names, no primary keys."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from housings import gate
from housings.api.shapes import hold_shape, moment_or_none, stay_shape, visit_shape, work_shape
from housings.models import Housing
from housings.queries import next_visits, visit_here
from inspections import states
from inspections.certificate.render import public_address
from inspections.models import Calibration, Certificate, Characteristic, Gauge, Nonconformance, Reading
from inspections.operations.certificates import reasons_not_to_sign
from inspections.queries import Measured, status_of
from inspections.standing import Standing
from shopqc.canonical import moment
from shopqc.people import Actor
from shopqc.refusals import Reason


def reasons_shape(reasons: Iterable[Reason]) -> list[dict[str, str]]:
    """Reasons as code and sentence."""
    return [{"code": reason.code, "sentence": reason.sentence} for reason in reasons]


def reading_shape(reading: Reading) -> dict[str, Any]:
    """A reading with what it was judged by."""
    return {
        "id": str(reading.pk),
        "characteristic": reading.characteristic.code,
        "visit": reading.visit.number,
        "station": reading.station,
        "raw": reading.raw,
        "value": reading.value,
        "detail": reading.detail,
        "lower": reading.lower,
        "upper": reading.upper,
        "verdict": reading.verdict,
        "rule": reading.rule,
        "engine": reading.engine,
        "gauge": reading.gauge.code if reading.gauge else None,
        "gauge_due": reading.gauge_due.isoformat() if reading.gauge_due else None,
        "uncertainty": reading.uncertainty,
        "temperature": {"value": reading.temperature, "unit": reading.temperature_unit}
        if reading.temperature
        else None,
        "setup": reading.setup,
        "basis": reading.basis,
        "paper": reading.paper or None,
        "measured_by": reading.measured_by or None,
        "seen_position": reading.seen_position,
        "record_position": reading.record_position,
        "done_at": moment(reading.done_at),
        "received_at": moment(reading.received_at),
        "replaces": str(reading.replaces_id) if reading.replaces_id else None,
        "reason": reading.reason,
        "by": reading.by_stamp,
    }


def characteristic_shape(standing: Standing) -> dict[str, Any]:
    """A characteristic: where it is due, within which limits, and how it stands now."""
    asked = standing.characteristic
    return {
        "code": asked.code,
        "name": asked.name,
        "kind": asked.kind,
        "part": asked.part,
        "unit": asked.unit,
        "severity": asked.severity,
        "is_datum": asked.is_datum,
        "measured_from": asked.measured_from,
        "parameters": asked.parameters,
        "due": asked.due,
        "movable_by": asked.movable_by,
        "hidden_by": asked.hidden_by or None,
        "note": asked.note,
        **_stands(standing),
    }


def due_shape(standing: Standing, station: str) -> dict[str, Any]:
    """What is due at a station, with the limits there."""
    asked: Characteristic = standing.characteristic
    due = asked.due_at(station)
    return {
        "code": asked.code,
        "name": asked.name,
        "kind": asked.kind,
        "unit": asked.unit,
        "lower": due.lower if due else None,
        "upper": due.upper if due else None,
        "parameters": asked.parameters,
        "needs_gauge": asked.needs_gauge,
        "note": asked.note,
        **_stands(standing),
    }


def _stands(standing: Standing) -> dict[str, Any]:
    last = standing.reading
    return {
        "stands": standing.state,
        "stands_in_words": str(states.STANDING_WORDS[standing.state]),
        "moved_by": standing.moved_by,
        "nonconformance": standing.nonconformance.number if standing.nonconformance else None,
        "last_reading": {
            "id": str(last.pk),
            "value": last.value,
            "verdict": last.verdict,
            "done_at": moment(last.done_at),
            "by": last.by_stamp,
        }
        if last
        else None,
    }


def housing_shape(housing: Housing, actor: Actor) -> dict[str, Any]:
    """One housing, whole: where it is, what it needs there, and what is in the way of its next step."""
    situation = gate.Situation(housing)
    measured = situation.kept(Measured)
    here = visit_here(situation.visits)
    return {
        "serial": housing.serial,
        "serial_grouped": housing.serial_grouped,
        "state": housing.state,
        "order": housing.order.number,
        "customer": housing.order.customer.code,
        "reference": housing.order.reference,
        "line": housing.spec.line,
        "spec": housing.spec.data,
        "route": str(housing.route),
        "released_at": moment(housing.released_at),
        "record_position": housing.record_position,
        "station": here.station if here else None,
        "next": [visit.station for visit in next_visits(situation.visits)],
        "visits": [visit_shape(visit) for visit in situation.visits],
        "work_done": [work_shape(entry) for entry in situation.work_done],
        # With whom the shop works is no customer's business.
        "suppliers": [stay_shape(stay) for stay in situation.stays_away] if actor.customer is None else [],
        "holds": [hold_shape(hold) for hold in situation.holds],
        "due": [due_shape(standing, here.station) for standing in measured.due_at(here.station)]
        if here
        else [],
        "characteristics": [characteristic_shape(measured.standings[c.pk]) for c in measured.characteristics],
        "open_nonconformances": [found.number for found in measured.open_nonconformances],
        "in_the_way": _in_the_way(situation, actor),
    }


def _in_the_way(situation: gate.Situation, actor: Actor) -> dict[str, Any]:
    """What the gate would say now: to starting each station that may be next, to leaving, to the sign-off."""
    here = visit_here(situation.visits)
    starts: Mapping[str, Any] = {
        visit.station: reasons_shape(gate.ask(situation, gate.Start(visit.station)))
        for visit in next_visits(situation.visits)
    }
    if actor.person is not None:
        against_signing = reasons_not_to_sign(situation, actor.stamp, actor.person)
    else:
        against_signing = list(gate.ask(situation, gate.SignOff()))
    return {
        "start": starts,
        "leave": reasons_shape(gate.ask(situation, gate.Leave(here))) if here else None,
        "sign_off": reasons_shape(against_signing),
    }


def gauge_shape(gauge: Gauge) -> dict[str, Any]:
    """A gauge as it stands now."""
    return {
        "code": gauge.code,
        "name": gauge.name,
        "kind": gauge.kind,
        "unit": gauge.unit,
        "uncertainty": gauge.uncertainty,
        "lowest": gauge.lowest or None,
        "highest": gauge.highest or None,
        "constants": gauge.constants,
        "place": gauge.place,
        "calibration_due": gauge.calibration_due.isoformat() if gauge.calibration_due else None,
        "withdrawn": {"at": moment(gauge.withdrawn_at), "why": gauge.withdrawn_why}
        if gauge.withdrawn_at
        else None,
        "record_position": gauge.record_position,
    }


def check_shape(check: Calibration) -> dict[str, Any]:
    """A check of a gauge; ``examined`` readings were judged again if it was found wrong."""
    return {
        "record_position": check.record_position,
        "done_on": check.done_on.isoformat(),
        "done_at": moment_or_none(check.done_at),
        "due_on": check.due_on.isoformat() if check.due_on else None,
        "found_right": check.found_right,
        "error_offset": check.error_offset,
        "error_scale": check.error_scale,
        "constants": check.constants,
        "uncertainty": check.uncertainty,
        "reference": check.reference,
        "note": check.note,
        "document": check.document or None,
        "examined": None if check.found_right else check.doubt.examined,
        "by": check.by_stamp,
    }


def nonconformance_shape(found: Nonconformance) -> dict[str, Any]:
    """A nonconformance with its disposition, if it has one."""
    decision = found.decision
    return {
        "number": found.number,
        "what": found.what,
        "characteristic": found.characteristic.code if found.characteristic else None,
        "reading": str(found.reading_id) if found.reading_id else None,
        "visit": found.visit.number if found.visit else None,
        "defect": found.defect or None,
        "severity": found.severity,
        "raised_at": moment(found.raised_at),
        "raised_by": found.raised_by,
        "is_open": found.is_open,
        "disposition": {
            "decision": decision.kind,
            "reason": decision.reason,
            "replaced_by": str(decision.replaced_by_id) if decision.replaced_by_id else None,
            "concession": decision.concession or None,
            "credential": decision.credential,
            "at": moment(decision.at),
            "by": decision.by_stamp,
        }
        if decision
        else None,
    }


def certificate_shape(certificate: Certificate) -> dict[str, Any]:
    """A certificate: status, events and the address where a stranger can check it."""
    return {
        "number": certificate.number,
        "status": status_of(certificate),
        "status_in_words": str(states.CERTIFICATE_WORDS[status_of(certificate)]),
        "code": certificate.code,
        "public_address": public_address(certificate.code),
        "housing": certificate.housing.serial,
        "order": certificate.housing.order.number,
        "signed_at": moment_or_none(certificate.sign_off.at),
        "signed_by": certificate.sign_off.by_stamp,
        "facts_sha256": certificate.sign_off.facts_digest,
        "events": [
            {
                "kind": event.kind,
                "at": moment(event.at),
                "by": event.by_stamp,
                "why": event.why,
                "file_sha256": event.file or None,
            }
            for event in certificate.events.all()
        ],
    }
