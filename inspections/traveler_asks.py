"""What measuring puts on paper: what is written by hand at each station, what was read already, what is open.

Named by settings as `TRAVELER_ASKS`, `TRAVELER_FOUND` and `PACK_REMARKS`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from django.utils.translation import gettext as _

from housings import states as housing_states
from housings.gate import Situation
from housings.models import Housing
from housings.panels import Ask
from inspections import states, wording
from inspections.measuring import name_of, together
from inspections.models import Characteristic, Nonconformance, Reading
from inspections.models.plans import (
    DIAMETERS,
    GO_NO_GO,
    PRESSURE_LOSS,
    RUNOUT,
    TAPER_TURNS,
    THREAD_GAUGE,
)
from inspections.models.readings import FAIL, PASS
from inspections.queries import Measured
from inspections.sheet_tables import tables_of
from inspections.standing import Standing

CLOCK = ("12", "3", "6", "9")
MOST_PLACES = 4
STANDS = frozenset({states.PASSED, states.ACCEPTED, states.FAILED, states.UNDECIDED, states.DOUBTED})


def asks(housing: Housing) -> Mapping[str, Sequence[Ask]]:
    """What is written by hand on the traveler, by station."""
    characteristics = list(Characteristic.objects.filter(housing=housing).order_by("number"))
    asked: dict[str, list[Ask]] = {}
    for station in dict.fromkeys(s for c in characteristics for s in c.due_stations):
        due = [c for c in characteristics if c.due_at(station)]
        said: set[int] = set()
        for characteristic in due:
            if characteristic.pk in said:
                continue
            taken = together(characteristic, due)
            said |= {c.pk for c in taken}
            asked.setdefault(station, []).append(_of_one_measuring(taken, station))
    return asked


def _of_one_measuring(taken: Sequence[Characteristic], station: str) -> Ask:
    figures = tuple(_ask(characteristic, station) for characteristic in taken)
    tables = tables_of(taken)
    if len(figures) > 1:
        return Ask(name_of(taken), figures=figures, tables=tables)
    (one,) = figures
    return Ask(one.name, one.limit, one.unit, one.code, one.blanks, tables=tables)


def _ask(characteristic: Characteristic, station: str) -> Ask:
    due = characteristic.due_at(station)
    limit = _limit(due.lower, due.upper) if due else ""
    name, code = characteristic.name, characteristic.code
    match characteristic.kind:
        case kind if kind == GO_NO_GO:
            return Ask(name, code=code)
        case kind if kind == THREAD_GAUGE:
            return Ask(name, limit, _("turns"), code, (_("go"), _("no-go")))
        case kind if kind == TAPER_TURNS:
            return Ask(name, limit, characteristic.unit or _("turns"), code)
        case kind if kind == DIAMETERS:
            places = min(max(int(characteristic.parameters.get("points_at_least", 2)), 2), MOST_PLACES)
            return Ask(name, limit, characteristic.unit, code, tuple(str(n + 1) for n in range(places)))
        case kind if kind == RUNOUT:
            return Ask(name, limit, characteristic.unit, code, CLOCK)
        case kind if kind == PRESSURE_LOSS:
            return Ask(name, limit, characteristic.unit, code, (_("begin"), _("end")))
        case _:
            return Ask(name, limit, characteristic.unit, code)


def _limit(lower: str | None, upper: str | None) -> str:
    """A limit as short as paper needs it; the unit stands behind the blank.

    >>> _limit(None, "0.005"), _limit("17.940", "18.060"), _limit("0.020", None), _limit("4", "4")
    ('up to 0.005', '17.940 to 18.060', 'at least 0.020', '4')
    """
    if lower is None or upper is None:
        word = _("at least %(limit)s") if upper is None else _("up to %(limit)s")
        return word % {"limit": upper or lower} if upper or lower else ""
    if lower == upper:
        return lower
    return _("%(lower)s to %(upper)s") % {"lower": lower, "upper": upper}


def found(situation: Situation) -> Mapping[int, Mapping[str, str]]:
    """What was read at each visit: where the visit has ended as it was read, else what still stands."""
    measured = situation.kept(Measured)
    replaced = {reading.replaces_id for reading in measured.readings}
    left = {visit.pk for visit in situation.visits if visit.state == housing_states.LEFT}
    by_key = {characteristic.pk: characteristic for characteristic in measured.characteristics}
    words: dict[int, dict[str, str]] = defaultdict(dict)
    for reading in sorted(measured.readings, key=lambda reading: reading.order_key):
        characteristic = by_key[reading.characteristic_id]
        standing = measured.standings[characteristic.pk]
        stands = standing.state in STANDS and standing.reading == reading
        if reading.pk not in replaced and (stands or reading.visit_id in left):
            words[reading.visit_id][characteristic.code] = _words(reading, characteristic, standing)
    return words


def _words(reading: Reading, characteristic: Characteristic, standing: Standing) -> str:
    counted = standing.counted if standing.reading == reading and standing.counted else reading
    if characteristic.kind in {GO_NO_GO, THREAD_GAUGE}:
        return _("yes") if counted.verdict == PASS else _("no")
    figure = wording.figure(counted, characteristic)
    if counted.verdict == PASS:
        return figure
    return f"{figure} {_('fail') if counted.verdict == FAIL else _('cannot tell')}"


def remarks(housings: Sequence[int]) -> Mapping[int, Sequence[str]]:
    """The nonconformances of housings that wait for a decision."""
    rows = Nonconformance.objects.filter(housing__in=housings, disposition=None).order_by("number")
    said: dict[int, list[str]] = defaultdict(list)
    for row in rows:
        facts = {"number": row.number, "what": row.what}
        said[row.housing_id].append(_("Nonconformance %(number)s waits for a decision: %(what)s") % facts)
    return said
