"""From a heat to the housings that have it, with what is proven of them."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from rest_framework.request import Request
from rest_framework.response import Response

from housings.material_queries import housings_with, plain_code
from housings.models import Heat, Housing
from housings.queries import visit_here, with_progress
from inspections.tracing import Traced, traced
from shopqc.api_paging import page
from shopqc.api_views import ApiView
from shopqc.refusals import refuse


class HeatHousings(ApiView):
    """What was released last first. A customer's key sees its own housings, and no heat that is in none."""

    def get(self, request: Request, number: str) -> Response:
        self.actor.check_may_read("materials")
        heat = Heat.objects.filter(number=plain_code(number)).first()
        found = Housing.objects.none() if heat is None else housings_with(self.actor, heat)
        if heat is None or (self.actor.customer and not found.exists()):
            raise refuse("not_found", what=_("heat"), name=number[:40])
        kept: list[Housing] = []
        answer = page(request, with_progress(found), called="housings", by="serial", shape=_kept_in(kept))
        answer["housings"] = [_shape(one) for one in traced(heat, kept)]
        return Response({"heat": heat.number, "recalled": heat.recalled_at is not None, **answer})


def _kept_in(kept: list[Housing]) -> Any:
    """The rows of a page are looked at together afterwards, so that many ask no more often than one."""

    def keep(housing: Housing) -> dict[str, Any]:
        kept.append(housing)
        return {}

    return keep


def _shape(one: Traced) -> dict[str, Any]:
    housing = one.housing
    here = visit_here(housing.all_visits)  # type: ignore[attr-defined]
    return {
        "serial": housing.serial,
        "customer": housing.order.customer.code,
        "order": housing.order.number,
        "reference": housing.order.reference,
        "state": housing.state,
        "station": here.station if here else None,
        "held": bool(housing.open_holds),  # type: ignore[attr-defined]
        "places": [
            {
                "code": place.code,
                "name": place.name,
                "station": place.station,
                "piece": place.use.piece.code if place.use and place.use.piece else None,
                "passes": place.passes,
            }
            for place in one.places
        ],
        "certificates": [
            {"number": certificate.number, "status": status}
            for certificate, status, _words in one.certificate_words
        ],
    }
