"""Certificates: their status, the frozen facts, the file; and revoking one."""

from __future__ import annotations

from django.http import HttpResponse
from rest_framework.request import Request
from rest_framework.response import Response

from inspections import queries
from inspections.api.bodies import Why
from inspections.api.shapes import certificate_shape
from inspections.certificate.file import file_of
from inspections.operations.certificates import revoke_certificate
from shopqc.api import read, run
from shopqc.api_paging import page, parameters
from shopqc.api_views import ApiView, Pdf, document


class Certificates(ApiView):
    """Newest first."""

    def get(self, request: Request) -> Response:
        self.actor.check_may_read("certificates")
        certificates = queries.certificates_for(self.actor)
        return Response(
            page(request, certificates, called="certificates", by="number", shape=certificate_shape)
        )


class OneCertificate(ApiView):
    def get(self, request: Request, number: str) -> Response:
        parameters(request)
        self.actor.check_may_read("certificates")
        return Response(certificate_shape(queries.certificate_by_number(self.actor, number)))


class Facts(ApiView):
    """The frozen facts, byte for byte as their digest was taken."""

    def get(self, request: Request, number: str) -> HttpResponse:
        parameters(request)
        certificate = queries.certificate_by_number(self.actor, number)
        self.actor.check_may_read("certificate_facts")
        return HttpResponse(certificate.sign_off.facts.encode(), content_type="application/json")


class File(ApiView):
    """The certificate as PDF, once the worker has made it."""

    renderer_classes = (Pdf,)

    def get(self, request: Request, number: str) -> Response:
        parameters(request)
        certificate = queries.certificate_by_number(self.actor, number)
        self.actor.check_may_read("certificate_file")
        return document(file_of(certificate), f"{certificate.number}.pdf")


class Revoke(ApiView):
    def post(self, request: Request, number: str) -> Response:
        certificate = queries.certificate_by_number(self.actor, number)
        answer = run(request, revoke_certificate, certificate=certificate.number, **read(Why, request))
        return Response(answer)
