"""Addresses of the pages on which plans are written."""

from django.urls import path

from inspections.pages import extra_visits, plan_draft_one, plan_drafts, plan_trial

urlpatterns = [
    path("h/<str:serial>/way/", extra_visits.way, name="housing-way"),
    path("plans/compare/", plan_drafts.compare, name="plans-compare"),
    path("plans/drafts/", plan_drafts.begin, name="plan-draft-begin"),
    path("plans/drafts/<int:pk>/", plan_drafts.plan_draft, name="plan-draft"),
    path("plans/drafts/<int:pk>/add/", plan_draft_one.plan_draft_one, name="plan-draft-add"),
    path("plans/drafts/<int:pk>/try/", plan_trial.plan_trial, name="plan-draft-try"),
    path("plans/drafts/<int:pk>/of/<str:code>/", plan_draft_one.plan_draft_one, name="plan-draft-one"),
]
