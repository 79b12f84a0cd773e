"""What is built, one file a noun."""

from housings.models.housings import Away, Hold, Housing, Visit, WorkDone
from housings.models.orders import BuildSpec, Order
from housings.models.paper_jobs import PaperJob
from housings.models.routes import RouteDraft, RouteRevision

__all__ = [
    "Away",
    "BuildSpec",
    "Hold",
    "Housing",
    "Order",
    "PaperJob",
    "RouteDraft",
    "RouteRevision",
    "Visit",
    "WorkDone",
]
