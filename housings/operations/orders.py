"""From an order to housings: whole, or refused with every reason."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.utils.module_loading import import_string
from django.utils.translation import gettext as _

from housings import queries, states
from housings.engineering import serials
from housings.engineering.fit_rules import reasons_against
from housings.engineering.route_rules import reasons_against_route
from housings.engineering.spec import Spec, SpecErrors, spec_from
from housings.models import BuildSpec, Housing, Order, RouteRevision, Visit
from housings.models.routes import RouteStation
from housings.operations.joints import lay_joints
from shopqc.models import Customer
from shopqc.operation import Answer, Rows, Run, counter, operation, the_shop
from shopqc.refusals import Reason, Refused, refuse

ORDERS, SERIALS = "order", "serial"
DEFAULT_ROUTE = "standard"
MOST_HOUSINGS = 50


@dataclass(frozen=True)
class Line:
    """One line of an order, checked."""

    quantity: int
    spec: Spec
    route: RouteRevision
    stations: Sequence[RouteStation]


def check_lines(
    lines: Sequence[Mapping[str, Any]],
    newest: Callable[[str], RouteRevision | None] = queries.newest_route,
) -> list[Line]:
    """Every line checked against the fit rules and the routes; ``newest`` finds a route by its name.

    Raises
    ------
    Refused
        With every reason of every line, each with its field.
    """
    reasons: list[Reason] = []
    checked: list[Line] = []
    if not lines:
        reasons.append(Reason("field_missing", field="/lines"))
    if sum(line["quantity"] for line in lines) > MOST_HOUSINGS:
        why = f"An order has at most {MOST_HOUSINGS} housings; split it."
        reasons.append(Reason("field_wrong", {"why": why}, "/lines"))
    for index, line in enumerate(lines):
        at = f"/lines/{index}"
        if line["quantity"] < 1:
            reasons.append(Reason("field_wrong", {"why": "Order at least one."}, f"{at}/quantity"))
        try:
            spec = spec_from(line["spec"])
        except SpecErrors as error:
            reasons += [
                Reason("spec_does_not_fit", {"why": problem.sentence}, f"{at}/spec/{problem.field}")
                for problem in error.problems
            ]
            continue
        reasons += [
            Reason("spec_does_not_fit", {"why": problem.sentence}, f"{at}/spec/{problem.field}")
            for problem in reasons_against(spec)
        ]
        name = line.get("route") or DEFAULT_ROUTE
        route = newest(name)
        if route is None:
            reasons.append(Reason("route_unknown", {"name": name}, f"{at}/route"))
            continue
        stations = list(route.stations_for(links=spec.links))
        reasons += [
            Reason("route_refused", {"why": problem.sentence}, f"{at}/route")
            for problem in reasons_against_route([entry.station for entry in stations], links=spec.links)
        ]
        checked.append(Line(line["quantity"], spec, route, stations))
    if reasons:
        raise Refused(*reasons)
    return checked


def _counters(**_inputs: Any) -> list[Rows]:
    return [the_shop(), counter(ORDERS), counter(SERIALS)]


@operation("place_order", locks=_counters)
def place_order(
    run: Run,
    *,
    customer: str,
    reference: str,
    lines: Sequence[Mapping[str, Any]],
    due_on: str | None = None,
    note: str = "",
) -> Answer:
    """Place an order and release its housings to the floor.

    Each line is ``{"quantity": n, "spec": {…}, "route": name or None}``. The
    answer names the order's number and the serials, line by line.
    """
    buyer = Customer.objects.filter(code=customer).first()
    if buyer is None or (run.by.customer is not None and buyer.pk != run.by.customer):
        raise refuse("not_found", "/customer", what=_("customer"), name=customer)
    if not reference.strip():
        raise refuse("field_missing", "/reference")
    known = Order.objects.filter(customer=buyer, reference=reference).first()
    if known:
        raise refuse("order_known", "/reference", customer=customer, reference=reference, number=known.number)
    checked = check_lines(lines)
    order = Order.objects.create(
        number=f"{1000 + run.next_number(ORDERS)}",
        customer=buyer,
        reference=reference,
        due_on=datetime.date.fromisoformat(due_on) if due_on else None,
        note=note,
        placed_at=run.at,
        placed_by=run.by.stamp,
    )
    plan = import_string(settings.RELEASE_PLANNER)
    answer: list[dict[str, Any]] = []
    specs = []
    for index, line in enumerate(checked):
        spec = BuildSpec.objects.create(
            order=order, line=index + 1, quantity=line.quantity, data=line.spec.as_json()
        )
        specs.append(spec)
        made = [_release(run, order, spec, line) for _ in range(line.quantity)]
        plan(run, line.spec, made, f"/lines/{index}/spec")
        lay_joints(run, line.spec, made)
        answer += [{"serial": housing.serial, "line": index + 1} for housing in made]
    run.write(order, specs, customer=customer, reference=reference, housings=[h["serial"] for h in answer])
    return {"order": order.number, "reference": reference, "housings": answer}


def _release(run: Run, order: Order, spec: BuildSpec, line: Line) -> Housing:
    housing = Housing.objects.create(
        serial=serials.serial_from(run.shop.serial_prefix, run.next_number(SERIALS)),
        order=order,
        spec=spec,
        route=line.route,
        released_at=run.at,
    )
    Visit.objects.bulk_create(
        Visit(housing=housing, number=n, sequence=n, station=entry.station, group=entry.group)
        for n, entry in enumerate(line.stations, start=1)
    )
    run.write(
        housing,
        order=order.number,
        route=str(line.route),
        visits=[entry.station for entry in line.stations],
    )
    return housing


def _order_of(*, housing: str, **_inputs: Any) -> list[Rows]:
    return [Rows(Housing, "serial", [housing])]


@operation("cancel_housing", locks=_order_of)
def cancel_housing(run: Run, *, housing: str, why: str) -> Answer:
    """Cancel a housing that is not signed off; what is ahead of it is dropped."""
    row = run.get(Housing, housing)
    if not why.strip():
        raise refuse("reason_needed", "/why")
    if row.state not in {states.RELEASED, states.IN_WORK}:
        raise refuse("housing_ended", state=states.HOUSING_WORDS[row.state])
    end_housing(run, row, states.CANCELLED)
    run.write(row, why=why.strip())
    return {"housing": housing, "state": row.state}


def end_housing(run: Run, housing: Housing, state: str) -> None:
    """Scrapped or cancelled: no visit is ahead any more. Part of an operation that holds the housing."""
    change_state(run, housing, state)
    dropped = Visit.objects.filter(housing=housing, state__in=[states.AHEAD, states.HERE])
    dropped.update(state=states.DROPPED)


def change_state(run: Run, housing: Housing, state: str) -> None:
    """Change the state of a housing this run holds, as the table of changes allows."""
    states.check_change(states.HOUSING_MAY_BECOME, housing.state, state)
    changed = Housing.objects.filter(pk=housing.pk, state=housing.state).update(state=state)
    if changed != 1:
        raise RuntimeError(f"{housing.serial} changed its state while {run.name} held it.")
    run.write(housing, state={"before": housing.state, "after": state})
    housing.state = state
