"""Addresses of the pages about what is built."""

from django.urls import include, path

from housings.pages import away, floor, housing, orders, orders_file, paper, route_drafts, routes

urlpatterns = [
    path("", include("housings.material_urls")),
    path("", include("housings.weld_urls")),
    path("", include("housings.procedure_urls")),
    path("housings/", floor.housings, name="housings"),
    path("h/", floor.open_housing, name="open-housing"),
    path("h/<str:serial>", housing.housing),  # as the code on the traveler has it, without a redirect
    path("h/<str:serial>/", housing.housing, name="housing"),
    path("h/<str:serial>/position/", housing.position, name="housing-position"),
    path("h/<str:serial>/traveler.pdf", paper.traveler_pdf, name="traveler"),
    path("h/<str:serial>/documents/<str:sha256>/", away.document, name="housing-document"),
    path("travelers.pdf", paper.travelers_pdf, name="travelers"),
    path("travelers/", paper.travelers_ask, name="travelers-ask"),
    path("travelers/<int:pk>/", paper.travelers_made, name="travelers-made"),
    path("travelers/<int:pk>.pdf", paper.travelers_file, name="travelers-file"),
    path("paper-pack/", paper.paper_pack, name="paper-pack"),
    path("paper-pack/<int:pk>.pdf", paper.paper_pack_file, name="paper-pack-file"),
    path("away/", away.away, name="away"),
    path("orders/", orders.orders, name="orders"),
    path("orders/new/", orders.order_new, name="order-new"),
    path("orders/file/", orders_file.orders_file, name="orders-file"),
    path("orders/file/<str:which>.csv", orders_file.orders_file_download, name="orders-file-download"),
    path("orders/<str:number>/", orders.order, name="order"),
    path("routes/", routes.routes, name="routes"),
    path("routes/compare/", routes.compare, name="routes-compare"),
    path("routes/drafts/<int:pk>/", route_drafts.route_draft, name="route-draft"),
]
