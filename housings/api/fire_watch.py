"""The watch for fire after the last arc of the shop."""

from __future__ import annotations

from rest_framework.request import Request
from rest_framework.response import Response

from housings.operations.fire_watch import end_fire_watch
from shopqc.api import StrictSerializer, read, run
from shopqc.api_fields import LONG_TEXT, Text
from shopqc.api_views import ApiView


class FireWatchBody(StrictSerializer):
    """``found``: what was seen, if anything."""

    found = Text(LONG_TEXT, required=False, allow_null=True)


class FireWatch(ApiView):
    """Somebody watched until now."""

    def post(self, request: Request) -> Response:
        return Response(run(request, end_fire_watch, **read(FireWatchBody, request)), status=201)
