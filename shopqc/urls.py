"""Addresses: wiring only."""

from django.urls import path

from shopqc import pages

urlpatterns = [
    path("health/", pages.health, name="health"),
]
