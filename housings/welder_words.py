"""Who may weld and test what, until when, in words: one line for each process or method of a person."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, field

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.qualifications import METHODS, WELD_TYPES, qualified_from
from housings.models import Qualification
from housings.procedure_words import process_words
from housings.welder_rules import reason_of_continuity
from housings.welder_standing import Standing, is_in_date
from shopqc.models import Person

# Who has not as long as that left is told in time to weld or to be tested.
SOON = datetime.timedelta(days=30)
BACKING = {"with": gettext_lazy("with backing only"), "without": gettext_lazy("open root")}


@dataclass(frozen=True)
class Line:
    """One process or method of one person.

    ``state`` is a mark's: pass, undecided (it ends soon), fail (it has ended), held (in doubt). ``until`` is
    the last day on which it counts, ``None`` = no end. ``said`` says why and what to do.
    """

    person: Person
    what: str
    covers: list[str]
    state: str
    until: datetime.date | None
    said: str = ""
    doubts: list[str] = field(default_factory=list)

    @property
    def late_first(self) -> tuple[int, datetime.date, str, str]:
        """The order of the list: in doubt, ended, ending soon, the rest by its end."""
        rank = {"held": 0, "fail": 1, "undecided": 2}.get(self.state, 3)
        return rank, self.until or datetime.date.max, self.person.name, self.what


def lines_of(standing: Standing, on: datetime.date, months: int) -> list[Line]:
    """Every line of a person on a day, the processes first."""
    welding = [_welding(standing, process, on, months) for process in standing.processes()]
    testing = [_testing(standing, method, on) for method in METHODS if standing.testing(method)]
    return welding + testing


def _welding(standing: Standing, process: str, on: datetime.date, months: int) -> Line:
    rows = [row for row, _qualified in standing.welding(process)]
    held = [row for row in rows if is_in_date(row, on)]
    doubts = [doubt.why for doubt in standing.doubts_about(process)]
    covers = [covers_words(row) for row in held or rows]
    lapsed = reason_of_continuity(standing, process, on, months)
    ends = _end(held) if held else max((row.valid_until for row in rows if row.valid_until), default=None)
    alive = standing.alive_until(process, on, months)
    until = min((day for day in (ends, alive) if day), default=None)
    state, said = _state(until, on, bool(held), lapsed.sentence if lapsed else "")
    if state == "undecided" and until == alive and until != ends:
        said = _("Any weld with this process on record before that day carries it on.")
    return Line(
        standing.person, process_words(process), covers, "held" if doubts else state, until, said, doubts
    )


def _testing(standing: Standing, method: str, on: datetime.date) -> Line:
    rows = standing.testing(method)
    held = [row for row in rows if is_in_date(row, on)]
    until = _end(held) if held else max((row.valid_until for row in rows if row.valid_until), default=None)
    state, said = _state(until, on, bool(held), "")
    what = _("%(method)s testing") % {"method": _(METHODS[method])}
    return Line(standing.person, what, [covers_words(row) for row in held or rows], state, until, said)


def _end(rows: Iterable[Qualification]) -> datetime.date | None:
    """The day on which the last of them ends; ``None`` if one has no end."""
    ends = [row.valid_until for row in rows]
    return None if None in ends else max((end for end in ends if end), default=None)


def _state(until: datetime.date | None, on: datetime.date, held: bool, lapsed: str) -> tuple[str, str]:
    if lapsed:
        return "fail", lapsed
    if not held:
        return "fail", _("No qualification is in date; a new test is needed.")
    if until is not None and until - on < SOON:
        return "undecided", _("It ends soon; a new test is needed.")
    return "pass", ""


def covers_words(row: Qualification) -> str:
    """What a qualification covers: "W-7: groove welds; PA, PH; wall 0.125 to 0.5 in; open root"."""
    if row.kind == Qualification.TESTING:
        return _("%(reference)s: level %(level)s") % {"reference": row.reference, **row.ranges}
    qualified = qualified_from(row.ranges)
    said = [
        ", ".join(_(WELD_TYPES[joint]) for joint in qualified.joints),
        ", ".join(qualified.positions),
        str(BACKING[qualified.backing]),
    ]
    for label, limits in ((_("wall"), qualified.thickness), (_("outside"), qualified.diameter)):
        if words := limits.words("in"):
            said.append(f"{label} {words}")
    if qualified.filler_groups:
        said.append(", ".join(qualified.filler_groups))
    if qualified.tacks_only:
        said.append(_("tack welds only"))
    return f"{row.reference}: {'; '.join(said)}"
