"""Steel, filler and gas: what is on file, its pieces, recalling it; what a housing is made of."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import quote

from django.utils.translation import gettext as _
from rest_framework.request import Request
from rest_framework.response import Response

from housings import queries
from housings.api.heat_bodies import (
    ClearBody,
    HeatBody,
    HeatChangeBody,
    MaterialsBody,
    PieceBody,
    RecallBody,
)
from housings.api.heat_shapes import heat_shape, made_of_shape, part_shape, piece_shape
from housings.engineering.parts import parts_of
from housings.engineering.spec import spec_from
from housings.material_queries import fillers_of, heat_by_number, heats_for, materials_of, plain_code
from housings.operations import materials, recalls
from housings.steel_words import KINDS
from shopqc.api import read, run
from shopqc.api_paging import page, parameters
from shopqc.api_views import ApiView
from shopqc.refusals import refuse


class Heats(ApiView):
    """GET: what came last first. POST: number, kind and grade are enough."""

    def get(self, request: Request) -> Response:
        self.actor.check_may_read("heats")
        found = heats_for(self.actor)
        given = parameters(request, "after", "limit", "kind", "recalled")
        if "kind" in given:
            if given["kind"] not in KINDS:
                raise refuse("parameter_wrong", name="kind", why=_one_of(KINDS))
            found = found.filter(kind=given["kind"])
        if "recalled" in given:
            if given["recalled"] not in ("true", "false"):
                raise refuse("parameter_wrong", name="recalled", why=_one_of(("true", "false")))
            found = found.filter(recalled_at__isnull=given["recalled"] == "false")
        filters = {name: given.get(name, "") for name in ("kind", "recalled")}
        return Response(page(request, found, called="heats", by="number", shape=heat_shape, filters=filters))

    def post(self, request: Request) -> Response:
        answer = run(request, materials.receive_heat, **read(HeatBody, request))
        return Response(answer, status=201, headers={"Location": f"/api/v1/heats/{quote(answer['heat'])}"})


def _one_of(words: Iterable[str]) -> str:
    return _("one of %(words)s.") % {"words": ", ".join(words)}


class OneHeat(ApiView):
    def get(self, request: Request, number: str) -> Response:
        parameters(request)
        self.actor.check_may_read("heats")
        return Response(heat_shape(heat_by_number(self.actor, number)))


class ChangeHeat(ApiView):
    def post(self, request: Request, number: str) -> Response:
        body = read(HeatChangeBody, request)
        return Response(run(request, materials.change_heat, heat=plain_code(number), **body))


class Pieces(ApiView):
    """GET: what was cut last first. POST: one more."""

    def get(self, request: Request, number: str) -> Response:
        self.actor.check_may_read("heats")
        pieces = heat_by_number(self.actor, number).pieces.select_related("cut_from")
        return Response(page(request, pieces, called="pieces", by="code", shape=piece_shape))

    def post(self, request: Request, number: str) -> Response:
        body = read(PieceBody, request)
        return Response(run(request, materials.cut_piece, heat=plain_code(number), **body), status=201)


class Recall(ApiView):
    """Answers the housings that have it, those that are held, the certificates put under question."""

    def post(self, request: Request, number: str) -> Response:
        body = read(RecallBody, request)
        return Response(run(request, recalls.recall_heat, heat=plain_code(number), **body))


class Clear(ApiView):
    """It was recalled by mistake; answers what is still held."""

    def post(self, request: Request, number: str) -> Response:
        body = read(ClearBody, request)
        return Response(run(request, recalls.clear_heat, heat=plain_code(number), **body))


class Materials(ApiView):
    """GET: each part with its steel, and filler and gas. POST: parts are of these heats."""

    def get(self, request: Request, serial: str) -> Response:
        parameters(request)
        self.actor.check_may_read("materials")
        housing = queries.housing_by_serial(self.actor, serial)
        steel = {use.part: use for use in materials_of(housing)}
        parts = parts_of(spec_from(housing.spec.data))
        return Response(
            {
                "housing": housing.serial,
                "parts": [part_shape(part, steel.get(part.code)) for part in parts],
                "welded_with": [made_of_shape(heat) for heat in fillers_of(housing)],
            }
        )

    def post(self, request: Request, serial: str) -> Response:
        housing = queries.serial_of(serial)
        body = read(MaterialsBody, request)
        return Response(run(request, materials.use_material, housing=housing, **body), status=201)
