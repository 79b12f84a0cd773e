"""Addresses of the pages about what is measured and proven."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
