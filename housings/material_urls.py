"""Addresses of the pages about steel, filler and gas."""

from django.urls import path

from housings.pages import heats, materials, recalls

urlpatterns = [
    path("materials/", heats.listing, name="heats"),
    path("materials/labels/", heats.labels, name="heat-labels"),
    path("materials/new/", heats.new, name="heat-new"),
    path("materials/<int:pk>/", heats.one, name="heat"),
    path("materials/<int:pk>/change/", heats.change, name="heat-change"),
    path("materials/<int:pk>/piece/", heats.piece, name="heat-piece"),
    path("materials/<int:pk>/labels/", heats.labels_of, name="heat-labels-of"),
    path("materials/<int:pk>/certificate/", heats.certificate, name="heat-certificate"),
    path("materials/<int:pk>/recall/", recalls.recall, name="heat-recall"),
    path("materials/<int:pk>/clear/", recalls.clear, name="heat-clear"),
    path("h/<str:serial>/materials/", materials.materials_here, name="materials-here"),
]
