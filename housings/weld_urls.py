"""Addresses of the welding bench."""

from django.urls import path

from housings.pages import weld

urlpatterns = [
    path("weld/", weld.clock, name="bench-clock"),
    path("weld/lines/", weld.lines, name="bench-clock-lines"),
    path("weld/fire-watch/", weld.fire_watch, name="fire-watch"),
    path("h/<str:serial>/weld/", weld.housing_welds, name="housing-welds"),
    path("h/<str:serial>/weld/<str:code>/", weld.joint, name="joint"),
]
