"""What is built, one file a noun."""

from housings.models.housings import Hold, Housing, Visit, WorkDone
from housings.models.orders import BuildSpec, Order
from housings.models.routes import RouteRevision

__all__ = ["BuildSpec", "Hold", "Housing", "Order", "RouteRevision", "Visit", "WorkDone"]
