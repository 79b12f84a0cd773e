"""Every joint of one housing: how it stands, and where it is welded."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from housings import gate, queries
from housings.engineering.stations import STATIONS
from housings.spine import marks_of
from housings.weld_queries import JointState
from housings.weld_rules import standing_joints
from shopqc.doors import actor_at, for_roles


@dataclass(frozen=True)
class AtStation:
    """The joints that are welded at one station."""

    name: str
    is_here: bool
    joints: list[tuple[JointState, str]]


@for_roles()
@require_safe
def housing_welds(request: HttpRequest, serial: str) -> HttpResponse:
    """List the joints of a housing by station, the present one first."""
    row = queries.housing_by_serial(actor_at(request), serial)
    if row.serial != serial:
        return redirect("housing-welds", serial=row.serial)
    situation = gate.Situation(row)
    stations: dict[str, list[JointState]] = {}
    for state in situation.kept(standing_joints):
        stations.setdefault(state.joint.station, []).append(state)
    found = [
        AtStation(
            _(STATIONS[code].name),
            any(state.is_here for state in joints),
            [(state, _stamps(state)) for state in joints],
        )
        for code, joints in stations.items()
    ]
    context = {
        "housing": row,
        "stations": marks_of(situation.visits),
        "at_stations": sorted(found, key=lambda one: not one.is_here),
    }
    return render(request, "housings/weld/housing_welds.html", context)


def _stamps(state: JointState) -> str:
    """Who has welded a joint, each once, in their order."""
    return ", ".join(dict.fromkeys(one.welder.stamp for one in state.passes))
