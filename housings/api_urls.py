"""Addresses of the API about what is built, under /api/v1/."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
