"""Welding procedures: what is published, publishing one, and by which one a joint is welded."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from rest_framework.request import Request
from rest_framework.response import Response

from housings import queries
from housings.api.bodies import LARGEST, MOST_MEMBERS
from housings.models import ProcedureRevision
from housings.operations.procedures import LONGEST_NAME, assign_procedure, publish_procedure
from shopqc.api import StrictSerializer, read, run
from shopqc.api_fields import LONG_TEXT, Members, Text, WholeNumber
from shopqc.api_paging import page, parameters
from shopqc.api_views import ApiView
from shopqc.canonical import moment
from shopqc.refusals import refuse


class ProcedureBody(StrictSerializer):
    """``data``: as `housings.engineering.procedure_reading.read_procedure` takes it; ``document``: SHA-256 of
    the filed procedure or of its qualification record.
    """

    name = Text(LONGEST_NAME)
    data = Members(MOST_MEMBERS)  # type: ignore[assignment]  # DRF takes fields off the class
    note = Text(LONG_TEXT, required=False, allow_null=True)
    document = Text(64, required=False, allow_null=True)


class AssignBody(StrictSerializer):
    """``procedure``: its id; null or left out = none reaches the joint."""

    procedure = WholeNumber(1, LARGEST, required=False, allow_null=True)
    why = Text(LONG_TEXT)


class Procedures(ApiView):
    """GET: newest first; ``name`` chooses the revisions of one. POST: the next revision of one."""

    def get(self, request: Request) -> Response:
        self.actor.check_may_read("procedures")
        rows = ProcedureRevision.objects.all()
        # How the shop welds is nothing for a customer's key.
        rows = rows.none() if self.actor.customer else rows
        name = parameters(request, "after", "limit", "name").get("name", "")
        rows = rows.filter(name=name) if name else rows
        filters = {"name": name}
        return Response(page(request, rows, called="procedures", by="pk", shape=_shape, filters=filters))

    def post(self, request: Request) -> Response:
        answer = run(request, publish_procedure, **read(ProcedureBody, request))
        return Response(answer, status=201, headers={"Location": f"/api/v1/procedures/{answer['id']}"})


class OneProcedure(ApiView):
    def get(self, request: Request, pk: int) -> Response:
        parameters(request)
        self.actor.check_may_read("procedures")
        row = None if self.actor.customer else ProcedureRevision.objects.filter(pk=pk).first()
        if row is None:
            raise refuse("not_found", what=_("procedure"), name=pk)
        return Response(_shape(row))


class JointProcedureOf(ApiView):
    """POST: by which procedure a joint is welded from now on."""

    def post(self, request: Request, serial: str, code: str) -> Response:
        body: dict[str, Any] = {"procedure": None, **read(AssignBody, request)}
        housing = queries.serial_of(serial)
        return Response(run(request, assign_procedure, housing=housing, joint=code, **body))


def _shape(row: ProcedureRevision) -> dict[str, Any]:
    return {
        "id": row.pk,
        "name": row.name,
        "number": row.number,
        "data": row.data,
        "document": row.document or None,
        "note": row.note,
        "published_at": moment(row.published_at),
        "published_by": row.published_by,
    }
