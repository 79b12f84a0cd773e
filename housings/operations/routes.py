"""Publishing a route."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db.models import Max
from django.utils.translation import gettext_lazy as _

from housings.engineering.route_groups import reasons_against_groups
from housings.engineering.route_rules import reasons_against_route
from housings.models import RouteDraft, RouteRevision
from housings.models.routes import WITH_LINKS
from shopqc.operation import Answer, Rows, Run, operation, the_shop
from shopqc.refusals import Reason, Refused, refuse, register

register(
    409,
    {"draft_gone": _("This draft was published or thrown away meanwhile.")},
)


def _the_shop(**_inputs: Any) -> list[Rows]:
    return [the_shop()]


def reasons_not_to_publish(stations: Sequence[Mapping[str, Any]]) -> list[Reason]:
    """Every reason against a route, for housings with links and without."""
    reasons: dict[str, Reason] = {}
    for links in (False, True):
        chosen = [s for s in stations if links or s.get("when") != WITH_LINKS]
        if links and not any(s.get("when") == WITH_LINKS for s in stations):
            continue  # this route is not for housings with links; an order that needs them is refused
        problems = (
            *reasons_against_route([s["station"] for s in chosen], links=links),
            *reasons_against_groups([(s["station"], s.get("group")) for s in chosen]),
        )
        for problem in problems:
            index = next((i for i, s in enumerate(stations) if s["station"] == problem.station), None)
            pointer = "/stations" if index is None else f"/stations/{index}"
            reasons.setdefault(problem.sentence, Reason("route_refused", {"why": problem.sentence}, pointer))
    return list(reasons.values())


@operation("publish_route", locks=_the_shop)
def publish_route(
    run: Run,
    *,
    name: str,
    stations: Sequence[Mapping[str, Any]],
    note: str = "",
    draft: int | None = None,
    version: int | None = None,
) -> Answer:
    """Publish the next revision of a route; housings released before keep theirs.

    ``draft`` and ``version`` name the draft it was written in: it goes with the publishing, and if somebody
    changed it meanwhile nothing is published.
    """
    if not name.strip():
        raise Refused(Reason("field_missing", field="/name"))
    if draft is not None:
        use_up(RouteDraft, draft, version)
    if reasons := reasons_not_to_publish(stations):
        raise Refused(*reasons)
    most = RouteRevision.objects.filter(name=name.strip()).aggregate(most=Max("number"))["most"] or 0
    route = RouteRevision.objects.create(
        name=name.strip(),
        number=most + 1,
        stations=[dict(station) for station in stations],
        note=note.strip(),
        published_at=run.at,
        published_by=run.by.stamp,
    )
    run.write(run.shop, route=str(route), stations=[s["station"] for s in stations])
    return {"route": route.name, "number": route.number}


def use_up(model: type[Any], draft: int, version: int | None) -> None:
    """The draft of that version is no more, because it is being published. Part of an operation."""
    gone, _rows = model.objects.filter(pk=draft, version=version).delete()
    if not gone:
        exists = model.objects.filter(pk=draft).exists()
        raise refuse("changed_meanwhile" if exists else "draft_gone")
