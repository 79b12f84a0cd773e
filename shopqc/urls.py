"""Addresses: wiring only."""

from django.urls import include, path, re_path

from shopqc import pages, problems
from shopqc.api_views import NothingHere

urlpatterns = [
    path("health/", pages.health, name="health"),
    path("api/v1/", include("housings.api_urls")),
    path("api/v1/", include("inspections.api_urls")),
    path("api/problems/<str:code>", problems.kind, name="problem"),
    re_path("^api/", NothingHere.as_view()),
    path("", include("housings.urls")),
    path("", include("inspections.urls")),
]

handler400 = problems.bad_request
handler500 = problems.server_error
