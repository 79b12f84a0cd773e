"""What measuring adds when housings are released (`settings.RELEASE_PLANNER`)."""

from __future__ import annotations

from collections.abc import Sequence

from housings.engineering.spec import Spec
from housings.models import Housing, Visit
from inspections.models import Characteristic
from inspections.plan_data import from_data
from inspections.planning.resolve import resolve
from inspections.queries import newest_plan
from inspections.rules import reasons_of_plan
from shopqc.operation import Run
from shopqc.refusals import Refused, refuse


def resolve_plan(run: Run, spec: Spec, housings: Sequence[Housing], pointer: str) -> None:
    """Resolve the newest plan to frozen rows for housings of one line of an order.

    ``pointer`` names the line's spec, for a refusal.
    """
    plan = newest_plan()
    if plan is None:
        raise refuse("plan_missing", pointer)
    planned = from_data(plan.characteristics)
    stations = list(
        Visit.objects.filter(housing=housings[0]).order_by("sequence").values_list("station", flat=True)
    )
    try:
        resolved = resolve(planned, spec, stations)
    except ValueError as error:
        raise refuse("plan_refused", pointer, why=str(error)) from error
    if reasons := reasons_of_plan(resolved, stations, pointer):
        raise Refused(*reasons)
    data = [entry.as_row() for entry in resolved]
    for housing in housings:
        rows = Characteristic.objects.bulk_create(
            Characteristic(housing=housing, plan=plan, **row) for row in data
        )
        run.write(housing, rows, plan=str(plan))
