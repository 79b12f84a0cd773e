"""Addresses that need no sign-in: what whoever holds a certificate may ask. Can be served alone."""

from django.urls import path

from inspections.pages import public

urlpatterns = [
    path("c/<str:code>", public.certificate),  # as the code on paper has it, without a redirect
    path("c/<str:code>/", public.certificate, name="public-certificate"),
    path("c/<str:code>/certificate.pdf", public.pdf, name="public-certificate-file"),
]
