"""Which welds wait for their test, each with its clock."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from housings import states as housing_states
from housings.gate import Situation
from housings.models import Housing, Joint, Visit, WorkDone
from housings.queries import housings_for
from housings.queries import visits as all_visits
from housings.situations import situations_of
from housings.weld_queries import JointState
from inspections.waiting_clock import Waiting, waiting_of
from inspections.weld_queries import WeldRecord, fill_states
from inspections.weld_rules import TESTED, TESTING_STATION, Seen, moment_words, tested, to_be_tested
from shopqc.people import Actor


@dataclass(frozen=True)
class Bar:
    """The clock as a line, in parts of its length as text: warm until ``cold``, waiting until ``until``."""

    cold: str
    waits: str
    until: str
    over: str
    now: str


@dataclass(frozen=True)
class TestLine:
    """One joint that is tested: what to do with it now.

    ``is_due``: it may be tested now and is not, or not well enough. ``is_done``: its newest test stands.
    """

    __test__ = False  # no test of ours, though its name begins like one

    housing: Housing
    state: JointState
    seen: Seen
    waiting: Waiting | None
    at: datetime.datetime
    is_here: bool

    @property
    def is_done(self) -> bool:
        return self.seen.against is None

    @property
    def waits(self) -> bool:
        return self.waiting is not None and not self.waiting.is_over(self.at)

    @property
    def is_due(self) -> bool:
        return not self.is_done and not self.waits

    @property
    def words(self) -> str:
        """What to do, in a few words."""
        if self.is_done:
            return _("Tested and accepted")
        if self.waiting is not None and self.waits:
            return _("Wait until %(until)s") % {"until": moment_words(self.waiting.until)}
        return _("May be tested now")

    @property
    def why(self) -> list[str]:
        """What the clock rests on."""
        said = [self.seen.against.sentence] if self.seen.newest and self.seen.against else []
        if self.waiting is not None and not self.is_done:
            said.append(waiting_words(self.waiting, self.at))
        return said

    @property
    def bar(self) -> Bar | None:
        return bar_of(self.waiting, self.at) if self.waiting and not self.is_done else None


def waiting_words(waiting: Waiting, at: datetime.datetime) -> str:
    """Since when a joint is cold, by what that is known, and how long it has waited."""
    facts = {
        "by": waiting.heated_by,
        "heated": moment_words(waiting.heated_at),
        "cold": moment_words(waiting.cold_at),
        "hours": format(waiting.hours, "f"),
        "waited": f"{float(waiting.waited(at)):.1f}",
    }
    if waiting.is_read:
        known = _("Read cold at %(cold)s") % facts
    else:
        known = _("Nobody has read it cold: counted from %(cold)s, the latest by which it is cold") % facts
    warm = _("warm last at %(heated)s by a weld (%(by)s)") % facts
    return _("%(known)s; %(warm)s. It has waited %(waited)s h; its procedure asks for %(hours)s h.") % {
        **facts,
        "known": known,
        "warm": warm,
    }


def bar_of(waiting: Waiting, at: datetime.datetime) -> Bar:
    """The clock from when the joint was warm last to a little after its hours are over, or after now."""
    end = max(waiting.until, at)
    whole = (end - waiting.heated_at) * 1.08

    def percent(moment: datetime.datetime) -> float:
        return min(100.0, max(0.0, (moment - waiting.heated_at) / whole * 100))

    cold, until, now = percent(waiting.cold_at), percent(waiting.until), percent(at)
    return Bar(*(f"{part:.1f}" for part in (cold, until - cold, until, 100 - until, now)))


def lines_of(situation: Situation, at: datetime.datetime) -> list[TestLine]:
    """The joints of a housing that are tested, in the order of its stations."""
    record = situation.kept(WeldRecord)
    here = any(
        visit.station == TESTING_STATION and visit.state == housing_states.HERE for visit in situation.visits
    )
    return [
        TestLine(situation.housing, state, tested(record, state), waiting_of(record, state), at, is_here=here)
        for state in to_be_tested(record)
    ]


def waiting_for_test(actor: Actor, at: datetime.datetime) -> list[TestLine]:
    """Every weld in work that is to be tested and has no test that stands, whose hours end first at the top.

    Only of housings that are where welds are tested or still go there. A fixed number of queries.
    """
    to_come = [housing_states.AHEAD, housing_states.HERE]
    ahead = Visit.objects.filter(station=TESTING_STATION, state__in=to_come)
    welded = Joint.objects.filter(kind__in=TESTED, passes__isnull=False, passes__taken_back=None)
    rows = housings_for(actor).filter(
        state=housing_states.IN_WORK, pk__in=ahead.values("housing"), joints__in=welded
    )
    situations = _read_together(list(rows.distinct().order_by("pk")))
    lines = [
        line
        for situation in situations
        for line in lines_of(situation, at)
        # What lacks passes waits to be welded, not to be tested; without any, its station's work tells of it.
        if not line.is_done and not (line.state.passes and line.state.missing)
    ]
    return sorted(lines, key=lambda line: line.waiting.until if line.waiting else line.at)


def _read_together(housings: Sequence[Housing]) -> list[Situation]:
    """The situations of housings with their joints, as many queries for sixty as for one."""
    situations = situations_of(housings)
    known = {housing.pk: housing for housing in housings}
    visits, work_done = defaultdict(list), defaultdict(list)
    for visit in all_visits().filter(housing__in=known):
        visits[visit.housing_id].append(visit)
    for entry in WorkDone.objects.filter(housing__in=known).order_by("record_position"):
        work_done[entry.housing_id].append(entry)
    for pk, situation in situations.items():
        situation.visits, situation.work_done = visits[pk], work_done[pk]
    fill_states(situations.values())
    return list(situations.values())
