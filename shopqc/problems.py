"""What the codes of refusals mean, one page each, and how an address under /api/ says that it broke."""

from __future__ import annotations

import re
from collections.abc import Callable
from http import HTTPStatus

from django.conf import settings
from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views import defaults
from rest_framework.request import Request

from shopqc.api import PROBLEM_TYPE
from shopqc.api_views import OpenView
from shopqc.refusals import KINDS, Reason, refuse

API = "/api/"
GAP = "…"


def meaning(code: str) -> str:
    """The sentence of a code with a gap where each value stands."""
    text = re.sub(r"%\(\w+\)s", GAP, str(KINDS[code].sentence))
    return text if text.strip(f"{GAP} .:") else _("What is wrong stands in the answer itself.")


class ProblemKind(OpenView):
    """The page that the ``type`` of a problem names: for people, so it is HTML."""

    def get(self, request: Request, code: str) -> HttpResponse:
        if code not in KINDS:
            raise refuse("page_not_found")
        status = KINDS[code].status
        context = {
            "code": code,
            "status": status,
            "phrase": HTTPStatus(status).phrase,
            "sentence": meaning(code),
        }
        return render(request._request, "shopqc/problem_kind.html", context)


def broken(request: HttpRequest, status: int, detail: str) -> HttpResponse:
    """Problem details for what broke before an end point or outside its sight."""
    body = {"type": "about:blank", "title": HTTPStatus(status).phrase, "status": status, "detail": detail}
    return JsonResponse(body, status=status, content_type=PROBLEM_TYPE)


def too_much(request: HttpRequest, fields: bool) -> HttpResponse:
    """413: a page was sent with more than is taken at once, in bytes or in fields."""
    too_many = _("The form has more than %(limit)s fields.") % {
        "limit": settings.DATA_UPLOAD_MAX_NUMBER_FIELDS
    }
    too_large = Reason("too_large", {"limit": settings.DATA_UPLOAD_MAX_MEMORY_SIZE}).sentence
    context = {
        "what": _("This is more than can be taken at once"),
        "reasons": [too_many if fields else too_large],
        "next": _("Nothing was written down. Go back: what was typed is still in the page; send less of it."),
    }
    return render(request, "shopqc/problem.html", context, status=413)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """400, as the door that was knocked at speaks."""
    if request.path.startswith(API):
        return broken(request, 400, _("The request cannot be read."))
    if isinstance(exception, RequestDataTooBig | TooManyFieldsSent):
        return too_much(request, fields=isinstance(exception, TooManyFieldsSent))
    return defaults.bad_request(request, exception)


def server_error(request: HttpRequest) -> HttpResponse:
    """500, as the door that was knocked at speaks."""
    if request.path.startswith(API):
        return broken(request, 500, _("The program made a mistake. Nothing was kept; it is in the log."))
    handler: Callable[[HttpRequest], HttpResponse] = defaults.server_error
    return handler(request)
