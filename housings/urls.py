"""Addresses of the pages about what is built."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
