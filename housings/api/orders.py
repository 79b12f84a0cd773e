"""Orders: placing one, and the list of them. One order with its certificates: `inspections.api.orders`."""

from __future__ import annotations

from django.db.models import Count
from rest_framework.request import Request
from rest_framework.response import Response

from housings import queries
from housings.api.bodies import OrderBody
from housings.api.shapes import order_shape
from housings.models import Order
from housings.operations.orders import place_order
from shopqc.api import read, run
from shopqc.api_paging import page
from shopqc.api_views import ApiView


class Orders(ApiView):
    def get(self, request: Request) -> Response:
        self.actor.check_may_read("orders")
        orders = queries.orders_for(self.actor).annotate(made_of=Count("housings"))
        return Response(page(request, orders, called="orders", by="number", shape=_line))

    def post(self, request: Request) -> Response:
        answer = run(request, place_order, **read(OrderBody, request))
        return Response(answer, status=201, headers={"Location": f"/api/v1/orders/{answer['order']}"})


def _line(order: Order) -> dict[str, object]:
    return {**order_shape(order), "housings": order.made_of}  # type: ignore[attr-defined]
