"""Gauges and other equipment: what is on file, its checks, taking it out of use and back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from urllib.parse import quote

from rest_framework.request import Request
from rest_framework.response import Response

from inspections import queries
from inspections.api.bodies import CheckBody, GaugeBody, GaugeChangeBody, Why
from inspections.api.shapes import check_shape, gauge_shape
from inspections.operations import gauges
from shopqc.api import read, run
from shopqc.api_paging import page, parameters
from shopqc.api_views import ApiView


class Gauges(ApiView):
    """GET: newest on file first. POST: kind and code are enough."""

    def get(self, request: Request) -> Response:
        self.actor.check_may_read("gauges")
        found = queries.gauges_for(self.actor)
        kind = parameters(request, "after", "limit", "kind").get("kind")
        if kind:
            found = found.filter(kind=kind)
        filters = {"kind": kind or ""}
        return Response(page(request, found, called="gauges", by="code", shape=gauge_shape, filters=filters))

    def post(self, request: Request) -> Response:
        answer = run(request, gauges.add_gauge, **read(GaugeBody, request))
        return Response(answer, status=201, headers={"Location": f"/api/v1/gauges/{quote(answer['gauge'])}"})


class OneGauge(ApiView):
    def get(self, request: Request, code: str) -> Response:
        parameters(request)
        self.actor.check_may_read("gauges")
        return Response(gauge_shape(queries.gauge_by_code(self.actor, code)))


class Checks(ApiView):
    """GET: newest first. POST: one more; one that finds it wrong answers what that changed."""

    def get(self, request: Request, code: str) -> Response:
        self.actor.check_may_read("gauges")
        checks = queries.gauge_by_code(self.actor, code).calibrations.select_related("doubt")
        return Response(
            page(
                request,
                checks,
                called="checks",
                by="record_position",
                shape=check_shape,
                newest=("record_position",),
            )
        )

    def post(self, request: Request, code: str) -> Response:
        body = read(CheckBody, request)
        return Response(run(request, gauges.record_calibration, gauge=code, **body), status=201)


class Change(ApiView):
    def post(self, request: Request, code: str) -> Response:
        return Response(run(request, gauges.change_gauge, gauge=code, **read(GaugeChangeBody, request)))


class _WithReason(ApiView):
    operation: Callable[..., dict[str, Any]]

    def post(self, request: Request, code: str) -> Response:
        return Response(run(request, type(self).operation, gauge=code, **read(Why, request)))


class Withdraw(_WithReason):
    operation = staticmethod(gauges.withdraw_gauge)


class Return(_WithReason):
    operation = staticmethod(gauges.return_gauge)
