"""The watch for fire after the last arc: until when somebody stays and looks, and what was found."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from housings.models import FireWatch
from housings.weld_queries import arcs_on as arcs_on_now
from housings.weld_queries import last_arc_of_shop
from shopqc.models import Shop

# Further back nothing is asked for any more; the shop has been watched or has not burnt down.
FORGOTTEN_AFTER = datetime.timedelta(hours=24)


@dataclass(frozen=True)
class Watch:
    """The watch that is due.

    ``is_over``: it has lasted as long as the shop asks, and what was found has not been said yet.
    ``arcs_on``: so many arcs burn now; the watch begins anew after the last of them.
    """

    last_arc_at: datetime.datetime
    until: datetime.datetime
    is_over: bool
    arcs_on: int


def watch_at(at: datetime.datetime, shop: Shop) -> Watch | None:
    """The watch after the last arc in the shop; ``None`` if none is due, or what was found was said."""
    last, arcs_on = last_arc_of_shop(), arcs_on_now().count()
    if last is None or at - last > FORGOTTEN_AFTER:
        return None
    said = FireWatch.objects.order_by("-last_arc_at").first()
    if said is not None and said.last_arc_at >= last and not arcs_on:
        return None
    until = last + datetime.timedelta(minutes=shop.fire_watch_minutes)
    return Watch(last, until, not arcs_on and at >= until, arcs_on)
