"""A plan that is being written, tried on a housing of the past: every stored reading judged by its limits.

Nothing is written: what a reading was judged with when it was made stays what it was.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, cast

from django.utils.translation import gettext as _

from housings.engineering.spec import spec_from
from housings.engineering.stations import STATIONS
from housings.states import DROPPED
from inspections import wording
from inspections.models import Reading
from inspections.plan_data import from_data
from inspections.planning.resolve import resolve
from inspections.planning.rules import reasons_against_plan
from inspections.planning.terms import Due, ResolvedCharacteristic
from inspections.queries import Measured
from inspections.verdicts import Asked, Rule, judge


@dataclass(frozen=True)
class Tried:
    """One reading: what it was, and what it would be; ``why_not`` if it cannot be judged by the draft."""

    reading: Reading
    name: str
    station: str
    figure: str
    was: str
    would_be: str
    limit_was: str
    limit_would_be: str
    why_not: str = ""

    @property
    def differs(self) -> bool:
        return bool(self.would_be) and self.would_be != self.was


@dataclass
class Trial:
    """What came of trying a plan on a housing."""

    tried: list[Tried] = field(default_factory=list)
    never_measured: list[str] = field(default_factory=list)
    against: list[str] = field(default_factory=list)

    @property
    def differing(self) -> list[Tried]:
        return [one for one in self.tried if one.differs]

    @property
    def not_judged(self) -> list[Tried]:
        return [one for one in self.tried if one.why_not]

    @property
    def same(self) -> int:
        return sum(1 for one in self.tried if one.would_be and not one.differs)


def tried_on(characteristics: Sequence[Mapping[str, Any]], measured: Measured) -> Trial:
    """Try a plan, as data, on one housing with all that was measured of it."""
    trial = Trial()
    housing = measured.housing
    stations = [v.station for v in measured.situation.visits if v.state != DROPPED]
    try:
        resolved = resolve(from_data(characteristics), spec_from(housing.spec.data), stations)
    except (ValueError, ArithmeticError) as error:
        trial.against.append(str(error))
        return trial
    trial.against += [problem.sentence for problem in reasons_against_plan(resolved, stations)]
    asked = {one.code: one for one in resolved}
    own = {one.pk: one for one in measured.characteristics}
    replaced = {reading.replaces_id for reading in measured.readings}
    for reading in measured.readings:
        if reading.pk not in replaced:
            reading.characteristic = own[reading.characteristic_id]
            trial.tried.append(_tried(reading, asked.get(reading.characteristic.code)))
    seen = {reading.characteristic.code for reading in measured.readings if reading.pk not in replaced}
    trial.never_measured = [one.name for one in resolved if one.code not in seen]
    return trial


def _tried(reading: Reading, asked: ResolvedCharacteristic | None) -> Tried:
    own = reading.characteristic
    due = next((due for due in asked.due if due.station == reading.station), None) if asked else None
    why_not, verdict = _judged(reading, asked, due)
    return Tried(
        reading=reading,
        name=own.name,
        station=_(STATIONS[reading.station].name),
        figure=wording.figure_with_unit(reading, own),
        was=reading.verdict,
        would_be=verdict,
        limit_was=wording.limit_words(reading.lower, reading.upper, own.unit),
        limit_would_be=wording.limit_words(due.lower, due.upper, own.unit) if due else "",
        why_not=why_not,
    )


def _judged(reading: Reading, asked: ResolvedCharacteristic | None, due: Due | None) -> tuple[str, str]:
    """Why it cannot be judged, or else the verdict."""
    own = reading.characteristic
    if asked is None:
        return _("is not measured by this plan on such a housing"), ""
    if due is None:
        return _("is not due at this station any more"), ""
    if (str(asked.kind), asked.unit) != (own.kind, own.unit):
        return _("is of another kind or unit now"), ""
    try:
        judged = judge(
            Asked(
                kind=own.kind,
                unit=own.unit,
                lower=due.lower,
                upper=due.upper,
                parameters=asked.parameters,
                rule=cast(Rule, reading.rule),  # one of them by the column's choices
                uncertainty=reading.basis.get("gauge_uncertainty") or reading.uncertainty or "0",
                setup=reading.setup,
                basis=reading.basis,
            ),
            reading.raw,
            reading.engine,
        )
    except (ValueError, ArithmeticError) as error:
        return str(error), ""
    return "", judged.verdict
