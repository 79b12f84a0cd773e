"""Addresses of the pages where welds are looked at, tested and repaired."""

from django.urls import path

from inspections.pages.weld_look import look
from inspections.pages.weld_repair import repair
from inspections.pages.weld_test import test, waiting

urlpatterns = [
    path("weld/tests/", waiting, name="weld-tests"),
    path("h/<str:serial>/weld/<str:code>/look/", look, name="weld-look"),
    path("h/<str:serial>/weld/<str:code>/test/", test, name="weld-test"),
    path("h/<str:serial>/weld/<str:code>/repair/", repair, name="weld-repair"),
]
