"""Publishing a plan of measuring."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db.models import Max

from housings.engineering.spec import spec_from
from housings.operations.routes import use_up
from housings.queries import newest_route
from inspections.models import PlanDraft, PlanRevision
from inspections.plan_data import from_data, to_data
from inspections.planning.resolve import resolve
from inspections.rules import reasons_of_plan
from shopqc.operation import Answer, Rows, Run, operation, the_shop
from shopqc.refusals import Refused, refuse


def _the_shop(**_inputs: Any) -> list[Rows]:
    return [the_shop()]


@operation("publish_plan", locks=_the_shop)
def publish_plan(
    run: Run,
    *,
    name: str,
    spec: Mapping[str, Any],
    characteristics: Sequence[Mapping[str, Any]] | None = None,
    route: str = "standard",
    note: str = "",
    draft: int | None = None,
    version: int | None = None,
) -> Answer:
    """Publish the next revision of a plan; housings released before keep theirs.

    It is tried on a build spec and the newest revision of ``route``, and
    refused with every reason: something due nowhere after it can move, hidden
    before it is due, limits the wrong way round.

    Instead of ``characteristics``, ``draft`` and ``version`` name the draft that has them: it goes with the
    publishing, and if somebody changed it meanwhile nothing is published.
    """
    if not name.strip():
        raise refuse("field_missing", "/name")
    if draft is not None:
        written = PlanDraft.objects.filter(pk=draft, version=version or 0).first()
        use_up(PlanDraft, draft, version)
        characteristics = written.characteristics if written else []
    tried_on = newest_route(route)
    if tried_on is None:
        raise refuse("route_unknown", "/route", name=route)
    try:
        plan, built = from_data(characteristics or []), spec_from(spec)
        stations = [entry.station for entry in tried_on.stations_for(links=built.links)]
        reasons = reasons_of_plan(resolve(plan, built, stations), stations, "/characteristics")
    except ValueError as error:
        raise refuse("plan_refused", "/characteristics", why=str(error)) from error
    if reasons:
        raise Refused(*reasons)
    most = PlanRevision.objects.filter(name=name.strip()).aggregate(most=Max("number"))["most"] or 0
    row = PlanRevision.objects.create(
        name=name.strip(),
        number=most + 1,
        characteristics=to_data(plan),
        note=note.strip(),
        published_at=run.at,
        published_by=run.by.stamp,
    )
    run.write(run.shop, plan=str(row), characteristics=[entry.code for entry in plan])
    return {"plan": row.name, "number": row.number}
