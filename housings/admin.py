"""Django's admin shows what is built and does not write it."""

from django.contrib import admin

from housings.models import (
    Arc,
    Away,
    BuildSpec,
    CoolingLearned,
    FireWatch,
    FitUp,
    Heat,
    Hold,
    Housing,
    Joint,
    JointProcedure,
    JointSettings,
    JointTemperature,
    MaterialUse,
    Order,
    PassTakenBack,
    Piece,
    ProcedureDraft,
    ProcedureRevision,
    ProcessUse,
    Qualification,
    QualificationEnd,
    RouteDraft,
    RouteRevision,
    Visit,
    WelderDoubt,
    WeldPass,
    WorkDone,
)
from shopqc.admin import ReadOnly

BUILT = [Away, BuildSpec, Hold, Housing, Order, RouteDraft, RouteRevision, Visit, WorkDone]
WELDED = [
    Arc,
    CoolingLearned,
    FireWatch,
    FitUp,
    Joint,
    JointProcedure,
    JointSettings,
    JointTemperature,
    PassTakenBack,
    WeldPass,
]
PROCEDURES_AND_WELDERS = [
    ProcedureDraft,
    ProcedureRevision,
    ProcessUse,
    Qualification,
    QualificationEnd,
    WelderDoubt,
]
STEEL = [Heat, MaterialUse, Piece]

admin.site.register([*BUILT, *WELDED, *PROCEDURES_AND_WELDERS, *STEEL], ReadOnly)
