"""Addresses of the API about steel, filler and gas, under /api/v1/."""

from django.urls import path

from housings.api import heats

urlpatterns = [
    path("heats", heats.Heats.as_view()),
    path("heats/<str:number>", heats.OneHeat.as_view()),
    path("heats/<str:number>/change", heats.ChangeHeat.as_view()),
    path("heats/<str:number>/pieces", heats.Pieces.as_view()),
    path("heats/<str:number>/recall", heats.Recall.as_view()),
    path("heats/<str:number>/clear", heats.Clear.as_view()),
    path("housings/<str:serial>/materials", heats.Materials.as_view()),
]
