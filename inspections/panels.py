"""What measuring puts on a housing's page (`settings.HOUSING_PANELS`); on paper: `traveler_asks`."""

from __future__ import annotations

from collections.abc import Sequence

from django.urls import reverse
from django.utils.translation import gettext as _

from housings import queries
from housings import states as housing_states
from housings.gate import Situation
from housings.panels import HERE, WHOLE, NextStep, Panel
from inspections import housing_map, states
from inspections.bench import Bench
from inspections.facing.readings import STATION
from inspections.measuring import name_of
from inspections.queries import Measured, certificates_for, status_of
from shopqc.people import Actor


def due_here(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """What is due at the present station, with how it stands, and the page where it is entered."""
    bench = Bench(situation, actor)
    if bench.here is None or situation.housing.state in {housing_states.SCRAPPED, housing_states.CANCELLED}:
        return []
    serial = situation.housing.serial
    may_enter = not actor.reasons_against("record_readings")
    to_do = None
    if bench.next is not None and may_enter:
        to_do = NextStep(reverse("entry", args=[serial]), _("Measure what is due"))
    enough = sum(standing.is_enough for standing in bench.due)
    context = {
        "rows": bench.rows(),
        "enough": enough,
        "count": len(bench.due),
        "waiting": bench.waiting,
        "next": _name_of_next(bench),
        "may_enter": may_enter,
    }
    return [Panel("inspections/panel_due.html", context, HERE, to_do)]


def _name_of_next(bench: Bench) -> str:
    """What is asked next, under the name that its page has: like its only figure, or like the measuring."""
    if bench.next is None or bench.here is None:
        return ""
    return name_of(bench.measured_with(bench.next.characteristic, bench.here.station))


def found_and_proven(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """What was found wrong, what was signed, and where all readings stand."""
    bench = Bench(situation, actor)
    certificates = list(certificates_for(actor).filter(housing=situation.housing).order_by("-pk"))
    rows = [(one, states.CERTIFICATE_WORDS[status_of(one)]) for one in certificates]
    waits = situation.housing.state == housing_states.IN_WORK and bench.is_all_done
    to_do = None
    if waits and not actor.reasons_against("sign_off"):
        to_do = NextStep(reverse("sign-off", args=[situation.housing.serial]), _("Sign off"))
    context = {
        "found": bench.measured.nonconformances,
        "certificates": rows,
        "readings": len(bench.measured.readings),
        "may_raise": not actor.reasons_against("raise_nonconformance"),
    }
    return [Panel("inspections/panel_found.html", context, WHOLE, to_do)]


def where_measured(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """The housing as a map: each place with how it stands, and the page where it is seen and entered."""
    picture = housing_map.map_of(situation.kept(Measured))
    return [Panel("inspections/panel_map.html", {"picture": picture}, WHOLE)] if picture else []


def how_welded(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """How much of its welding is on record, and the page that says it whole."""
    return [Panel("inspections/panel_welded.html", {"passes": len(situation.weld_passes)}, WHOLE)]


def before_the_cut(situation: Situation, actor: Actor) -> Sequence[Panel]:
    """Where the face is cut: the page that says whether it can be saved, how deep, and which shims."""
    here = queries.visit_here(situation.visits)
    if here is None or here.station != STATION:
        return []
    done = any(entry.visit_id == here.pk for entry in situation.work_done)
    return [Panel("inspections/panel_facing.html", {"is_cut": done}, HERE)]
