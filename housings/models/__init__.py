"""What is built, one file a noun."""

from housings.models.housings import Away, Hold, Housing, Visit, WorkDone
from housings.models.orders import BuildSpec, Order
from housings.models.routes import RouteDraft, RouteRevision

__all__ = [
    "Away",
    "BuildSpec",
    "Hold",
    "Housing",
    "Order",
    "RouteDraft",
    "RouteRevision",
    "Visit",
    "WorkDone",
]
