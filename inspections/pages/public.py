"""The page behind the code on a certificate: for people without an account, and nothing besides.

It tells whether a certificate is genuine, and only to somebody who has its
128-bit code. It can be served alone under `settings.PUBLIC_URL`.
"""

from __future__ import annotations

import json
from typing import Any, TypeVar

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_safe

from inspections import states
from inspections.models import Certificate
from inspections.models.certificates import ANSWERED, QUESTIONED, REVOKED
from inspections.pages.certificates import certificate_file
from inspections.queries import certificate_by_code, event, status_of
from inspections.weld_summary import in_rows

Response = TypeVar("Response", bound=HttpResponseBase)

LONGEST_CODE = 60
# Long enough to bear a crowd, short enough that a revocation is seen at once.
KEPT_SECONDS = 30


@require_safe
def certificate(request: HttpRequest, code: str) -> HttpResponse:
    """Genuine, under question, revoked, being made, or not known."""
    found = _found(code)
    context = _known(found) if found else {"status": "unknown"}
    response = render(
        request,
        "inspections/public_certificate.html",
        {**context, "code": code},
        status=200 if found else 404,
    )
    return _for_strangers(response)


@require_safe
def pdf(request: HttpRequest, code: str) -> HttpResponseBase:
    """The file of a genuine certificate; for any other one its page says why there is none."""
    found = _found(code)
    if found is None or status_of(found) != states.GENUINE:
        return redirect("public-certificate", code=code[:LONGEST_CODE])
    return _for_strangers(certificate_file(found))


def _found(code: str) -> Certificate | None:
    return certificate_by_code(code) if len(code) <= LONGEST_CODE else None


def _known(found: Certificate) -> dict[str, Any]:
    frozen = json.loads(found.sign_off.facts)
    revoked = event(found, REVOKED)
    return {
        "status": status_of(found),
        "certificate": found,
        "housing": found.housing,
        "signed": frozen["signed"],
        "shop_then": frozen["shop"]["name"],
        "verdict": frozen["verdict"],
        # Sign-offs of before had no word of either.
        "welds": in_rows(frozen["welds"]) if "welds" in frozen else None,
        "materials": frozen.get("materials"),
        "revoked": revoked,
        "questioned": event(found, QUESTIONED),
        "answered": event(found, ANSWERED),
    }


def _for_strangers(response: Response) -> Response:
    """May be kept by caches for a moment, and found by no search engine."""
    response["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    response["Referrer-Policy"] = "no-referrer"
    patch_cache_control(response, public=True, max_age=KEPT_SECONDS)
    return response
