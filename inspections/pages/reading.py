"""One reading: its verdict and picture, what was typed, how the part was held, with what and by whom."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from housings import gate, queries
from housings.engineering.stations import STATIONS
from housings.spine import marks_of
from inspections import housing_map, setup_words, wording
from inspections.certificate.facts import rounded_up
from inspections.models import Reading
from inspections.models.plans import GO_NO_GO
from inspections.pages.showing import show
from inspections.pictures import picture_of
from inspections.pictures.housing import NAMES
from inspections.queries import Measured
from shopqc.doors import actor_at, for_roles, may
from shopqc.refusals import refuse

# Longer lists are cut here; all of them stand in the facts and in the API.
MOST_ROWS = 200


@for_roles()
@require_safe
def reading(request: HttpRequest, serial: str, pk: uuid.UUID) -> HttpResponse:
    """One reading of a housing."""
    situation = gate.Situation(queries.housing_by_serial(actor_at(request), serial))
    measured = situation.kept(Measured)
    row = next((r for r in measured.readings if r.pk == pk), None)
    if row is None:
        raise refuse("not_found", what=_("reading"), name=str(pk))
    characteristic = next(c for c in measured.characteristics if c.pk == row.characteristic_id)
    columns = list(typed(row)) if characteristic.kind != GO_NO_GO else []
    context = {
        "housing": situation.housing,
        "stations": marks_of(situation.visits),
        "reading": row,
        "characteristic": characteristic,
        "place": housing_map.place(characteristic),
        "place_name": NAMES[housing_map.place(characteristic)],
        "figure": wording.figure_with_unit(row, characteristic),
        "limit": wording.limit_words(row.lower, row.upper, characteristic.unit),
        "why": wording.why(row, characteristic),
        "station": STATIONS[row.station].name,
        "uncertainty": rounded_up(row.uncertainty),
        "setup": setup_words.in_words(row.setup),
        "columns": columns,
        "picture": picture_of(characteristic, row.raw, row.detail, row.lower, row.upper, row.value),
        "replaced_by": next((r for r in measured.readings if r.replaces_id == row.pk), None),
        "may_correct": may(request, "record_readings"),
    }
    return show(request, "reading.html", context)


def typed(reading: Reading) -> Iterator[tuple[str, list[str]]]:
    """What was typed, as names and the figures under them, each as it was typed."""
    for name, values in reading.raw.items():
        if isinstance(values, list):
            yield name, [_one(value) for value in values[:MOST_ROWS]]
        elif not isinstance(values, Mapping):
            yield name, [str(values)]


def _one(value: Any) -> str:
    return " · ".join(str(part) for part in value) if isinstance(value, list) else str(value)
