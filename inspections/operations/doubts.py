"""A gauge was found wrong: readings are doubted, housings held, certificates questioned; and answered."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal

from django.utils.translation import gettext_lazy as _

from housings import queries as housing_queries
from housings import states as housing_states
from housings.models import Housing
from housings.operations.holds import place_hold
from inspections import found_wrong, queries, states, wording
from inspections.found_wrong import Change, Examined
from inspections.models import Calibration, Certificate, CertificateEvent, Gauge, GaugeDoubt, ReadingDoubt
from inspections.models.certificates import ANSWERED, QUESTIONED
from inspections.operations.certificates import housing_of
from inspections.standing import corrected
from shopqc.operation import Answer, Run, operation
from shopqc.refusals import refuse, register
from shopqc.rules import the_shop

LARGEST_SCALE = Decimal("0.5")

register(409, {"not_questioned": _("The certificate %(number)s is not under question.")})


def doubt_readings(run: Run, gauge: Gauge, check: Calibration, seen: str | None) -> Answer:
    """Part of `record_calibration`, which holds the gauge and every housing that was measured with it."""
    at = found_wrong.moment_of(check.done_on, check.done_at)
    span = found_wrong.span_of(gauge.calibrations.all(), at)
    held = {serial for model, serial in run.rows if model is Housing}
    # With the gauge's lock nobody records another reading with it; what came before the lock came without it.
    if not held.issuperset(found_wrong.serials_with(gauge, span)):
        raise refuse("changed_meanwhile")
    examined = found_wrong.examine(found_wrong.error_of(check), span, the_shop())
    if seen is not None and seen != examined.digest:
        raise refuse("changed_meanwhile")
    check.save(force_insert=True)
    doubt = GaugeDoubt(
        calibration=check, since=span.since, examined=examined.count, at=run.at, by_stamp=run.by.stamp
    )
    doubt.save(force_insert=True)
    _out_of_use(run, gauge, check, span.until is None)
    run.write(
        gauge,
        [check, doubt],
        found_right=False,
        offset=check.error_offset,
        scale=check.error_scale,
        constants=check.constants,
        examined=examined.count,
        changed=len(examined.changes),
    )
    _doubt(run, doubt, examined)
    placed, questioned = _keep_back(run, gauge, examined)
    return {
        "found_right": False,
        "examined": examined.count,
        "changes": found_wrong.rows_of(examined.changes),
        "held": placed,
        "questioned": questioned,
    }


def _out_of_use(run: Run, gauge: Gauge, check: Calibration, still: bool) -> None:
    """Until a good check. An old check that is entered late changes nothing if a good one followed it."""
    if not still:
        return
    gauge.withdrawn_at = run.at
    gauge.withdrawn_why = f"Found wrong on {check.done_on.isoformat()}. {check.note}".strip()
    gauge.constants = {**gauge.constants, **check.constants}
    gauge.save(update_fields=["withdrawn_at", "withdrawn_why", "constants"])


def _doubt(run: Run, doubt: GaugeDoubt, examined: Examined) -> None:
    of: dict[str, list[ReadingDoubt]] = defaultdict(list)
    for change in examined.changes:
        housing = run.get(Housing, change.reading.housing.serial)
        of[housing.serial].append(
            ReadingDoubt(
                doubt=doubt,
                reading=change.reading,
                value=change.value,
                verdict=change.verdict,
                probability=change.probability,
                record_position=run.position_in(housing),
            )
        )
    ReadingDoubt.objects.bulk_create([row for rows in of.values() for row in rows])
    for serial, rows in of.items():
        run.write(run.get(Housing, serial), rows, gauge=doubt.calibration.gauge.code, doubted=len(rows))


def _keep_back(run: Run, gauge: Gauge, examined: Examined) -> tuple[list[str], list[str]]:
    """Hold what is still here and question what is proven; answers serials and certificate numbers."""
    placed, questioned = [], []
    for found in examined.worse:
        housing = run.get(Housing, found.serial)
        why = why_doubted(
            gauge, [c for c in examined.changes if c.is_worse and c.reading.housing_id == housing.pk]
        )
        if housing_queries.is_still_here(housing):
            place_hold(run, housing, why)
            placed.append(housing.serial)
        if housing.state == housing_states.SIGNED_OFF:
            questioned += question_certificate(run, housing, why)
    return placed, questioned


def why_doubted(gauge: Gauge, changes: list[Change]) -> str:
    """The sentence on the hold and with the certificate."""
    found = ", ".join(f"{change.reading.characteristic.name} {_words(change)}" for change in changes)
    return f"{gauge.code} was found wrong. With its error taken off: {found}. Measure it again."


def _words(change: Change) -> str:
    if not change.value:
        return change.verdict
    counted = corrected(change.reading, change.value, change.verdict)
    value = wording.figure_with_unit(counted, change.reading.characteristic)
    return f"{value}, {states.STANDING_WORDS.get(change.verdict, change.verdict)}"


def question_certificate(run: Run, housing: Housing, why: str) -> list[str]:
    """Put the certificate of a housing under question, unless it is revoked.

    Part of an operation that holds the housing (`settings.CERTIFICATE_QUESTIONER`); answers its number, or
    nothing.
    """
    certificates = Certificate.objects.filter(housing=housing).prefetch_related("events").order_by("-pk")
    for certificate in certificates:
        if queries.status_of(certificate) == states.REVOKED:
            continue
        event = CertificateEvent(
            certificate=certificate, kind=QUESTIONED, why=why, at=run.at, by_stamp=run.by.stamp
        )
        event.save(force_insert=True)
        run.write(housing, [event], certificate=certificate.number, questioned=True)
        return [certificate.number]
    return []


@operation("answer_question", locks=housing_of)
def answer_question(run: Run, *, certificate: str, why: str) -> Answer:
    """A certificate under question is answered for: measured again, or the customer was told."""
    row = Certificate.objects.select_related("housing").prefetch_related("events").get(number=certificate)
    if not why.strip():
        raise refuse("reason_needed", "/why")
    if queries.status_of(row) != states.QUESTIONED:
        raise refuse("not_questioned", number=certificate)
    event = CertificateEvent(
        certificate=row, kind=ANSWERED, why=why.strip(), at=run.at, by_stamp=run.by.stamp
    )
    event.save(force_insert=True)
    run.write(run.get(Housing, row.housing.serial), [event], certificate=certificate, answered=True)
    return {"certificate": certificate, "status": ANSWERED}
