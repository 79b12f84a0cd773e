"""What doors and rules ask of the rows of this app."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.db.models import Prefetch, QuerySet

from housings import states
from housings.engineering import serials
from housings.models import Hold, Housing, Order, RouteRevision, Visit, WorkDone
from shopqc.people import Actor
from shopqc.refusals import refuse


def housings_for(actor: Actor) -> QuerySet[Housing]:
    """The housings an actor may know of: all, or those of the one customer its key is for."""
    housings = Housing.objects.select_related("order__customer", "spec", "route")
    return housings.filter(order__customer=actor.customer) if actor.customer else housings


def orders_for(actor: Actor) -> QuerySet[Order]:
    """The orders an actor may know of: all, or those of the one customer its key is for."""
    orders = Order.objects.select_related("customer")
    return orders.filter(customer=actor.customer) if actor.customer else orders


def order_by_number(actor: Actor, number: str) -> Order:
    """One order; 404 also for what belongs to another customer."""
    order = orders_for(actor).filter(number=number).first()
    if order is None:
        raise refuse("not_found", what="order", name=number[:40])
    return order


def serial_of(typed: str, field: str | None = None) -> str:
    """The serial somebody typed or scanned, checked; refuses one whose check characters disagree."""
    try:
        return serials.parse(typed).text
    except serials.SerialProblem as error:
        raise refuse("serial_wrong", field, serial=typed[:40], why=str(error)) from None


def housing_by_serial(actor: Actor, typed: str) -> Housing:
    """One housing; 404 also for what belongs to another customer."""
    serial = serial_of(typed)
    housing = housings_for(actor).filter(serial=serial).first()
    if housing is None:
        raise refuse("not_found", what="housing", name=serial)
    return housing


def visits_of(housing: Housing) -> list[Visit]:
    """All visits in the order in which they are made."""
    return list(Visit.objects.filter(housing=housing).order_by("sequence", "number"))


def visit_here(visits: Iterable[Visit]) -> Visit | None:
    """Where the housing is now, if it is anywhere."""
    return next((visit for visit in visits if visit.state == states.HERE), None)


def next_visits(visits: Sequence[Visit]) -> list[Visit]:
    """Which visits may come next: the first one ahead, and those of its group that are ahead too."""
    ahead = [visit for visit in visits if visit.state == states.AHEAD]
    if not ahead:
        return []
    first = ahead[0]
    return [
        visit for visit in ahead if visit is first or (first.group is not None and visit.group == first.group)
    ]


def work_done_of(housing: Housing) -> list[WorkDone]:
    """Every moment that moved metal, in the order of the record."""
    return list(WorkDone.objects.filter(housing=housing).order_by("record_position"))


def holds_on(housing: Housing) -> list[Hold]:
    """What holds the housing now."""
    return list(Hold.objects.filter(housing=housing, released_at=None).order_by("number"))


def newest_route(name: str) -> RouteRevision | None:
    """The newest published revision of a route."""
    return RouteRevision.objects.filter(name=name).order_by("-number").first()


def with_progress(housings: QuerySet[Housing]) -> QuerySet[Housing]:
    """Housings with visits and open holds loaded, for lists: a fixed number of queries."""
    return housings.prefetch_related(
        Prefetch("visits", queryset=Visit.objects.order_by("sequence", "number"), to_attr="all_visits"),
        Prefetch("holds", queryset=Hold.objects.filter(released_at=None), to_attr="open_holds"),
    )
