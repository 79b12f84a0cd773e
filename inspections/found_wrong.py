"""A gauge was found wrong: which readings it touched since it was last right, and what they come to."""

from __future__ import annotations

import datetime
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.db.models import Q, QuerySet
from django.utils import timezone

from housings.models import Housing
from inspections import states
from inspections.metrology.equipment import Measures, Role, kind_of
from inspections.models import Calibration, Gauge, Reading
from inspections.models.readings import PASS, UNDECIDED
from inspections.queries import Measured
from inspections.recomputing import AT_ONCE, FoundError, corrected_basis, judged_again, probability_of
from inspections.standing import newest_doubt
from inspections.waiting import situations_of
from shopqc.canonical import canonical, digest
from shopqc.models import Shop

PARTS = (Role.THERMOMETER, Role.MASTER, Role.BAR)


@dataclass(frozen=True)
class Span:
    """From when until when a gauge may have read wrong; ``None`` = since it came on file, or until now."""

    since: datetime.datetime | None
    until: datetime.datetime | None

    def contains(self, at: datetime.datetime) -> bool:
        return (self.since is None or at >= self.since) and (self.until is None or at < self.until)


@dataclass
class Change:
    """A reading whose verdict is another one with the error taken off.

    ``verdict_before`` is the one that counted until now; ``counts``: the reading is the one its
    characteristic stands on today.
    """

    reading: Reading
    verdict_before: str
    value: str
    verdict: str
    probability: str
    counts: bool = False

    @property
    def is_worse(self) -> bool:
        """Whether something that stood does not stand any more."""
        return self.counts and self.verdict != PASS


@dataclass(frozen=True)
class Examined:
    """What taking an error off has shown: ``count`` readings judged again, ``changes`` came out otherwise."""

    span: Span
    count: int
    changes: Sequence[Change]

    @property
    def worse(self) -> list[Housing]:
        """The housings on which something does not stand any more, by primary key."""
        found = {
            change.reading.housing_id: change.reading.housing for change in self.changes if change.is_worse
        }
        return [found[pk] for pk in sorted(found)]

    @property
    def digest(self) -> str:
        """What somebody has looked at: another one means that something came in meanwhile."""
        rows = [[str(c.reading.pk), c.value, c.verdict, c.counts] for c in self.changes]
        return digest(canonical({"count": self.count, "changes": rows}))


def moment_of(done_on: datetime.date, done_at: datetime.datetime | None) -> datetime.datetime:
    """When a check was made; of one whose hour nobody knows, the first moment of its day.

    So what was read on the day of the last good check is looked at as well.
    """
    return done_at or timezone.make_aware(datetime.datetime.combine(done_on, datetime.time()))


def span_of(checks: Iterable[Calibration], at: datetime.datetime, position: int | None = None) -> Span:
    """Between which good checks of one gauge a moment lies.

    Of two checks whose hours nobody knows, the one recorded first was first; ``position`` is that of the
    check at ``at``, ``None`` for one that is being recorded.
    """
    since = until = None
    for check in checks:
        if not check.found_right:
            continue
        when = moment_of(check.done_on, check.done_at)
        if when < at or (when == at and (position is None or check.record_position < position)):
            since = when if since is None else max(since, when)
        else:
            until = when if until is None else min(until, when)
    return Span(since, until)


def readings_with(gauge: Gauge, span: Span) -> QuerySet[Reading]:
    """Every reading that a piece of equipment took part in within a span, in the order of the records."""
    kind = kind_of(gauge.kind)
    took_part = Q(gauge=gauge)
    for role in PARTS:
        if kind.role is role or kind.measures is Measures.ANYTHING:
            took_part |= Q(**{f"setup__{role}": gauge.code})
    found = Reading.objects.filter(took_part)
    if span.since:
        found = found.filter(done_at__gte=span.since)
    if span.until:
        found = found.filter(done_at__lt=span.until)
    return found.order_by("housing", "record_position", "place")


def serials_with(gauge: Gauge, span: Span) -> list[str]:
    """The housings of those readings."""
    serials = readings_with(gauge, span).order_by().values_list("housing__serial", flat=True)
    return sorted(set(serials))


def examine(error: FoundError, span: Span, shop: Shop) -> Examined:
    """Judge every reading of a span again with an error taken off; writes nothing.

    What was found wrong before of whatever else took part stays taken off.
    """
    known = _KnownErrors()
    changes: list[Change] = []
    count = 0
    rows = readings_with(error.gauge, span).select_related("characteristic", "housing", "gauge")
    for reading in rows.prefetch_related("doubts").iterator(chunk_size=AT_ONCE):
        count += 1
        change = _change(reading, {**known.at(reading.done_at), error.gauge.code: error})
        if change:
            changes.append(change)
    _mark_what_counts(changes, shop)
    return Examined(span, count, changes)


def _change(reading: Reading, errors: Mapping[str, FoundError]) -> Change | None:
    doubt = newest_doubt(reading, reading.doubts.all())
    before = (doubt or reading).verdict
    value, verdict, probability = _corrected(reading, corrected_basis(reading, errors))
    return None if verdict == before else Change(reading, before, value, verdict, probability)


# What readings came to with another basis, by reading and basis. A reading is never changed, so this is never
# stale; it spares the judging behind the locks what was judged before them, and the recording what was seen.
_KEPT: dict[tuple[uuid.UUID, str], tuple[str, str, str]] = {}
MOST_KEPT = 20_000


def _corrected(reading: Reading, basis: Mapping[str, Any]) -> tuple[str, str, str]:
    """Value, verdict and probability of a reading with another basis."""
    key = (reading.pk, digest(canonical(basis)))
    if (kept := _KEPT.get(key)) is not None:
        return kept
    try:
        judged = judged_again(reading, basis)
        found = (judged.value, judged.verdict, probability_of(reading, judged))
    except ValueError:
        # With the error taken off it is no geometry any more: nobody knows what it would have been.
        found = ("", UNDECIDED, "")
    if len(_KEPT) >= MOST_KEPT:
        _KEPT.clear()
    _KEPT[key] = found
    return found


def _mark_what_counts(changes: Sequence[Change], shop: Shop) -> None:
    housings = {change.reading.housing_id: change.reading.housing for change in changes}
    situations = situations_of([housings[pk] for pk in sorted(housings)], shop) if housings else []
    counting = {
        standing.reading.pk
        for situation in situations
        for standing in situation.kept(Measured).standings.values()
        if standing.reading and standing.state != states.MOVED_SINCE
    }
    for change in changes:
        change.counts = change.reading.pk in counting


class _KnownErrors:
    """What was found wrong of any equipment before, and of which time each holds; two queries."""

    def __init__(self) -> None:
        wrong = list(Calibration.objects.filter(found_right=False).select_related("gauge"))
        checks: dict[int, list[Calibration]] = {check.gauge_id: [] for check in wrong}
        for check in Calibration.objects.filter(gauge__in=checks, found_right=True):
            checks[check.gauge_id].append(check)
        self.found: list[tuple[Span, FoundError]] = []
        for check in sorted(wrong, key=lambda check: (check.done_on, check.record_position)):
            at = moment_of(check.done_on, check.done_at)
            self.found.append((span_of(checks[check.gauge_id], at, check.record_position), error_of(check)))

    def at(self, moment: datetime.datetime) -> dict[str, FoundError]:
        """What is known to have been wrong at a moment, by code; of several, what was found last."""
        return {error.gauge.code: error for span, error in self.found if span.contains(moment)}


def error_of(check: Calibration) -> FoundError:
    """What a check found wrong."""
    return FoundError(
        check.gauge, Fraction(check.error_offset), Fraction(check.error_scale), dict(check.constants)
    )


def waits_for_check(gauge: Gauge) -> Calibration | None:
    """The check that found a gauge wrong, if no later one found it right."""
    newest = gauge.calibrations.order_by("done_on", "record_position").last()
    return newest if newest is not None and not newest.found_right else None


def rows_of(changes: Sequence[Change]) -> list[dict[str, Any]]:
    """The changes as plain data."""
    return [
        {
            "housing": change.reading.housing.serial,
            "characteristic": change.reading.characteristic.code,
            "reading": str(change.reading.pk),
            "verdict_before": change.verdict_before,
            "value": change.value,
            "verdict": change.verdict,
            "probability": change.probability,
            "counts": change.counts,
        }
        for change in changes
    ]
