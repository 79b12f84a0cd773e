"""The route of a housing as the line of station marks that every sheet has at its left edge."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from housings import states
from housings.models import Visit

MARKS = {states.LEFT: "done", states.HERE: "here", states.AHEAD: "ahead", states.DROPPED: "dropped"}


def marks_of(visits: Iterable[Visit]) -> list[dict[str, Any]]:
    """One mark for each visit, as ``shopqc/spine.html`` takes them."""
    return [
        {
            "name": _(visit.at.name),
            "code": visit.station,
            "state": MARKS[visit.state],
            "note": _note(visit),
        }
        for visit in visits
    ]


def why_visited(visit: Visit) -> str:
    """What sort of visit it is, if it is no planned one."""
    return {Visit.REWORK: _("rework"), Visit.MEASURE: _("measure again"), Visit.EXTRA: _("extra")}.get(
        visit.kind, ""
    )


def _note(visit: Visit) -> str:
    notes = [why_visited(visit)]
    if visit.state == states.HERE and visit.arrived_at:
        notes.append(_("since %(time)s") % {"time": date_format(localtime(visit.arrived_at), "D H:i")})
    return ", ".join(filter(None, notes))
