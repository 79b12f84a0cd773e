"""Addresses of the pages about what is measured and proven."""

from django.urls import include, path

from inspections.pages import (
    certificates,
    entry,
    entry_file,
    gauges,
    gauges_wrong,
    history,
    nonconformances,
    plans,
    preview,
    sign_offs,
)
from inspections.pages.facing import facing
from inspections.pages.first import pages as first
from inspections.pages.place import place
from inspections.pages.reading import reading
from inspections.pages.trace import trace, trace_file
from inspections.pages.welded import welded

urlpatterns = [
    path("materials/<int:pk>/trace/", trace, name="trace"),
    path("materials/<int:pk>/trace.csv", trace_file, name="trace-file"),
    path("h/<str:serial>/measured/", history.readings, name="readings"),
    path("h/<str:serial>/measured/<uuid:pk>/", reading, name="reading"),
    path("h/<str:serial>/welded/", welded, name="housing-welded"),
    path("h/<str:serial>/facing/", facing, name="facing"),
    path("h/<str:serial>/place/<str:name>/", place, name="place"),
    path("h/<str:serial>/readings/", entry.entry, name="entry"),
    path("h/<str:serial>/readings/<str:code>/", entry.entry, name="entry-one"),
    path("h/<str:serial>/measured/<uuid:pk>/paper/", entry.page_of, name="reading-paper"),
    path("h/<str:serial>/readings/<str:code>/draft/", entry.draft, name="entry-draft"),
    path("h/<str:serial>/readings/<str:code>/preview/", preview.preview, name="entry-preview"),
    path("h/<str:serial>/readings/<str:code>/file/", entry_file.entry_file, name="entry-file"),
    path("h/<str:serial>/problem/", nonconformances.problem, name="problem-new"),
    path("h/<str:serial>/sign-off/", sign_offs.sign, name="sign-off"),
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
    path("sign-offs/", sign_offs.listing, name="sign-offs"),
    path("certificates/", certificates.listing, name="certificates"),
    path("certificates/<str:number>/", certificates.one, name="certificate"),
    path("certificates/<str:number>/certificate.pdf", certificates.file, name="certificate-file"),
    path("certificates/<str:number>/facts.json", certificates.frozen, name="certificate-facts"),
    path("certificates/<str:number>/revoke/", certificates.revoke, name="certificate-revoke"),
    path("certificates/<str:number>/answer/", certificates.answer, name="certificate-answer"),
    path("certificates/<str:number>/again/", certificates.again, name="certificate-again"),
    path("gauges/", gauges.listing, name="gauges"),
    path("gauges/new/", gauges.new, name="gauge-new"),
    path("gauges/labels/", gauges.labels, name="gauge-labels"),
    path("gauges/<int:pk>/", gauges.one, name="gauge"),
    path("gauges/<int:pk>/change/", gauges.change, name="gauge-change"),
    path("gauges/<int:pk>/withdraw/", gauges.withdraw, name="gauge-withdraw"),
    path("gauges/<int:pk>/return/", gauges.take_back, name="gauge-return"),
    path("gauges/<int:pk>/used/", gauges_wrong.used, name="gauge-used"),
    path("gauges/<int:pk>/wrong/", gauges_wrong.wrong, name="gauge-wrong"),
    path("gauges/<int:pk>/wrong/<int:check>/", gauges_wrong.doubted, name="gauge-doubted"),
    path("plans/", plans.listing, name="plans"),
    path("plans/<int:pk>/", plans.one, name="plan"),
    path("first/", first.overview, name="first-questions"),
    path("first/shop/", first.shop, name="first-shop"),
    path("first/paper/", first.paper, name="first-paper"),
    path("first/people/", first.people, name="first-people"),
    path("first/stations/", first.stations, name="first-stations"),
    path("first/gauges/", first.gauges, name="first-gauges"),
    path("first/rules/", first.rules, name="first-rules"),
    path("first/order/", first.order, name="first-order"),
    path("first/printing/", first.printing, name="first-printing"),
    path("", include("inspections.plan_urls")),
    path("", include("inspections.weld_urls")),
    path("", include("inspections.public_urls")),
]
