"""What is against a plan that is being written, one characteristic after the other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from housings.engineering.spec import Spec, spec_from
from housings.queries import newest_route
from inspections.first_shop import SAMPLE_SPEC
from inspections.plan_data import from_data
from inspections.planning.resolve import resolve
from inspections.planning.rules import reasons_against_plan
from inspections.planning.terms import PlannedCharacteristic, ResolvedCharacteristic

ROUTE = "standard"
WITHOUT_LINKS = {**SAMPLE_SPEC, "links": False, "bracket_offset": None, "pinion_angle": None}


@dataclass
class Checked:
    """Sentences against a plan: by the code of a characteristic, and of the whole.

    ``idle``: codes of what no station of the route measures; that is no fault.
    """

    of: dict[str, list[str]] = field(default_factory=dict)
    whole: list[str] = field(default_factory=list)
    idle: frozenset[str] = frozenset()

    @property
    def is_free(self) -> bool:
        return not self.of and not self.whole

    @property
    def count(self) -> int:
        return sum(map(len, self.of.values())) + len(self.whole)

    def add(self, code: str, sentence: str) -> None:
        """Say something of a characteristic, once."""
        said = self.of.setdefault(code, [])
        if sentence not in said:
            said.append(sentence)


def checked(characteristics: Sequence[Mapping[str, Any]]) -> Checked:
    """A plan as data, checked on the newest standard route for housings with links and without."""
    found = Checked()
    try:
        plan = from_data(characteristics)
    except ValueError as error:
        found.whole.append(str(error))
        return found
    if not plan:
        found.whole.append(_("Nothing is measured by this plan yet."))
    route = newest_route(ROUTE)
    if route is None:
        found.whole.append(_("There is no route “standard” to try it on; publish one first."))
        return found
    asked: set[str] = set()
    for data in (SAMPLE_SPEC, WITHOUT_LINKS):
        spec = spec_from(data)
        stations = [entry.station for entry in route.stations_for(links=spec.links)]
        resolved = _resolved(plan, spec, stations, found)
        asked |= {one.code for one in resolved}
        for problem in reasons_against_plan(resolved, stations):
            found.add(problem.characteristic, problem.sentence)
    found.idle = frozenset(one.code for one in plan if one.code not in asked and one.code not in found.of)
    return found


def _resolved(
    plan: Sequence[PlannedCharacteristic], spec: Spec, stations: Sequence[str], found: Checked
) -> tuple[ResolvedCharacteristic, ...]:
    """What can be resolved; of the rest it is said why not."""
    good = []
    for one in plan:
        try:
            resolve([one], spec, stations)
        except (ValueError, ArithmeticError) as error:
            found.add(one.code, str(error) or _("Its figures cannot be worked out."))
        else:
            good.append(one)
    return resolve(good, spec, stations)
