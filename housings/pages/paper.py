"""Paper about a housing."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from housings import queries, traveler
from shopqc.doors import actor_at, for_roles
from shopqc.rules import the_shop


@for_roles()
@require_safe
def traveler_pdf(request: HttpRequest, serial: str) -> HttpResponse:
    """The traveler of one housing, to print."""
    housing = queries.housing_by_serial(actor_at(request), serial)
    content = traveler.render(housing, the_shop(), timezone.now())
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="traveler-{housing.serial}.pdf"'
    return response
