"""The traveler: the one sheet of paper that goes with a housing; and the measuring sheet behind it."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import segno
from django.conf import settings
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from housings import states
from housings.asks_on_paper import gathered
from housings.gate import Situation
from housings.models import Housing, Visit
from housings.panels import Ask, asks_of, found_of
from housings.spec_words import spec_words
from housings.spine import marks_of, why_visited
from shopqc import paper
from shopqc.canonical import digest
from shopqc.models import Shop

LONGEST_ADDRESS = 100
TRAVELER, MEASURING_SHEET = "housings/traveler.html", "housings/measuring_sheet.html"


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


@dataclass
class Printing:
    """Travelers printed at once; those of the same rows need the same density, which is searched once."""

    shop: Shop
    printed_at: datetime.datetime
    densities: dict[str, str] = field(default_factory=dict)

    def traveler(self, housing: Housing, *, sheets: bool = False) -> bytes:
        """The traveler as PDF on the shop's paper; with ``sheets`` the measuring sheets behind it."""
        situation = Situation(housing)
        asks = asks_of(housing)
        sheet = sheet_of(situation, asks, self.shop, self.printed_at)
        rows = repr([(row["name"], row["note"], row["asks"]) for row in sheet["stations"]])
        shape = digest(rows.encode())[:16]
        context = {"sheet": sheet, "qr_svg": qr_svg(floor_address(housing.serial))}
        made = paper.pdf_on_one_page(TRAVELER, context, self.shop.paper, self.densities.get(shape, ""))
        self.densities[shape] = made.density
        measurings = measurings_of(situation.visits, asks) if sheets else []
        if not measurings:
            return made.content
        behind = paper.pdf(MEASURING_SHEET, {**context, "measurings": measurings}, self.shop.paper)
        return paper.joined([made.content, behind])


def render(housing: Housing, shop: Shop, printed_at: datetime.datetime, *, sheets: bool = False) -> bytes:
    """The traveler of one housing as PDF, on the shop's paper."""
    return Printing(shop, printed_at).traveler(housing, sheets=sheets)


def sheet_of(
    situation: Situation, asks: Mapping[str, Sequence[Ask]], shop: Shop, printed_at: datetime.datetime
) -> dict[str, Any]:
    """What the traveler's template shows: what is to be done, and what is done already."""
    housing, visits = situation.housing, situation.visits
    found = found_of(situation)
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
            {
                **mark,
                "note": why_visited(visit),
                "asks": gathered(asks.get(visit.station, ()), found.get(visit.pk, {})),
                "stamp": visit.left_by,
                "left_at": visit.left_at,
                "arrived_at": visit.arrived_at,
            }
            for mark, visit in zip(marks_of(visits), visits, strict=True)
        ],
        "cautions": _cautions(visits),
        "floor_address": settings.FLOOR_URL,
        "printed_at": printed_at,
    }


def measurings_of(visits: Sequence[Visit], asks: Mapping[str, Sequence[Ask]]) -> list[dict[str, Any]]:
    """What the measuring sheet has a table for: each measuring that is still to be made, by visit."""
    return [
        {"station": _(visit.at.name), "number": number, "asks": with_tables}
        for number, visit in enumerate(visits, start=1)
        if visit.state in {states.AHEAD, states.HERE}
        and (with_tables := [ask for ask in asks.get(visit.station, ()) if ask.tables])
    ]


def _cautions(visits: Sequence[Visit]) -> list[str]:
    """Every caution of the route once, in the order of the stations."""
    return list(dict.fromkeys(_(caution) for visit in visits for caution in visit.at.cautions))
