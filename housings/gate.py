"""The gate: may this step be taken? One question, one answer, no second way round it.

This module owns the question and the shape of the answer and knows what the
housings themselves say. What measuring says comes from the answerer that
``settings.STATION_GATE`` names; without one the program does not start
(`shopqc.checks`). Operations ask after their locks; pages ask the same
function beforehand, so that what is in the way stands on the dead button.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from typing import Any, TypeVar

from django.conf import settings
from django.utils.module_loading import import_string

from housings import material_rules, queries, rules, weld_rules
from housings.models import Away, Hold, Housing, Joint, JointTemperature, Visit, WeldPass, WorkDone
from shopqc.models import Shop
from shopqc.people import Actor
from shopqc.refusals import Reason, Refused
from shopqc.rules import in_use, the_shop

T = TypeVar("T")


@dataclass(frozen=True)
class Start:
    """May work at this station begin?"""

    station: str


@dataclass(frozen=True)
class Leave:
    """May this visit end?"""

    visit: Visit


@dataclass(frozen=True)
class SignOff:
    """May somebody sign for the housing?"""


@dataclass(frozen=True)
class TakeBack:
    """May an arrival that somebody recorded by mistake be taken back?"""

    visit: Visit
    by: Actor


@dataclass(frozen=True)
class NextPass:
    """May the next weld pass of a joint begin, by this welder, at this moment?

    ``temperatures`` are those that come with the asking and are not on record yet. ``is_over``: the pass was
    welded, nobody recorded its beginning, and ``at`` is the end of its arc.
    """

    joint: Joint
    by: Actor
    at: datetime.datetime
    temperatures: Sequence[JointTemperature] = ()
    repair: int = 0
    is_over: bool = False


Step = Start | Leave | SignOff | TakeBack | NextPass
Move = WorkDone | WeldPass


@dataclass
class Situation:
    """A housing as the gate sees it; what several answers need is read once."""

    housing: Housing
    _kept: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    def kept(self, make: Callable[[Situation], T]) -> T:
        """What ``make`` reads of this situation, read once however often the gate is asked."""
        if make not in self._kept:
            self._kept[make] = make(self)
        kept: T = self._kept[make]
        return kept

    def keep(self, make: Callable[[Situation], T], read: T) -> None:
        """Keep what ``make`` would read, because it was read for many housings together."""
        self._kept[make] = read

    @cached_property
    def visits(self) -> list[Visit]:
        return queries.visits_of(self.housing)

    @cached_property
    def work_done(self) -> list[WorkDone]:
        return queries.work_done_of(self.housing)

    @cached_property
    def weld_passes(self) -> list[WeldPass]:
        return queries.weld_passes_of(self.housing)

    @cached_property
    def moves(self) -> list[Move]:
        """Everything that moved metal, work and weld passes, in the order of the record."""
        return queries.in_record_order(self.work_done, self.weld_passes)

    @cached_property
    def holds(self) -> list[Hold]:
        return queries.holds_on(self.housing)

    @cached_property
    def stays_away(self) -> list[Away]:
        return queries.stays_away_of(self.housing)

    @cached_property
    def shop(self) -> Shop:
        return the_shop()

    @cached_property
    def in_use(self) -> frozenset[str]:
        return in_use(self.shop)


Answer = tuple[Reason, ...]


@cache
def _answerer(name: str) -> Callable[[Situation, Step], Answer]:
    answerer: Callable[[Situation, Step], Answer] = import_string(name)
    return answerer


def ask(situation: Situation, step: Step) -> Answer:
    """Every reason against a step; free only if there is none."""
    housing = situation.housing
    match step:
        case Start(station):
            own = rules.reasons_not_to_start(housing, station, situation.visits, situation.holds)
        case Leave(visit):
            stays = situation.stays_away if visit.at.supplier_possible else ()
            own = rules.reasons_not_to_leave(
                housing, visit, situation.holds, situation.work_done, situation.in_use, stays
            )
            own += material_rules.reasons_against_leaving(situation, visit)
            own += weld_rules.reasons_against_leaving(situation, visit)
        case TakeBack(visit, by):
            own = rules.reasons_not_to_take_back(
                by, visit.arrived_by, visit, situation.moves, situation.stays_away
            ) or weld_rules.reasons_not_to_take_back(situation, visit)
        case NextPass():
            own = weld_rules.reasons_against_pass(situation, step)
        case SignOff():
            own = rules.reasons_not_to_sign(housing, situation.visits, situation.holds)
            own += material_rules.reasons_not_to_sign(situation)
    return (*own, *_answerer(settings.STATION_GATE)(situation, step))


def reasons_beyond(situation: Situation, step: Step) -> Answer:
    """What measuring and acceptance alone say against a step, for pages which say the rest of many."""
    return _answerer(settings.STATION_GATE)(situation, step)


def check(situation: Situation, step: Step) -> None:
    """Raise ``Refused`` with every reason against a step."""
    if reasons := ask(situation, step):
        raise Refused(*reasons)
