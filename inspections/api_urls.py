"""Addresses of the API about what is measured and proven, under /api/v1/."""

from django.urls import URLPattern, path

from inspections.api import certificates, files, gauges, housings, orders, trace, visits, welds

urlpatterns: list[URLPattern] = [
    path("orders/<str:number>", orders.OneOrder.as_view()),
    path("housings/<str:serial>", housings.OneHousing.as_view()),
    path("housings/<str:serial>/welds", housings.Welds.as_view()),
    path("housings/<str:serial>/readings", housings.Readings.as_view()),
    path("housings/<str:serial>/add-visit", visits.AddVisit.as_view()),
    path("housings/<str:serial>/drop-visit", visits.DropVisit.as_view()),
    path("housings/<str:serial>/nonconformances", housings.Nonconformances.as_view()),
    path(
        "housings/<str:serial>/nonconformances/<int:number>/disposition",
        housings.Disposition.as_view(),
    ),
    path("housings/<str:serial>/sign-off", housings.SignOff.as_view()),
    path("housings/<str:serial>/joints/<str:code>/look", welds.Look.as_view()),
    path("housings/<str:serial>/joints/<str:code>/test", welds.Test.as_view()),
    path("housings/<str:serial>/joints/<str:code>/repair", welds.Repair.as_view()),
    path("heats/<str:number>/housings", trace.HeatHousings.as_view()),
    path("files", files.Files.as_view()),
    path("gauges", gauges.Gauges.as_view()),
    path("gauges/<str:code>", gauges.OneGauge.as_view()),
    path("gauges/<str:code>/change", gauges.Change.as_view()),
    path("gauges/<str:code>/checks", gauges.Checks.as_view()),
    path("gauges/<str:code>/withdraw", gauges.Withdraw.as_view()),
    path("gauges/<str:code>/return", gauges.Return.as_view()),
    path("certificates", certificates.Certificates.as_view()),
    path("certificates/<str:number>", certificates.OneCertificate.as_view()),
    path("certificates/<str:number>/facts", certificates.Facts.as_view()),
    path("certificates/<str:number>/file", certificates.File.as_view()),
    path("certificates/<str:number>/revoke", certificates.Revoke.as_view()),
]
