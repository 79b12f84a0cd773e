"""Value, verdict and picture of what stands in the form of a reading so far. Nothing is written."""

from __future__ import annotations

from collections.abc import Sequence

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.cache import add_never_cache_headers
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from housings import queries as housing_queries
from housings.models import Housing, Visit
from housings.states import HERE, LEFT
from inspections.forms.readings import form_for
from inspections.measuring import Measuring, together
from inspections.models import Characteristic
from inspections.models.readings import FAIL, PASS, UNDECIDED
from inspections.pages.ahead import Ahead, look_ahead
from inspections.pages.entry.asking import points_asked_for
from inspections.queries import gauges_in_service
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import refuse
from shopqc.rules import in_use, the_shop

# The longest list of points, and as much again for the other fields.
MOST_BYTES = 700_000


@for_roles()
@require_POST
def preview(request: HttpRequest, serial: str, code: str) -> HttpResponse:
    """A fragment for the page of the entry; 422 with a sentence while nothing can be worked out."""
    said = request.headers.get("Content-Length", "")
    if said.isascii() and said.isdigit() and int(said) > MOST_BYTES:
        raise refuse("too_large", limit=MOST_BYTES)
    actor = actor_at(request)
    actor.check_may("record_readings")
    housing = housing_queries.housing_by_serial(actor, serial)
    measuring = _measuring(housing, code, request.POST.get("visit", ""))
    gauges = gauges_in_service() if measuring.needs_gauge else []
    shop = the_shop()
    form = form_for(
        measuring,
        gauges,
        in_use=in_use(shop),
        points=points_asked_for(request),
        way=request.GET.get("way", ""),
        data=request.POST,
    )
    complete = form.is_valid()
    entries = form.entries()
    ahead = look_ahead(measuring, entries, {gauge.code: gauge for gauge in gauges}, shop) if entries else []
    note = "" if complete else _("To record it, something above is still missing.")
    # Half a reading is no mistake to be marked: what is missing of it is said in one sentence.
    missing = [str(error) for name in form.raw_fields for error in form.errors.get(name, ())]
    why = missing[0] if missing and not entries else ""
    page = render_to_string(
        "inspections/ahead.html", {"ahead": ahead, "why": why, "note": note, "summary": _summary(ahead)}
    )
    response = HttpResponse(page, status=200 if any(one.verdict for one in ahead) else 422)
    add_never_cache_headers(response)
    return response


def _measuring(housing: Housing, code: str, number: str) -> Measuring:
    """What the form is of: its characteristics at the visit that it says, else where the housing is now."""
    # It is asked at every pause in typing: only what can belong to one measuring is read.
    wanted = Q(code=code) | Q(parameters__has_key="taken_with")
    known = list(Characteristic.objects.filter(wanted, housing=housing).order_by("number"))
    one = next((c for c in known if c.code == code), None)
    if one is None:
        raise refuse("not_found", what=_("characteristic"), name=code[:60])
    visit = _visit(housing_queries.visits_of(housing), number)
    if visit is None:
        raise refuse("nowhere")
    due = [c for c in known if c.due_at(visit.station)]
    if one not in due:
        raise refuse("not_due_here", name=one.name, station=visit.at.name)
    return Measuring(visit, together(one, due))


def _visit(visits: Sequence[Visit], number: str) -> Visit | None:
    made = {str(v.number): v for v in visits if v.state in {HERE, LEFT}}
    return made.get(number) or housing_queries.visit_here(visits)


def _summary(ahead: Sequence[Ahead]) -> str:
    """All figures in one line, for the small screen on which the rest is out of sight."""
    found = [one.verdict for one in ahead if one.verdict]
    if not found:
        return ""
    words = {FAIL: _("would fail"), UNDECIDED: _("cannot tell yet"), PASS: _("would pass")}
    worst = next(verdict for verdict in words if verdict in found)
    if len(ahead) == 1:
        return f"{words[worst].capitalize()}: {ahead[0].found}"
    facts = {"count": found.count(worst), "of": len(ahead), "words": words[worst]}
    return _("%(count)d of %(of)d figures %(words)s") % facts
