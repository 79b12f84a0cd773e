"""One place of a housing: everything that is measured there, how it stands, and its pictures."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from housings import gate, queries
from housings.spine import marks_of
from inspections import housing_map, states, wording
from inspections.bench import Bench
from inspections.pages.showing import show
from inspections.pictures import Picture, picture_of
from inspections.pictures.housing import NAMES
from inspections.standing import Standing
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import refuse


@for_roles()
@require_safe
def place(request: HttpRequest, serial: str, name: str) -> HttpResponse:
    """What is measured at a place of the housing."""
    actor = actor_at(request)
    situation = gate.Situation(queries.housing_by_serial(actor, serial))
    bench = Bench(situation, actor)
    places = housing_map.by_place(bench.measured)
    if name not in places:
        raise refuse("page_not_found")
    may_enter = not bench.reasons()
    names = list(places)
    context = {
        "housing": situation.housing,
        "stations": marks_of(situation.visits),
        "name": NAMES[name],
        "rows": [_row(standing, bench, may_enter) for standing in places[name]],
        "others": [(other, NAMES[other]) for other in names if other != name],
    }
    return show(request, "place.html", context)


def _row(standing: Standing, bench: Bench, may_enter: bool) -> dict[str, Any]:
    characteristic, reading = standing.characteristic, standing.counted
    due = characteristic.due_at(bench.here.station) if bench.here else None
    return {
        "characteristic": characteristic,
        "reading": reading,
        "state": wording.MARKS.get(standing.state, "open"),
        "word": states.STANDING_WORDS[standing.state],
        "figure": wording.figure_with_unit(reading, characteristic) if reading else "",
        "limit": wording.limit_words(reading.lower, reading.upper, characteristic.unit) if reading else "",
        "picture": drawn(standing),
        "is_due": may_enter and due is not None,
    }


def drawn(standing: Standing) -> Picture | None:
    """The picture of the reading that counts."""
    reading = standing.counted
    if reading is None:
        return None
    return picture_of(
        standing.characteristic, reading.raw, reading.detail, reading.lower, reading.upper, reading.value
    )
