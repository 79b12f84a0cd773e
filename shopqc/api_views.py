"""What every end point of the API is made from."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from typing import Any

from django.utils.cache import patch_cache_control
from django.utils.http import content_disposition_header
from django.utils.translation import gettext as _
from rest_framework import views
from rest_framework.permissions import AllowAny
from rest_framework.renderers import BaseRenderer, JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from shopqc.api import actor
from shopqc.people import Actor
from shopqc.refusals import refuse
from shopqc.strict_json import LARGEST


class ApiView(views.APIView):
    """An end point: GET reads, POST writes; nothing else.

    ``largest_body``: bytes; what says it is larger is refused before a byte of it is read.
    """

    http_method_names = ["get", "head", "post"]
    largest_body = LARGEST

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        if request.method == "POST":
            self._bound_body(request)

    def _bound_body(self, request: Request) -> None:
        """Refuse a body that is too large; take one that comes in chunks, without a length of its own."""
        meta = request._request.META
        if "chunked" in meta.get("HTTP_TRANSFER_ENCODING", "").lower() and meta.get("wsgi.input_terminated"):
            # Django reads as many bytes as Content-Length says, which here says nothing.
            body = meta["wsgi.input"].read(self.largest_body + 1)
            meta["CONTENT_LENGTH"] = str(len(body))
            request._request._stream = io.BytesIO(body)
        length = meta.get("CONTENT_LENGTH") or "0"
        if not length.isascii() or not length.isdigit():
            raise refuse("request_broken", why=_("Content-Length is no number."))
        if int(length) > self.largest_body:
            raise refuse("too_large", limit=self.largest_body)

    def finalize_response(self, request: Request, response: Any, *args: Any, **kwargs: Any) -> Any:
        answer = super().finalize_response(request, response, *args, **kwargs)
        # What one key may read is nobody else's, and a moment later it is something else.
        patch_cache_control(answer, private=True, no_store=True)
        return answer

    @property
    def actor(self) -> Actor:
        """Who asks."""
        return actor(self.request)


class OpenView(ApiView):
    """An address for whoever asks, and whatever the header Accept says."""

    authentication_classes = ()
    permission_classes = (AllowAny,)

    def perform_content_negotiation(self, request: Request, force: bool = False) -> tuple[Any, str]:
        return JSONRenderer(), "application/json"


class NothingHere(OpenView):
    """What an address of the API that does not exist answers."""

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        request.accepted_renderer, request.accepted_media_type = self.perform_content_negotiation(request)
        raise refuse("page_not_found")


class Bytes(BaseRenderer):
    """A document as it is; a refusal is JSON all the same."""

    charset = None
    render_style = "binary"

    def render(
        self,
        data: Any,
        accepted_media_type: str | None = None,
        renderer_context: Mapping[str, Any] | None = None,
    ) -> bytes:
        return data if isinstance(data, bytes) else json.dumps(data).encode()


class Pdf(Bytes):
    media_type = "application/pdf"
    format = "pdf"


def document(content: bytes, name: str) -> Response:
    """A PDF to be kept under a name."""
    header = content_disposition_header(as_attachment=False, filename=name) or ""
    return Response(content, content_type="application/pdf", headers={"Content-Disposition": header})
