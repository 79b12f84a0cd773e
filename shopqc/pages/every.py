"""What every page is given, and whether the program is well."""

from __future__ import annotations

from collections.abc import Sequence
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
        "places": _marked(places, request.path),
    }
    request._shop_context = (person, context)  # type: ignore[attr-defined]
    return dict(context)


def _marked(places: Sequence[Place], path: str) -> list[Place]:
    """The places, and which of them a path is at: the nearest, where one lies inside another."""
    around = [place.url for place in places if path.startswith(place.url)]
    nearest = max(around, key=len, default=None)
    return [replace(place, here=place.url == nearest) for place in places]


def health(request: HttpRequest) -> HttpResponse:
    """For whoever watches the program: 200 if the database answers."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return JsonResponse({"well": True})
