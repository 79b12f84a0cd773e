"""Filing a document, such as a customer's concession: the body is the file itself."""

from __future__ import annotations

from typing import Any

from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response

from shopqc.api import idempotency_key, run
from shopqc.api_bodies import whole_body
from shopqc.api_views import ApiView
from shopqc.operations.documents import LARGEST, TAKEN, file_document, keep


class AsItIs(BaseParser):
    """The body as bytes."""

    def parse(self, stream: Any, media_type: str | None = None, parser_context: Any = None) -> Any:
        return whole_body(stream, LARGEST, parser_context)


PARSERS = tuple(type("AsItIs", (AsItIs,), {"media_type": kind}) for kind in TAKEN)


class Files(ApiView):
    parser_classes = PARSERS
    largest_body = LARGEST

    def post(self, request: Request) -> Response:
        # Before anything is kept: who may not file fills no disk.
        self.actor.check_may("file_document")
        idempotency_key(request)
        content: Any = request.data or b""
        kind = (request.content_type or "").partition(";")[0].strip().lower()
        sha256 = keep(content, kind)
        return Response(run(request, file_document, sha256=sha256, kind=kind, size=len(content)), status=201)
