"""One housing: how it stands, its readings, its nonconformances, and signing for it."""

from __future__ import annotations

from rest_framework.request import Request
from rest_framework.response import Response

from housings import gate
from housings import queries as housing_queries
from inspections import queries
from inspections.api import shapes
from inspections.api.bodies import DispositionBody, NonconformanceBody, ReadingsBody, SignOffBody
from inspections.operations.certificates import sign_off
from inspections.operations.nonconformances import dispose, raise_nonconformance
from inspections.operations.readings import record_readings
from inspections.weld_summary import weld_summary
from shopqc.api import read, run
from shopqc.api_paging import page, parameters
from shopqc.api_views import ApiView
from shopqc.authentication import desk_of
from shopqc.refusals import refuse
from shopqc.secret import Secret


class OneHousing(ApiView):
    def get(self, request: Request, serial: str) -> Response:
        parameters(request)
        self.actor.check_may_read("housings")
        housing = housing_queries.housing_by_serial(self.actor, serial)
        return Response(shapes.housing_shape(housing, self.actor))


class Welds(ApiView):
    """How it was welded, and of what, as its certificate will say it."""

    def get(self, request: Request, serial: str) -> Response:
        parameters(request)
        self.actor.check_may_read("housings")
        housing = housing_queries.housing_by_serial(self.actor, serial)
        return Response({"serial": housing.serial, **weld_summary(gate.Situation(housing))})


class Readings(ApiView):
    """GET: newest in the record first. POST: all or none."""

    def get(self, request: Request, serial: str) -> Response:
        self.actor.check_may_read("readings")
        housing = housing_queries.housing_by_serial(self.actor, serial)
        return Response(
            page(
                request,
                queries.readings_of(housing),
                called="readings",
                by="id",
                shape=shapes.reading_shape,
                newest=("record_position", "place"),
            )
        )

    def post(self, request: Request, serial: str) -> Response:
        housing = housing_queries.serial_of(serial)
        answer = run(request, record_readings, housing=housing, **read(ReadingsBody, request))
        return Response(answer, status=201)


class Nonconformances(ApiView):
    def get(self, request: Request, serial: str) -> Response:
        self.actor.check_may_read("nonconformances")
        housing = housing_queries.housing_by_serial(self.actor, serial)
        return Response(
            page(
                request,
                queries.nonconformances_of(housing),
                called="nonconformances",
                by="number",
                shape=shapes.nonconformance_shape,
                newest=("number",),
            )
        )

    def post(self, request: Request, serial: str) -> Response:
        housing = housing_queries.serial_of(serial)
        answer = run(request, raise_nonconformance, housing=housing, **read(NonconformanceBody, request))
        return Response(answer, status=201)


class Disposition(ApiView):
    def post(self, request: Request, serial: str, number: int) -> Response:
        housing = housing_queries.serial_of(serial)
        body = read(DispositionBody, request)
        return Response(run(request, dispose, housing=housing, nonconformance=number, **body))


class SignOff(ApiView):
    """A person signs; a wrong secret is counted, and the same answer comes again under the same key."""

    def post(self, request: Request, serial: str) -> Response:
        housing = housing_queries.serial_of(serial)
        secret = Secret(read(SignOffBody, request)["secret"])
        self.actor.check_may("sign_off")
        answer = run(
            request,
            sign_off,
            housing=housing,
            signer=self.actor.stamp,
            secret=secret,
            device=desk_of(request),
        )
        if not answer["signed"]:
            raise refuse("secret_wrong", "/secret")
        headers = {"Location": f"/api/v1/certificates/{answer['certificate']}"}
        return Response(answer, status=201, headers=headers)
