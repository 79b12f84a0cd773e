"""One order: where its housings are, and their certificates."""

from __future__ import annotations

from rest_framework.request import Request
from rest_framework.response import Response

from housings import queries as housing_queries
from housings.api.shapes import housing_line, order_shape
from inspections import queries
from shopqc.api_paging import parameters
from shopqc.api_views import ApiView


class OneOrder(ApiView):
    def get(self, request: Request, number: str) -> Response:
        parameters(request)
        self.actor.check_may_read("orders")
        order = housing_queries.order_by_number(self.actor, number)
        housings = housing_queries.housings_for(self.actor).filter(order=order).order_by("pk")
        numbers = queries.certificate_numbers_of(order)
        return Response(
            {
                **order_shape(order),
                "housings": [
                    {**housing_line(housing), "certificates": numbers.get(housing.serial, [])}
                    for housing in housing_queries.with_progress(housings)
                ],
            }
        )
