"""What is measured and proven, one file a noun."""

from inspections.models.certificates import Certificate, CertificateEvent, IssueJob, SignOff
from inspections.models.files import FileColumns
from inspections.models.gauges import Calibration, Gauge, GaugeDoubt
from inspections.models.nonconformances import Disposition, Nonconformance
from inspections.models.plans import Characteristic, PlanDraft, PlanRevision
from inspections.models.readings import EntryDraft, Reading, ReadingDoubt
from inspections.models.welds import WeldLook, WeldRepair, WeldTest

__all__ = [
    "Calibration",
    "Certificate",
    "CertificateEvent",
    "Characteristic",
    "Disposition",
    "EntryDraft",
    "FileColumns",
    "Gauge",
    "GaugeDoubt",
    "IssueJob",
    "Nonconformance",
    "PlanDraft",
    "PlanRevision",
    "Reading",
    "ReadingDoubt",
    "SignOff",
    "WeldLook",
    "WeldRepair",
    "WeldTest",
]
