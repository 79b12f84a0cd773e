"""Addresses of the API about welding procedures and who may weld by them, under /api/v1/."""

from django.urls import path

from housings.api import people, procedures

urlpatterns = [
    path("procedures", procedures.Procedures.as_view()),
    path("procedures/<int:pk>", procedures.OneProcedure.as_view()),
    path("housings/<str:serial>/joints/<str:code>/procedure", procedures.JointProcedureOf.as_view()),
    path("people/<str:stamp>/qualifications", people.Qualifications.as_view()),
    path("people/<str:stamp>/housings", people.Welded.as_view()),
    path("people/<str:stamp>/uses", people.Uses.as_view()),
    path("people/<str:stamp>/doubts", people.Doubts.as_view()),
    path("qualifications/<int:pk>/withdraw", people.EndQualification.as_view()),
    path("doubts/<int:pk>/answer", people.AnswerDoubt.as_view()),
]
