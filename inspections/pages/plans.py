"""Plans of measuring, to be read: what, where, within which limits, what moves it, what hides it."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from housings.engineering.stations import STATIONS
from inspections import wording
from inspections.models import PlanDraft, PlanRevision
from inspections.pages.showing import page_of, show
from inspections.places import DESK
from inspections.plan_data import from_data
from inspections.planning.terms import Nominal, PlannedCharacteristic, PlannedDue
from shopqc.doors import for_roles, may, person_at
from shopqc.refusals import refuse


@for_roles()
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    """Every published revision, the newest first."""
    rows = PlanRevision.objects.order_by("-published_at", "-pk")
    shown = person_at(request).has_role(*DESK)
    drafts = PlanDraft.objects.select_related("copied_from").defer("characteristics") if shown else ()
    return show(request, "plans.html", {"page": page_of(request, rows), "drafts": drafts})


@for_roles()
@require_safe
def one(request: HttpRequest, pk: int) -> HttpResponse:
    """One revision, by part of the housing."""
    plan = PlanRevision.objects.filter(pk=pk).first()
    if plan is None:
        raise refuse("page_not_found")
    rows: dict[str, list[dict[str, Any]]] = {part: [] for part in wording.PARTS}
    planned = from_data(plan.characteristics)
    for characteristic in planned:
        rows.setdefault(str(characteristic.part), []).append(_row(characteristic))
    parts = [{"name": wording.PARTS.get(part, part), "rows": found} for part, found in rows.items() if found]
    return show(
        request,
        "plan.html",
        {"plan": plan, "parts": parts, "count": len(planned), "may_write": may(request, "publish_plan")},
    )


def _row(planned: PlannedCharacteristic) -> dict[str, Any]:
    return {
        "name": planned.name,
        "kind": wording.KINDS[str(planned.kind)],
        "is_major": planned.severity == "major",
        "is_datum": planned.is_datum,
        "measured_from": planned.measured_from,
        "nominal": _nominal(planned.nominal, planned.unit) if planned.nominal else "",
        "center": planned.center,
        "geometry": _geometry(planned),
        "points": planned.points_at_least if planned.points_at_least > 1 else None,
        "only_if": planned.only_if,
        "due": [_due(planned, due) for due in planned.due],
        "movable_by": [_station(code) for code in planned.movable_by],
        "hidden_by": _station(planned.hidden_by) if planned.hidden_by else "",
        "note": planned.note,
    }


def _geometry(planned: PlannedCharacteristic) -> list[str]:
    """What its geometry is worked out from besides the readings."""
    said = []
    if planned.quantity:
        said.append(str(wording.QUANTITIES.get(planned.quantity, planned.quantity.replace("_", " "))))
    if planned.centers:
        said.append(_("%(count)d centers") % {"count": len(planned.centers)})
    for name, value in planned.constants.items():
        if isinstance(value, Nominal):
            said.append(_("%(figure)s from the build spec") % {"figure": _nominal(value, "")})
        else:
            words = str(wording.CONSTANTS.get(name, f"{name.replace('_', ' ')} %(figure)s"))
            said.append(words % {"figure": value})
    if planned.taken_with:
        said.append(_("measured together (%(name)s)") % {"name": planned.taken_with.replace("_", " ")})
    return said


def _station(code: str) -> str:
    return STATIONS[code].name if code in STATIONS else code


def _due(planned: PlannedCharacteristic, due: PlannedDue) -> dict[str, str]:
    limits = wording.limit_words(due.lower, due.upper, planned.unit)
    if limits and planned.limits_from_nominal:
        facts = {
            "lower": due.lower if due.lower is not None else "…",
            "upper": due.upper if due.upper is not None else "…",
            "unit": planned.unit,
        }
        limits = wording.tight(_("nominal %(lower)s to %(upper)s %(unit)s") % facts)
    when = ""
    if due.with_station:
        when = _("on routes with %(station)s") % {"station": _station(due.with_station)}
    elif due.without_station:
        when = _("on routes without %(station)s") % {"station": _station(due.without_station)}
    return {"station": _station(due.station), "limits": limits, "when": when}


def _nominal(nominal: Nominal, unit: str) -> str:
    """A nominal that takes figures from the build spec, as a sum: "width × 0.5 + 0.07 in"."""
    terms = [
        term.field.replace("_", " ") + ("" if term.times == "1" else f" × {term.times}")
        for term in nominal.terms
    ]
    if nominal.plus != "0" or not terms:
        terms.append(nominal.plus)
    return wording.tight(f"{' + '.join(terms)} {unit}")
