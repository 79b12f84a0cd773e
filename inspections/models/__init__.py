"""What is measured and proven, one file a noun."""

from inspections.models.certificates import Certificate, CertificateEvent, IssueJob, SignOff
from inspections.models.gauges import Calibration, Gauge
from inspections.models.nonconformances import Disposition, Nonconformance
from inspections.models.plans import Characteristic, PlanRevision
from inspections.models.readings import Reading

__all__ = [
    "Calibration",
    "Certificate",
    "CertificateEvent",
    "Characteristic",
    "Disposition",
    "Gauge",
    "IssueJob",
    "Nonconformance",
    "PlanRevision",
    "Reading",
    "SignOff",
]
