"""Addresses of the API about what is measured and proven, under /api/v1/."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
