"""The start: scan or type a serial, or go to one of the places one's roles open."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from shopqc.doors import for_roles


@for_roles()
@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Show it; the places come with every page."""
    return render(request, "shopqc/home.html", {"scan_url": reverse("open-housing")})
