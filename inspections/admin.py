"""Django's admin shows the rows of this app and does not write."""

from django.contrib import admin

from inspections.models import (
    Calibration,
    Certificate,
    CertificateEvent,
    Characteristic,
    Disposition,
    EntryDraft,
    FileColumns,
    Gauge,
    GaugeDoubt,
    IssueJob,
    Nonconformance,
    PlanDraft,
    PlanRevision,
    Reading,
    ReadingDoubt,
    SignOff,
    WeldLook,
    WeldRepair,
    WeldTest,
)
from shopqc.admin import ReadOnly

admin.site.register(
    [
        Calibration,
        Certificate,
        CertificateEvent,
        Characteristic,
        Disposition,
        EntryDraft,
        FileColumns,
        Gauge,
        GaugeDoubt,
        IssueJob,
        Nonconformance,
        PlanDraft,
        PlanRevision,
        Reading,
        ReadingDoubt,
        SignOff,
        WeldLook,
        WeldRepair,
        WeldTest,
    ],
    ReadOnly,
)
