"""What happens around every request."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import render

from shopqc.problems import API, broken
from shopqc.refusals import Refused

Next = Callable[[HttpRequest], HttpResponse]


class ClearPath:
    """Refuses NUL and broken text in paths and queries, which databases cannot take."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        query = request.META.get("QUERY_STRING", "")
        if "\x00" in request.path or "%00" in query or "\ufffd" in request.path:
            why = "The address has a character that no text has."
            if request.path.startswith(API):
                return broken(request, 400, why)
            return HttpResponseBadRequest(why, content_type="text/plain")
        return self.get_response(request)


class PublicHost:
    """What comes to the public address finds the certificate pages and nothing else."""

    def __init__(self, get_response: Next) -> None:
        public = urlsplit(settings.PUBLIC_URL).netloc
        self.host = public if public != urlsplit(settings.FLOOR_URL).netloc else None
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if self.host is not None and request.get_host() == self.host:
            request.urlconf = settings.PUBLIC_URLCONF
        return self.get_response(request)


class RefusalPages:
    """A refusal that a page did not show itself becomes a page that says what, why and what next."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        # The address of a refused form, opened again: of an empty answer a browser shows nothing at all.
        if response.status_code == 405 and request.method == "GET" and not request.path.startswith(API):
            page = render(request, "405.html", status=405)
            page["Allow"] = response["Allow"]
            return page
        return response

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        if not isinstance(error, Refused):
            return None
        response = render(
            request,
            "shopqc/problem.html",
            {"reasons": error.reasons, "status": error.status},
            status=error.status,
        )
        if error.status == 503:
            response["Retry-After"] = "1"
        return response
