"""Who is qualified for what: qualifications, confirmed uses of a process, doubts and their answers."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework.request import Request
from rest_framework.response import Response

from housings import queries
from housings.api.bodies import MOST_MEMBERS, Why
from housings.api.shapes import housing_line
from housings.models import Qualification, WelderDoubt, WeldPass
from housings.operations import welders
from housings.operations.welders import LONGEST_NAME, LONGEST_REFERENCE, LONGEST_WHAT
from housings.welder_standing import standing_of
from housings.welder_words import Line, lines_of
from shopqc.api import StrictSerializer, read, run
from shopqc.api_fields import LONG_TEXT, Day, Members, Text
from shopqc.api_paging import page, parameters
from shopqc.api_views import ApiView
from shopqc.models import Person
from shopqc.refusals import refuse
from shopqc.rules import the_shop


class QualificationBody(StrictSerializer):
    """``kind``: "welding" or "testing"; ``ranges``: as `housings.engineering.qualifications.read_ranges`."""

    kind = Text(8)
    reference = Text(LONGEST_REFERENCE)
    ranges = Members(MOST_MEMBERS)
    tested_on = Text(10)
    valid_until = Text(10, required=False, allow_null=True)
    examiner = Text(LONGEST_NAME, required=False, allow_null=True)
    document = Text(64, required=False, allow_null=True)


class UseBody(StrictSerializer):
    process = Text(10)
    used_on = Day()
    what = Text(LONGEST_WHAT)


class DoubtBody(StrictSerializer):
    """``process``: by ISO 4063; left out = every process."""

    why = Text(LONG_TEXT)
    process = Text(10, required=False, allow_null=True)


class AnswerBody(StrictSerializer):
    answer = Text(LONG_TEXT)


class Qualifications(ApiView):
    """GET: what counts now, and everything on file. POST: one more."""

    def get(self, request: Request, stamp: str) -> Response:
        parameters(request)
        self.actor.check_may_read("qualifications")
        person = None if self.actor.customer else Person.objects.filter(stamp=stamp).first()
        if person is None:
            raise refuse("not_found", what=_("person"), name=stamp[:40])
        now = timezone.now()
        lines = lines_of(standing_of(person, now), timezone.localdate(now), the_shop().continuity_months)
        rows = Qualification.objects.filter(person=person).select_related("end").order_by("-pk")
        doubts = WelderDoubt.objects.filter(person=person, answered_at=None)
        return Response(
            {
                "stamp": person.stamp,
                "now": [_line(line) for line in lines],
                "qualifications": [_shape(row) for row in rows],
                "doubts": [
                    {"id": doubt.pk, "process": doubt.process or None, "why": doubt.why} for doubt in doubts
                ],
            }
        )

    def post(self, request: Request, stamp: str) -> Response:
        body = read(QualificationBody, request)
        return Response(run(request, welders.add_qualification, stamp=stamp, **body), status=201)


class Welded(ApiView):
    """GET: the housings on which somebody welded, newest first."""

    def get(self, request: Request, stamp: str) -> Response:
        self.actor.check_may_read("qualifications")
        person = None if self.actor.customer else Person.objects.filter(stamp=stamp).first()
        if person is None:
            raise refuse("not_found", what=_("person"), name=stamp[:40])
        welded = WeldPass.objects.filter(welder=person, taken_back=None).values("housing")
        rows = queries.with_progress(queries.housings_for(self.actor).filter(pk__in=welded))
        return Response(page(request, rows, called="housings", by="serial", shape=housing_line))


class EndQualification(ApiView):
    def post(self, request: Request, pk: int) -> Response:
        return Response(run(request, welders.end_qualification, qualification=pk, **read(Why, request)))


class Uses(ApiView):
    def post(self, request: Request, stamp: str) -> Response:
        answer = run(request, welders.confirm_process_use, stamp=stamp, **read(UseBody, request))
        return Response(answer, status=201)


class Doubts(ApiView):
    def post(self, request: Request, stamp: str) -> Response:
        answer = run(request, welders.doubt_welder, stamp=stamp, **read(DoubtBody, request))
        return Response(answer, status=201)


class AnswerDoubt(ApiView):
    def post(self, request: Request, pk: int) -> Response:
        return Response(run(request, welders.answer_welder_doubt, doubt=pk, **read(AnswerBody, request)))


def _line(line: Line) -> dict[str, Any]:
    """``state``: pass, undecided (it ends soon), fail (not current) or held (in doubt)."""
    until = line.until.isoformat() if line.until else None
    return {"what": line.what, "state": line.state, "until": until, "said": line.said}


def _shape(row: Qualification) -> dict[str, Any]:
    end = getattr(row, "end", None)
    return {
        "id": row.pk,
        "kind": row.kind,
        "reference": row.reference,
        "ranges": row.ranges,
        "tested_on": row.tested_on.isoformat(),
        "valid_until": row.valid_until.isoformat() if row.valid_until else None,
        "examiner": row.examiner,
        "document": row.document or None,
        "withdrawn": end.why if end else None,
    }
