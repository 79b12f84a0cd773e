"""What is on file about people who weld or test welds: qualifications, use of processes, doubts."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Count, Max, QuerySet
from django.utils import timezone

from housings.engineering.procedures import PROCESSES
from housings.engineering.qualifications import Qualified, continuity, qualified_from
from housings.models import ProcedureRevision, ProcessUse, Qualification, WelderDoubt, WeldPass
from shopqc.models import Person


@dataclass
class Standing:
    """One person: qualifications that were not ended, days on which each process was used, open doubts."""

    person: Person
    qualifications: list[Qualification] = field(default_factory=list)
    used_on: dict[str, set[datetime.date]] = field(default_factory=lambda: defaultdict(set))
    doubts: list[WelderDoubt] = field(default_factory=list)

    def welding(self, process: str) -> list[tuple[Qualification, Qualified]]:
        """The qualifications for a process, each read."""
        return [
            (row, qualified_from(row.ranges))
            for row in self.qualifications
            if row.kind == Qualification.WELDING and row.ranges.get("process") == process
        ]

    def testing(self, method: str) -> list[Qualification]:
        """The qualifications for a method of testing."""
        return [
            row
            for row in self.qualifications
            if row.kind == Qualification.TESTING and row.ranges.get("method") == method
        ]

    def processes(self) -> list[str]:
        """The processes that somebody is or was qualified for, in the order of the catalogue."""
        found = {row.ranges.get("process") for row in self.qualifications if row.kind == row.WELDING}
        return [process for process in PROCESSES if process in found]

    def alive_until(self, process: str, on: datetime.date, months: int) -> datetime.date | None:
        """Until when use of the process keeps it alive; a test of qualification is a use too."""
        tested = {row.tested_on for row, _qualified in self.welding(process)}
        return continuity(self.used_on[process] | tested, on, months)

    def last_use(self, process: str, on: datetime.date) -> datetime.date | None:
        """The last day on which the process was used."""
        tested = {row.tested_on for row, _qualified in self.welding(process)}
        return max((day for day in self.used_on[process] | tested if day <= on), default=None)

    def doubts_about(self, process: str | None) -> list[WelderDoubt]:
        """Open doubts about a process (``None``: not known which), those about every process included."""
        return [doubt for doubt in self.doubts if not doubt.process or process in (None, doubt.process)]


def is_in_date(row: Qualification, on: datetime.date) -> bool:
    """Whether a day lies between a qualification's test and its end."""
    return row.tested_on <= on and (row.valid_until is None or on <= row.valid_until)


def standing_of(person: Person, at: datetime.datetime) -> Standing:
    """One person's standing at a moment; four queries, five with weld passes on record."""
    return standings([person], at)[person.pk]


def standings(people: Sequence[Person], at: datetime.datetime) -> dict[int, Standing]:
    """The standing of several people, by their keys; as many queries as for one.

    Of weld passes that were not taken back, the last one by each procedure counts as a use of its process.
    """
    found = {person.pk: Standing(person) for person in people}
    keys = list(found)
    for row in Qualification.objects.filter(person__in=keys, end=None).order_by("tested_on", "pk"):
        found[row.person_id].qualifications.append(row)
    for use in ProcessUse.objects.filter(person__in=keys):
        found[use.person_id].used_on[use.process].add(use.used_on)
    for doubt in WelderDoubt.objects.filter(person__in=keys, answered_at=None):
        found[doubt.person_id].doubts.append(doubt)
    passes = WeldPass.objects.filter(welder__in=keys, done_at__lte=at, taken_back=None)
    last = list(passes.values_list("welder", "procedure").annotate(last=Max("done_at")).order_by())
    processes = _processes({procedure for _welder, procedure, _last in last if procedure})
    for welder, procedure, done_at in last:
        if procedure in processes:
            found[welder].used_on[processes[procedure]].add(timezone.localdate(done_at))
    return found


def welded_by(person: Person) -> QuerySet[Any, Any]:
    """The housings on which somebody welded, the last one first: serial, how many passes, when the last."""
    passes = WeldPass.objects.filter(welder=person, taken_back=None)
    found = passes.values("housing__serial").annotate(passes=Count("pk"), last=Max("done_at"))
    return found.order_by("-last", "housing__serial")


def _processes(procedures: Iterable[int]) -> dict[int, str]:
    keys = list(procedures)
    if not keys:
        return {}
    rows = ProcedureRevision.objects.filter(pk__in=keys).values_list("pk", "data")
    return {pk: data["process"] for pk, data in rows}
