"""The traveler: the one sheet of paper that goes with a housing."""

from __future__ import annotations

import datetime
from typing import Any

import segno
from django.conf import settings
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from housings import queries
from housings.models import Housing, Visit
from housings.panels import asks_of
from housings.spec_words import spec_words
from housings.spine import marks_of, why_visited
from shopqc import paper
from shopqc.models import Shop

LONGEST_ADDRESS = 100


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
            {**mark, "note": why_visited(visit), "asks": asks.get(visit.station, ())}
            for mark, visit in zip(marks_of(visits), visits, strict=True)
        ],
        "cautions": _cautions(visits),
        "floor_address": settings.FLOOR_URL,
        "printed_at": printed_at,
    }


def render(housing: Housing, shop: Shop, printed_at: datetime.datetime) -> bytes:
    """The traveler as PDF, on the shop's paper."""
    context = {
        "sheet": sheet_of(housing, shop, printed_at),
        "qr_svg": qr_svg(floor_address(housing.serial)),
    }
    return paper.pdf_on_one_page("housings/traveler.html", context, shop.paper)


def _cautions(visits: list[Visit]) -> list[str]:
    """Every caution of the route once, in the order of the stations."""
    return list(dict.fromkeys(_(caution) for visit in visits for caution in visit.at.cautions))
