"""A heat, a lot of filler or a cylinder is recalled: its housings are held, its certificates questioned."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings import findings, queries, states
from housings.material_queries import Place, places_of, serials_with
from housings.models import Heat, Hold, Housing
from housings.operations.holds import place_hold
from housings.operations.materials import the_heat
from shopqc.operation import Answer, Rows, Run, operation
from shopqc.refusals import refuse, register

LONGEST_WHY = 500

register(
    409,
    {
        "recalled_already": gettext_lazy("%(heat)s is recalled already: %(why)s"),
        "not_recalled": gettext_lazy("%(heat)s is not recalled; there is nothing to clear."),
    },
)


def _heat_and_housings(*, heat: str, **_inputs: Any) -> list[Rows]:
    rows = the_heat(heat=heat)
    row = Heat.objects.filter(number=heat).first()
    serials = serials_with(row) if row is not None and row.recalled_at is None else []
    return [*rows, Rows(Housing, "serial", serials)] if serials else rows


@operation("recall_heat", locks=_heat_and_housings)
def recall_heat(run: Run, *, heat: str, why: str, hold: bool = True) -> Answer:
    """A heat cannot be trusted: nothing more is made of it or welded with it, and what was is found.

    With ``hold`` every housing in work that has it is held. Of a housing that is signed off the certificate
    is put under question. Answers the serials of all that have it, those held, the numbers questioned.
    """
    row, why = run.get(Heat, heat), _checked(why)
    if row.recalled_at is not None:
        raise refuse("recalled_already", heat=heat, why=row.recalled_why)
    serials = serials_with(row)
    locked = {serial for model, serial in run.rows if model is Housing}
    # With the heat's lock nobody puts it into another housing; what came before the lock came without it.
    if not locked.issuperset(serials):
        raise refuse("changed_meanwhile")
    row.recalled_at, row.recalled_by, row.recalled_why = run.at, run.by.stamp, why
    row.save(update_fields=["recalled_at", "recalled_by", "recalled_why"])
    held, questioned = _keep_back(run, row, [run.get(Housing, serial) for serial in serials], hold)
    run.write(row, recalled=True, why=why, housings=serials, held=held, questioned=questioned)
    return {"heat": heat, "recalled": True, "housings": serials, "held": held, "questioned": questioned}


def _checked(why: str) -> str:
    why = why.strip()
    if not why:
        raise refuse("reason_needed", "/why")
    if len(why) > LONGEST_WHY:
        raise refuse("too_long", "/why", most=LONGEST_WHY)
    return why


def _keep_back(run: Run, heat: Heat, housings: Sequence[Housing], hold: bool) -> tuple[list[str], list[str]]:
    """Hold what is still here and question what is proven; answers serials and certificate numbers."""
    places = places_of(heat, housings)
    held: list[str] = []
    questioned: list[str] = []
    for housing in housings:
        why = why_recalled(heat, places.get(housing.pk, ()))
        if hold and queries.is_still_here(housing):
            place_hold(run, housing, why)
            held.append(housing.serial)
        if housing.state == states.SIGNED_OFF:
            questioned += findings.question_certificate(run, housing, why)
    return held, questioned


def why_recalled(heat: Heat, places: Sequence[Place]) -> str:
    """The sentence on the hold and with the certificate."""
    facts = {
        "heat": heat.number,
        "grade": heat.grade,
        "why": heat.recalled_why.rstrip("."),
        "places": ", ".join(place.words for place in places),
    }
    return _("Heat %(heat)s (%(grade)s) was recalled: %(why)s. It is here: %(places)s.") % facts


@operation("clear_heat", locks=the_heat)
def clear_heat(run: Run, *, heat: str, why: str) -> Answer:
    """A heat was recalled by mistake and may be used again.

    What the recall has done to housings and certificates stays until somebody looks at each: the QC lead
    releases the holds and answers the questions. Answers the serials that are still held by the recall.
    """
    row, why = run.get(Heat, heat), _checked(why)
    if row.recalled_at is None:
        raise refuse("not_recalled", heat=heat)
    still_held = held_by_recall(row)
    before = row.recalled_why
    row.recalled_at, row.recalled_by, row.recalled_why = None, "", ""
    row.save(update_fields=["recalled_at", "recalled_by", "recalled_why"])
    run.write(row, recalled=False, why=why, before=before, still_held=still_held)
    return {"heat": heat, "recalled": False, "still_held": still_held}


def held_by_recall(heat: Heat) -> list[str]:
    """The serials of the housings that the present recall of a heat still holds."""
    if heat.recalled_at is None:
        return []
    holds = Hold.objects.filter(
        placed_at=heat.recalled_at,
        released_at=None,
        housing__serial__in=serials_with(heat),
        # Two recalled at one moment are told apart by what the sentence names.
        why__contains=heat.number,
    )
    return sorted(set(holds.values_list("housing__serial", flat=True)))
