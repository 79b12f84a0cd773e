"""Addresses of the API about what is built, under /api/v1/."""

from django.urls import URLPattern, URLResolver, include, path

from housings.api import fire_watch, housings, joints, orders

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("housings.material_api_urls")),
    path("", include("housings.procedure_api_urls")),
    path("orders", orders.Orders.as_view()),
    path("travelers.pdf", housings.Travelers.as_view()),
    path("housings", housings.Housings.as_view()),
    path("housings/<str:serial>/arrive", housings.Arrive.as_view()),
    path("housings/<str:serial>/work-done", housings.WorkDone.as_view()),
    path("housings/<str:serial>/leave", housings.Leave.as_view()),
    path("housings/<str:serial>/undo-arrival", housings.UndoArrival.as_view()),
    path("housings/<str:serial>/undo-leaving", housings.UndoLeaving.as_view()),
    path("housings/<str:serial>/send-to-supplier", housings.SendToSupplier.as_view()),
    path("housings/<str:serial>/back-from-supplier", housings.BackFromSupplier.as_view()),
    path("housings/<str:serial>/conformity", housings.Conformity.as_view()),
    path("housings/<str:serial>/recall-from-supplier", housings.RecallFromSupplier.as_view()),
    path("housings/<str:serial>/hold", housings.Hold.as_view()),
    path("housings/<str:serial>/release", housings.Release.as_view()),
    path("housings/<str:serial>/cancel", housings.Cancel.as_view()),
    path("housings/<str:serial>/joints", joints.Joints.as_view()),
    path("housings/<str:serial>/joints/<str:code>/fit-up", joints.FitUp.as_view()),
    path("housings/<str:serial>/joints/<str:code>/settings", joints.Settings.as_view()),
    path("housings/<str:serial>/joints/<str:code>/temperatures", joints.Temperatures.as_view()),
    path("housings/<str:serial>/joints/<str:code>/begin", joints.Begin.as_view()),
    path("housings/<str:serial>/joints/<str:code>/drop-arc", joints.DropArc.as_view()),
    path("housings/<str:serial>/joints/<str:code>/passes", joints.Passes.as_view()),
    path("housings/<str:serial>/joints/<str:code>/take-back", joints.TakeBack.as_view()),
    path("fire-watch", fire_watch.FireWatch.as_view()),
    path("housings/<str:serial>/traveler.pdf", housings.Traveler.as_view()),
]
