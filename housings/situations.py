"""Many housings as the gate sees them, read together: as many queries for sixty as for one.

``settings.SITUATIONS_FILLED`` lists functions ``(situations) -> None`` of other apps, which read what they
themselves are asked about for all of them at once and keep it with each (`gate.Situation.kept`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from django.conf import settings
from django.utils.module_loading import import_string

from housings.gate import Situation
from housings.models import Hold, Housing
from shopqc.rules import the_shop


def situations_of(housings: Sequence[Housing]) -> dict[int, Situation]:
    """The situation of each housing, by its primary key, with its shop and its open holds."""
    found = {housing.pk: Situation(housing) for housing in housings}
    shop = the_shop()
    holds = _by_housing(Hold.objects.filter(housing__in=found, released_at=None).order_by("number"))
    for pk, situation in found.items():
        situation.shop, situation.holds = shop, holds[pk]
    for name in settings.SITUATIONS_FILLED:
        fill: Callable[[Iterable[Situation]], None] = import_string(name)
        fill(list(found.values()))
    return found


def _by_housing(rows: Iterable[Any]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = defaultdict(list)
    for row in rows:
        found[row.housing_id].append(row)
    return found
