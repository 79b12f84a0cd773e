"""The first sheets of the paper pack: every housing in work, where it is, what is next and what is open."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any

from django.conf import settings
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from housings import queries, states
from housings.models import Housing, Visit
from housings.panels import remarks_on
from housings.whereabouts import is_late, whereabouts
from shopqc.models import Shop


def cover_of(shop: Shop, at: datetime.datetime, failed: Sequence[str]) -> dict[str, Any]:
    """What the cover's template shows; ``failed``: serials whose travelers could not be drawn."""
    in_work = Housing.objects.filter(state__in=[states.RELEASED, states.IN_WORK])
    found = queries.with_progress(in_work.select_related("order__customer").order_by("pk"))
    rows: list[Housing] = list(found)
    remarks = remarks_on([row.pk for row in rows])
    today = localtime(at).date()
    return {
        "shop": {"name": shop.name, "address": shop.address},
        "at": at,
        "floor_address": settings.FLOOR_URL,
        "failed": failed,
        "rows": [_line(row, today, remarks.get(row.pk, ())) for row in rows],
    }


def _line(row: Any, today: datetime.date, remarks: Sequence[str]) -> dict[str, Any]:
    where = whereabouts(row, row.all_visits, row.open_holds)
    return {
        "serial": row.serial_grouped,
        "order": row.order,
        "late": is_late(row, today),
        "where": where.words,
        "next": _next(row.all_visits),
        "held": where.because,
        "remarks": remarks,
    }


def _next(visits: Sequence[Visit]) -> str:
    names = [_(visit.at.name) for visit in queries.next_visits(visits)]
    return _(" or ").join(names) if names else _("nothing")
