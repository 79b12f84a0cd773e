"""The traveler: the one sheet of paper that goes with a housing."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from itertools import groupby
from typing import Any

import segno
from django.conf import settings
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from housings import queries
from housings.models import Housing, Visit
from housings.panels import Ask, asks_of
from housings.spec_words import spec_words
from housings.spine import marks_of, why_visited
from shopqc import paper
from shopqc.models import Shop

LONGEST_ADDRESS = 100
A_WHOLE_PLAN = 45  # asks that leave no sheet room for anything roomier


def floor_address(serial: str) -> str:
    """What the serial's QR says: the housing's page in the shop. A stranger who scans it sees a sign-in."""
    address = f"{settings.FLOOR_URL}/h/{serial}"
    if len(address) > LONGEST_ADDRESS:
        raise ValueError(
            f"{address} has more than {LONGEST_ADDRESS} characters; a small code cannot hold it."
        )
    return address


def qr_svg(address: str) -> SafeString:
    """The code as inline SVG; level Q is readable with a quarter of it smeared."""
    svg: str = segno.make(address, error="q", micro=False).svg_inline(border=2, omitsize=True)
    return mark_safe(svg)  # segno writes nothing of ours into it but black squares


def sheet_of(housing: Housing, shop: Shop, printed_at: datetime.datetime) -> dict[str, Any]:
    """What the traveler's template shows."""
    visits = queries.visits_of(housing)
    asks = asks_of(housing)
    order = housing.order
    return {
        "shop": {"name": shop.name, "address": shop.address},
        "serial": housing.serial,
        "serial_grouped": housing.serial_grouped,
        "order": {
            "number": order.number,
            "customer": order.customer.name,
            "reference": order.reference,
            "due": order.due_on,
        },
        "spec": spec_words(housing.spec.data),
        "stations": [
            {**mark, "note": why_visited(visit), "asks": gathered(asks.get(visit.station, ()))}
            for mark, visit in zip(marks_of(visits), visits, strict=True)
        ],
        "cautions": _cautions(visits),
        "floor_address": settings.FLOOR_URL,
        "printed_at": printed_at,
    }


_NUMBERED = re.compile(r"(?P<before>\D*)(?P<number>\d+)(?P<after>.*)")
FEWEST_GATHERED = 3


def gathered(asks: Sequence[Ask]) -> list[dict[str, Any]]:
    """The asks of a station; those that differ by a number alone share a line with one blank for each.

    >>> [ask["name"] for ask in gathered([Ask(f"Hole {n}, position") for n in (1, 2, 3)])]
    ['Hole 1 to 3, position']
    """
    rows: list[dict[str, Any]] = []
    for kind, alike in groupby(asks, _kind):
        group = list(alike)
        numbers = [match["number"] for ask in group if (match := _NUMBERED.fullmatch(ask.name))]
        if len(numbers) < FEWEST_GATHERED or len(numbers) < len(group):
            rows += [{"name": ask.name, "limit": ask.limit, "unit": ask.unit} for ask in group]
            continue
        span = _("%(first)s to %(last)s") % {"first": numbers[0], "last": numbers[-1]}
        name = f"{kind[0]}{span}{kind[1]}"
        rows.append({"name": name, "limit": group[0].limit, "unit": group[0].unit, "blanks": numbers})
    return rows


def _kind(ask: Ask) -> tuple[str, str, str, str]:
    """What asks have in common that differ by the first number of their names."""
    match = _NUMBERED.fullmatch(ask.name)
    before, after = (match["before"], match["after"]) if match else (ask.name, "")
    return before, after, ask.limit, ask.unit


def render(housing: Housing, shop: Shop, printed_at: datetime.datetime) -> bytes:
    """The traveler as PDF, on the shop's paper."""
    sheet = sheet_of(housing, shop, printed_at)
    asks = sum(len(station["asks"]) for station in sheet["stations"])
    context = {"sheet": sheet, "qr_svg": qr_svg(floor_address(housing.serial))}
    roomiest = paper.DENSITIES[-1] if asks >= A_WHOLE_PLAN else paper.DENSITIES[0]
    return paper.pdf_on_one_page("housings/traveler.html", context, shop.paper, roomiest)


def _cautions(visits: list[Visit]) -> list[str]:
    """Every caution of the route once, in the order of the stations."""
    return list(dict.fromkeys(_(caution) for visit in visits for caution in visit.at.cautions))
