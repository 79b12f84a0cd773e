"""Addresses: wiring only."""

from django.urls import include, path

from shopqc import pages

urlpatterns = [
    path("health/", pages.health, name="health"),
    path("api/v1/", include("housings.api_urls")),
    path("api/v1/", include("inspections.api_urls")),
    path("", include("housings.urls")),
    path("", include("inspections.urls")),
]
