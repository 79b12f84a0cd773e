"""The watch for fire after the last arc of the shop."""

from __future__ import annotations

import datetime
from typing import Any

from housings import weld_queries
from housings.models import FireWatch
from housings.weld_rules import clock
from shopqc.operation import Answer, Rows, Run, operation, the_shop
from shopqc.refusals import refuse


def _the_shop(**_inputs: Any) -> list[Rows]:
    return [the_shop()]


@operation("end_fire_watch", locks=_the_shop)
def end_fire_watch(run: Run, *, found: str = "") -> Answer:
    """Somebody watched for fire since the last arc, as long as the shop says; ``found`` is what they saw."""
    if arc := weld_queries.arcs_on().first():
        raise refuse(
            "arc_on_now",
            stamp=arc.welder.stamp,
            joint=arc.joint.name,
            serial=arc.housing.serial_grouped,
            since=clock(arc.begun_at, run.at),
        )
    last = weld_queries.last_arc_of_shop()
    if last is None:
        raise refuse("no_arc_yet")
    before = FireWatch.objects.filter(last_arc_at=last).first()
    if before is not None:
        raise refuse("watched_already", stamp=before.by_stamp)
    until = last + datetime.timedelta(minutes=run.shop.fire_watch_minutes)
    if run.at < until:
        raise refuse("watch_not_over", until=clock(until, run.at))
    watch = FireWatch(
        last_arc_at=last, watched_until=run.at, found=found.strip(), at=run.at, by_stamp=run.by.stamp
    )
    watch.save(force_insert=True)
    run.write(run.shop, [watch], found=watch.found)
    return {"last_arc_at": last, "watched_until": run.at}
