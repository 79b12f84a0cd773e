"""Addresses of the pages about what is measured and proven."""

from django.urls import URLPattern, path

from inspections.pages import entry, history, nonconformances

urlpatterns: list[URLPattern] = [
    path("h/<str:serial>/measured/", history.readings, name="readings"),
    path("h/<str:serial>/readings/", entry.entry, name="entry"),
    path("h/<str:serial>/readings/<str:code>/", entry.entry, name="entry-one"),
    path("h/<str:serial>/problem/", nonconformances.problem, name="problem-new"),
    path("nonconformances/", nonconformances.listing, name="nonconformances"),
    path("nonconformances/<str:serial>/<int:number>/", nonconformances.one, name="nonconformance"),
    path(
        "nonconformances/<str:serial>/<int:number>/concession/",
        nonconformances.concession,
        name="nonconformance-concession",
    ),
    path(
        "nonconformances/<str:serial>/<int:number>/document/",
        nonconformances.document,
        name="nonconformance-document",
    ),
]
