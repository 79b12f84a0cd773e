"""What doors and rules ask of the rows of this app."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from django.db.models import F, OuterRef, Prefetch, QuerySet, Subquery
from django.utils.translation import gettext as _

from housings import states
from housings.engineering import serials
from housings.models import (
    Away,
    Hold,
    Housing,
    Joint,
    Order,
    ProcedureRevision,
    RouteRevision,
    Visit,
    WeldPass,
    WorkDone,
)
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
        raise refuse("not_found", what=_("order"), name=number[:40])
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
        raise refuse("not_found", what=_("housing"), name=serial)
    return housing


def visits() -> QuerySet[Visit]:
    """Visits in the order in which they are made, each with the supplier at which its housing is now."""
    open_stays = Away.objects.filter(visit=OuterRef("pk"), back_at=None)
    return Visit.objects.annotate(away_at=Subquery(open_stays.values("supplier")[:1])).order_by(
        "sequence", "number"
    )


def visits_of(housing: Housing) -> list[Visit]:
    """All visits of a housing, as `visits` has them."""
    return list(visits().filter(housing=housing))


def away_at(visit: Visit) -> str | None:
    """At which supplier the housing of a visit is now; the visit was loaded by `visits`."""
    supplier: str | None = getattr(visit, "away_at", None)
    return supplier


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


def last_left(visits: Iterable[Visit]) -> Visit | None:
    """The visit that ended last, by the record."""
    left = [visit for visit in visits if visit.left_position is not None]
    return max(left, key=lambda visit: visit.left_position or 0, default=None)


def work_done_of(housing: Housing) -> list[WorkDone]:
    """Every moment that moved metal, in the order of the record."""
    return list(WorkDone.objects.filter(housing=housing).order_by("record_position"))


def newest_procedures() -> list[ProcedureRevision]:
    """The newest published revision of each procedure, by name."""
    newest: dict[str, ProcedureRevision] = {}
    for revision in ProcedureRevision.objects.order_by("name", "number"):
        newest[revision.name] = revision
    return list(newest.values())


def joints_of_housing(housing: Housing) -> list[Joint]:
    """The joints of a housing, in the order of its stations."""
    return list(Joint.objects.filter(housing=housing).order_by("number"))


def weld_passes_of(housing: Housing) -> list[WeldPass]:
    """Every weld pass that was not taken back, in the order of the record."""
    passes = WeldPass.objects.filter(housing=housing, taken_back=None)
    related = passes.select_related("joint", "welder", "filler", "gas")
    return list(related.order_by("record_position", "number"))


def in_record_order(
    work_done: Iterable[WorkDone], weld_passes: Iterable[WeldPass]
) -> list[WorkDone | WeldPass]:
    """Everything that moved metal, in the order of the record."""
    return sorted([*work_done, *weld_passes], key=lambda entry: entry.record_position)


class Moved(NamedTuple):
    """Of something that moved metal, where and when: its place in the record, station and visit."""

    record_position: int
    station: str
    visit_id: int


def moves_of(housing: Housing) -> list[Moved]:
    """Everything that moved metal on a housing, in the order of the record: one query."""
    work = WorkDone.objects.filter(housing=housing)
    passes = WeldPass.objects.filter(housing=housing, taken_back=None)
    rows = (of.order_by().values_list(*Moved._fields) for of in (work, passes))
    first, second = rows
    return [Moved(*row) for row in first.union(second, all=True).order_by("record_position")]


def holds_on(housing: Housing) -> list[Hold]:
    """What holds the housing now."""
    return list(Hold.objects.filter(housing=housing, released_at=None).order_by("number"))


def is_still_here(housing: Housing) -> bool:
    """Whether a housing can be kept from going on: it has not ended and has a visit to make."""
    ended = housing.state in {states.SCRAPPED, states.CANCELLED}
    open_visits = housing.visits.filter(state__in=[states.AHEAD, states.HERE])
    if housing.state == states.SIGNED_OFF:
        return open_visits.exists()
    return not ended


def stays_away_of(housing: Housing) -> list[Away]:
    """Every stay at a supplier, oldest first; those that were taken back included."""
    return list(Away.objects.filter(housing=housing).select_related("visit").order_by("number"))


def away_now(actor: Actor) -> QuerySet[Away]:
    """Every stay at a supplier that has not ended, the one expected first at the top."""
    stays = Away.objects.filter(back_at=None).select_related("housing__order__customer", "visit")
    stays = stays.filter(housing__order__customer=actor.customer) if actor.customer else stays
    return stays.order_by(F("expected_on").asc(nulls_last=True), "sent_at")


def newest_route(name: str) -> RouteRevision | None:
    """The newest published revision of a route."""
    return RouteRevision.objects.filter(name=name).order_by("-number").first()


def with_progress(housings: QuerySet[Housing]) -> QuerySet[Housing]:
    """Housings with visits and open holds loaded, for lists: a fixed number of queries."""
    return housings.prefetch_related(
        Prefetch("visits", queryset=visits(), to_attr="all_visits"),
        Prefetch("holds", queryset=Hold.objects.filter(released_at=None), to_attr="open_holds"),
    )
