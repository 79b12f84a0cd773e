"""Every reading of a housing: what stands, what was replaced and why, what was measured before the work."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from housings import gate, queries
from housings.engineering.stations import STATIONS
from housings.spine import marks_of
from inspections import states, wording
from inspections.models import Reading
from inspections.pages.showing import page_of, show
from inspections.queries import Measured
from inspections.standing import corrected, last_move, newest_doubt
from shopqc.doors import actor_at, for_roles, may

ROWS_AT_ONCE = 200


@for_roles()
@require_safe
def readings(request: HttpRequest, serial: str) -> HttpResponse:
    """All readings, the newest first."""
    situation = gate.Situation(queries.housing_by_serial(actor_at(request), serial))
    measured = situation.kept(Measured)
    listed = list(reversed(measured.readings))
    page = page_of(request, listed, count=len(listed) or 1 if "all" in request.GET else ROWS_AT_ONCE)
    rows = _Rows(measured)
    context = {
        "housing": situation.housing,
        "stations": marks_of(situation.visits),
        "page": page,
        "rows": [rows.row(reading) for reading in page],
        "may_correct": may(request, "record_readings"),
    }
    return show(request, "readings.html", context)


class _Rows:
    """What the list says of each reading; looked up, not asked of the database again."""

    def __init__(self, measured: Measured) -> None:
        self.characteristics = {c.pk: c for c in measured.characteristics}
        self.readings = {reading.pk: reading for reading in measured.readings}
        self.replaced_by = {r.replaces_id: r for r in measured.readings if r.replaces_id}
        self.raised = {found.reading_id: found for found in measured.nonconformances if found.reading_id}
        situation = measured.situation
        self.moved = {c.pk: last_move(c, situation.moves, situation.visits) for c in measured.characteristics}
        self.doubts = measured.doubts
        self.standing = {s.reading.pk: s for s in measured.standings.values() if s.reading}

    def row(self, reading: Reading) -> dict[str, Any]:
        characteristic = self.characteristics[reading.characteristic_id]
        move = self.moved[characteristic.pk]
        standing = self.standing.get(reading.pk)
        return {
            "reading": reading,
            "characteristic": characteristic,
            "station": STATIONS[reading.station].name,
            "figure": wording.figure_with_unit(reading, characteristic),
            "limit": wording.limit_words(reading.lower, reading.upper, characteristic.unit),
            "stands": standing is not None and standing.state != states.MOVED_SINCE,
            "before": STATIONS[move.station].name
            if move and reading.stands_from < move.record_position
            else None,
            "replaced_by": self._figure_of(self.replaced_by.get(reading.pk)),
            "replaces": self._figure_of(self.readings.get(reading.replaces_id))
            if reading.replaces_id
            else "",
            "nonconformance": self.raised.get(reading.pk),
            **self._doubted(reading),
        }

    def _doubted(self, reading: Reading) -> dict[str, str]:
        """What it came to when its gauge was found wrong; nothing if its own verdict holds."""
        doubt = newest_doubt(reading, self.doubts)
        if doubt is None:
            return {}
        counted = corrected(reading, doubt.value, doubt.verdict)
        return {"corrected": self._figure_of(counted) if doubt.value else "", "corrected_to": doubt.verdict}

    def _figure_of(self, reading: Reading | None) -> str:
        if reading is None:
            return ""
        return wording.figure_with_unit(reading, self.characteristics[reading.characteristic_id])
