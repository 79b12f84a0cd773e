"""Addresses of the pages about welding procedures and about who may weld by them."""

from django.urls import path

from housings.pages import joint_procedure, procedure_drafts, procedures, welders

urlpatterns = [
    path("procedures/", procedures.procedures, name="procedures"),
    path("procedures/new/", procedures.procedure_new, name="procedure-new"),
    path("procedures/<int:pk>/", procedures.procedure, name="procedure"),
    path("procedures/<int:pk>/document/", procedures.procedure_document, name="procedure-document"),
    path("procedures/drafts/<int:pk>/", procedure_drafts.procedure_draft, name="procedure-draft"),
    path("welders/", welders.welders, name="welders"),
    path("welders/<str:stamp>/", welders.welder, name="welder"),
    path("qualifications/<int:pk>/document/", welders.qualification_document, name="qualification-document"),
    path(
        "h/<str:serial>/weld/<str:code>/procedure/", joint_procedure.joint_procedure, name="joint-procedure"
    ),
]
