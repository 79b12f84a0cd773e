"""A housing as somebody stands before it with a gauge: what is due here and how that stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from housings import gate, queries, rules
from housings.models import Visit
from housings.states import AHEAD, HERE
from inspections import states, wording
from inspections.measuring import figures_words, name_of, same_measuring, together
from inspections.models import Characteristic
from inspections.queries import Measured
from inspections.standing import Standing
from shopqc.people import Actor
from shopqc.refusals import Reason, refuse

# Of several figures that are one thing to do, the mark that most needs somebody stands for all.
WORST_FIRST = ("fail", "undecided", "open", "pass")
TO_MEASURE = frozenset({states.NOT_MEASURED, states.MOVED_SINCE, states.DUE_AGAIN, states.DOUBTED})


@dataclass
class Bench:
    """A housing as somebody stands before it: where it is, what is due here, how that stands."""

    situation: gate.Situation
    actor: Actor
    due: list[Standing] = field(init=False)
    here: Visit | None = field(init=False)

    def __post_init__(self) -> None:
        self.here = queries.visit_here(self.situation.visits)
        self.due = self.measured.due_at(self.here.station) if self.here else []

    @property
    def measured(self) -> Measured:
        return self.situation.kept(Measured)

    @property
    def work_to_come(self) -> bool:
        """Whether the work of the present visit, which moves metal, is still to be done."""
        here = self.here
        if here is None or not rules.has_work(here):
            return False
        return not any(entry.visit_id == here.pk for entry in self.situation.work_done)

    def waits_for_work(self, characteristic: Characteristic) -> bool:
        """Whether what is measured now of this would not stand: the work of this station moves it yet."""
        return self.work_to_come and self.here is not None and self.here.station in characteristic.movable_by

    @property
    def next(self) -> Standing | None:
        """What is measured next; nothing while the housing is at a supplier."""
        if rules.reasons_of_away(self.situation.visits):
            return None
        return next(
            (
                standing
                for standing in self.due
                if standing.state in TO_MEASURE and not self.waits_for_work(standing.characteristic)
            ),
            None,
        )

    @property
    def waiting(self) -> list[Standing]:
        """What is due here and can be measured only after the work of this station."""
        return [s for s in self.due if s.state in TO_MEASURE and self.waits_for_work(s.characteristic)]

    def measured_with(self, characteristic: Characteristic, station: str) -> tuple[Characteristic, ...]:
        """What is read from one measuring with this at a station, itself included, in the plan's order."""
        due = [c for c in self.measured.characteristics if c.due_at(station)]
        return together(characteristic, due)

    @property
    def measurings(self) -> list[list[Standing]]:
        """What is due here, grouped by what is one thing to do."""
        groups: list[list[Standing]] = []
        for standing in self.due:
            one = standing.characteristic
            group = next((g for g in groups if same_measuring(one, g[0].characteristic)), None)
            if group is None:
                groups.append([standing])
            else:
                group.append(standing)
        return groups

    def characteristic(self, code: str) -> Characteristic:
        """One thing that is measured on this housing."""
        found = next((c for c in self.measured.characteristics if c.code == code), None)
        if found is None:
            raise refuse("not_found", what=_("characteristic"), name=code[:60])
        return found

    def reasons(self) -> list[Reason]:
        """Why nothing can be entered."""
        ended = rules.reasons_of_state(self.measured.housing)
        found = [
            *self.actor.reasons_against("record_readings"),
            *ended,
            *rules.reasons_of_away(self.situation.visits),
        ]
        # One that is signed off or scrapped was everywhere already: that it is at no station is no news.
        if self.here is None and not ended:
            found.append(Reason("nowhere"))
        return found

    @property
    def is_all_done(self) -> bool:
        """Whether no visit is left to make before somebody signs."""
        return not any(v.state in {HERE, AHEAD} and not v.at.after_sign_off for v in self.situation.visits)

    def rows(self) -> list[dict[str, Any]]:
        """One line for each thing to do that is due here; several figures of one measuring are one thing."""
        return [
            self._group_row(group) if len(group) > 1 else self._row(group[0]) for group in self.measurings
        ]

    def _group_row(self, group: list[Standing]) -> dict[str, Any]:
        rows = [self._row(standing) for standing in group]
        worst = min(rows, key=lambda row: WORST_FIRST.index(row["mark"]))
        return {
            **worst,
            "code": rows[0]["code"],
            "name": name_of([standing.characteristic for standing in group]),
            "found": "",
            "asked": figures_words(len(group)),
            "figures": rows,
            "characteristics": [standing.characteristic.pk for standing in group],
        }

    def _row(self, standing: Standing) -> dict[str, Any]:
        characteristic, reading = standing.characteristic, standing.reading
        assert self.here is not None
        waits = standing.state in TO_MEASURE and self.waits_for_work(characteristic)
        return {
            "standing": standing,
            "code": characteristic.code,
            "name": characteristic.name,
            "mark": wording.MARKS.get(standing.state, "open"),
            "word": _("after the work") if waits else states.STANDING_WORDS[standing.state],
            "found": wording.figure_with_unit(reading, characteristic) if reading else "",
            "asked": wording.asked_for(characteristic, self.here.station),
            "nonconformance": standing.nonconformance,
            "figures": [],
            "characteristics": [characteristic.pk],
        }
