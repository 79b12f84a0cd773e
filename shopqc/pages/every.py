"""What every page is given, and whether the program is well."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.db import connection
from django.http import HttpRequest, HttpResponse, JsonResponse

from shopqc.models import Person, Shop
from shopqc.places import Place, places_of


def shop_context(request: HttpRequest) -> dict[str, Any]:
    """Context of every page: the shop, and the places of whoever is signed in.

    A page of several fragments asks for it with each; who renders first has read it for all of them.
    """
    person = getattr(request, "user", None)
    read_for, context = getattr(request, "_shop_context", (None, None))
    if context is not None and read_for == person:
        return dict(context)
    places = places_of(person) if isinstance(person, Person) else []
    context = {
        "shop": Shop.objects.filter(code="shop").first(),
        "places": [replace(place, here=_is_at(request, place)) for place in places],
    }
    request._shop_context = (person, context)  # type: ignore[attr-defined]
    return dict(context)


def _is_at(request: HttpRequest, place: Place) -> bool:
    return request.path.startswith(place.url)


def health(request: HttpRequest) -> HttpResponse:
    """For whoever watches the program: 200 if the database answers."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return JsonResponse({"well": True})
