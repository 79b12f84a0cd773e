"""What the pages about one weld have in common: the joint as it stands, and what is in the way."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.http import HttpRequest
from django.utils.translation import gettext as _

from housings import gate, queries
from housings.engineering.stations import STATIONS
from housings.models import Housing, Visit
from housings.rules import reasons_of_away, reasons_of_state
from housings.spine import marks_of
from housings.weld_queries import JointState
from inspections.weld_queries import WeldRecord
from shopqc.doors import actor_at
from shopqc.people import Actor
from shopqc.refusals import Reason, refuse


@dataclass
class WeldPage:
    """One joint of one housing, as somebody at a page looks at it."""

    request: HttpRequest
    serial: str
    code: str

    @cached_property
    def actor(self) -> Actor:
        return actor_at(self.request)

    @cached_property
    def housing(self) -> Housing:
        return queries.housing_by_serial(self.actor, self.serial)

    @cached_property
    def situation(self) -> gate.Situation:
        return gate.Situation(self.housing)

    @cached_property
    def record(self) -> WeldRecord:
        return self.situation.kept(WeldRecord)

    @cached_property
    def state(self) -> JointState:
        found = self.record.state_of(self.code)
        if found is None:
            raise refuse("not_found", what=_("joint"), name=self.code[:40])
        return found

    @cached_property
    def here(self) -> Visit | None:
        return queries.visit_here(self.situation.visits)

    def reasons_against(self, operation: str) -> list[Reason]:
        """Why nothing can be judged here now, whatever is found."""
        reasons = [*self.actor.reasons_against(operation), *reasons_of_state(self.housing)]
        if self.here is None:
            reasons.append(Reason("weld_nowhere"))
        return reasons + reasons_of_away(self.situation.visits)

    def reason_of_nothing(self) -> list[Reason]:
        """Whether there is a weld to be judged."""
        if self.record.last_welded(self.state) is not None:
            return []
        return [Reason("nothing_welded", {"joint": self.state.joint.name})]

    def context(self) -> dict[str, Any]:
        """What every page of a weld shows."""
        station = STATIONS[self.here.station] if self.here else None
        return {
            "housing": self.housing,
            "joint": self.state.joint,
            "state": self.state,
            "stations": marks_of(self.situation.visits),
            "level": self.state.procedure.level if self.state.procedure else "",
            "revision": self.state.revision,
            "cautions": station.cautions if station else (),
        }
