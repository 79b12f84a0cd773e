"""What is built, one file a noun."""

from housings.models.housings import Away, Hold, Housing, Visit, WorkDone
from housings.models.joints import FitUp, Joint, JointProcedure, JointSettings
from housings.models.materials import Heat, MaterialUse, Piece
from housings.models.orders import BuildSpec, Order
from housings.models.paper_jobs import PaperJob
from housings.models.procedures import ProcedureDraft, ProcedureRevision
from housings.models.routes import RouteDraft, RouteRevision
from housings.models.welders import ProcessUse, Qualification, QualificationEnd, WelderDoubt
from housings.models.welds import (
    Arc,
    CoolingLearned,
    FireWatch,
    JointTemperature,
    PassTakenBack,
    WeldPass,
)

__all__ = [
    "Arc",
    "Away",
    "BuildSpec",
    "CoolingLearned",
    "FireWatch",
    "FitUp",
    "Heat",
    "Hold",
    "Housing",
    "Joint",
    "JointProcedure",
    "JointSettings",
    "JointTemperature",
    "MaterialUse",
    "Order",
    "PaperJob",
    "PassTakenBack",
    "Piece",
    "ProcedureDraft",
    "ProcedureRevision",
    "ProcessUse",
    "Qualification",
    "QualificationEnd",
    "RouteDraft",
    "RouteRevision",
    "Visit",
    "WeldPass",
    "WelderDoubt",
    "WorkDone",
]
