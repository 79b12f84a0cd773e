"""Addresses: wiring only."""

from django.contrib import admin
from django.urls import include, path, re_path

from shopqc import problems
from shopqc.api_views import NothingHere
from shopqc.pages import customers, devices, every, home, keys, people, record_book, settings, sign_in

urlpatterns = [
    path("", home.home, name="home"),
    path("sign-in/", sign_in.sign_in, name="sign-in"),
    path("sign-out/", sign_in.sign_out, name="sign-out"),
    path("shop/", settings.settings, name="settings"),
    path("shop/people/", people.people, name="people"),
    path("shop/people/new/", people.person_new, name="person-new"),
    path("shop/people/by-stamp/<str:stamp>/", people.person, name="person"),
    path("shop/customers/", customers.customers, name="customers"),
    path("shop/devices/", devices.devices, name="devices"),
    path("device/<str:token>/", devices.become_device, name="become-device"),
    path("shop/keys/", keys.keys, name="keys"),
    path("record-book/<str:chain>/", record_book.record_book, name="record-book"),
    path("admin/", admin.site.urls),
    path("health/", every.health, name="health"),
    path("api/v1/", include("housings.api_urls")),
    path("api/v1/", include("inspections.api_urls")),
    path("api/problems/<str:code>", problems.ProblemKind.as_view(), name="problem"),
    re_path("^api/", NothingHere.as_view()),
    path("", include("housings.urls")),
    path("", include("inspections.urls")),
]

handler400 = problems.bad_request
handler500 = problems.server_error
