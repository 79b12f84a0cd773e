"""Entering readings: what is due at the present station, one at a time, and the verdict at once."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from housings import gate, queries
from housings.models import Visit
from housings.spine import marks_of
from housings.states import HERE, LEFT
from inspections import wording
from inspections.bench import Bench
from inspections.forms.readings import ReadingForm, initial_of
from inspections.models import Characteristic, Gauge, Reading
from inspections.models.plans import FACE_POINTS, GO_NO_GO, Due
from inspections.operations.readings import record_readings
from inspections.pages.showing import attempt, sentences, show
from inspections.queries import gauges_in_service
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import Reason, Refused, refuse

TEMPERATURE_KEPT_SECONDS = 1800


@dataclass(frozen=True)
class Asked:
    """What the form on the page asks for, and at which visit it is measured."""

    characteristic: Characteristic
    due: Due
    visit: Visit
    replaces: Reading | None = None


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def entry(request: HttpRequest, serial: str, code: str | None = None) -> HttpResponse:
    """What is due here, the next one with its form; or the one that the address names."""
    actor = actor_at(request)
    bench = Bench(gate.Situation(queries.housing_by_serial(actor, serial)), actor)
    sent = request.method == "POST"
    # What was sent goes to the operation, which says what is in the way; the page keeps what was typed.
    against = [] if sent else bench.reasons()
    asked = _asked(request, bench, code, against)
    gauges = gauges_in_service() if asked and asked.characteristic.needs_gauge else []
    if sent:
        if asked is None:
            raise Refused(*against) if against else refuse("page_not_found")
        return _record(request, bench, asked, gauges)
    form = None
    if asked and not against:
        form = _form(request, bench, asked, gauges, initial=_initial(request, bench, asked))
    return _page(request, bench, asked, form, against)


def _asked(request: HttpRequest, bench: Bench, code: str | None, against: list[Reason]) -> Asked | None:
    """What the form asks for; what is against asking it is added to ``against``."""
    replaces = _replaced(request, bench, code)
    if code is None:
        if bench.next is None or bench.here is None:
            return None
        characteristic = bench.next.characteristic
    else:
        characteristic = bench.characteristic(code)
    if replaces:
        # A correction belongs to the visit of the reading it corrects, wherever the housing is now.
        against[:] = [reason for reason in against if reason.code != "nowhere"]
        visit: Visit | None = replaces.visit
    else:
        visit = _visit_of_form(request, bench) or bench.here
    if visit is None:
        return None
    due = characteristic.due_at(visit.station)
    if due is None:
        facts = {"name": characteristic.name, "station": visit.at.name}
        against.append(Reason("not_due_here", facts))
        return None
    return Asked(characteristic, due, visit, replaces)


def _visit_of_form(request: HttpRequest, bench: Bench) -> Visit | None:
    """The visit for which a sent form was made, though the housing may have gone on meanwhile."""
    number = request.POST.get("visit", "")
    made = {str(v.number): v for v in bench.situation.visits if v.state in {HERE, LEFT}}
    return made.get(number)


def _replaced(request: HttpRequest, bench: Bench, code: str | None) -> Reading | None:
    """The earlier reading that the address says is to be corrected."""
    wanted = request.GET.get("replaces")
    if not wanted:
        return None
    replaced = {reading.replaces_id for reading in bench.measured.readings}
    for reading in bench.measured.readings:
        if str(reading.pk) == wanted and reading.pk not in replaced:
            characteristic = next(
                c for c in bench.measured.characteristics if c.pk == reading.characteristic_id
            )
            if characteristic.code == code:
                reading.characteristic = characteristic
                reading.visit = next(v for v in bench.situation.visits if v.pk == reading.visit_id)
                return reading
    raise refuse("not_found", what=_("reading to be corrected"), name=wanted[:60])


def _form(
    request: HttpRequest, bench: Bench, asked: Asked, gauges: list[Gauge], **kwargs: Any
) -> ReadingForm:
    return ReadingForm(
        asked.characteristic,
        asked.due,
        gauges,
        replaces=asked.replaces,
        points=_points(request),
        in_use=bench.situation.in_use,
        **kwargs,
    )


def _points(request: HttpRequest) -> int:
    typed = request.GET.get("points", "")
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 4 else 0


def _initial(request: HttpRequest, bench: Bench, asked: Asked) -> dict[str, Any]:
    """What the form starts with: the gauge used last, and how warm the part was a moment ago."""
    initial: dict[str, Any] = {
        "seen_position": bench.measured.housing.record_position,
        "visit": asked.visit.number,
    }
    if asked.replaces:
        return initial | initial_of(asked.replaces)
    kept = request.session.get("reading", {})
    initial["gauge"] = kept.get("gauges", {}).get(
        asked.characteristic.code.rstrip("0123456789"), kept.get("gauge")
    )
    initial["temperature_unit"] = kept.get("temperature_unit", "F")
    if asked.characteristic.unit and kept.get("unit"):
        initial["unit"] = kept["unit"]
    warm = next((r for r in reversed(bench.measured.readings) if r.temperature), None)
    if warm and bench.here and warm.visit_id == bench.here.pk:
        age = (timezone.now() - warm.done_at).total_seconds()
        if age < TEMPERATURE_KEPT_SECONDS:
            initial |= {"temperature": warm.temperature, "temperature_unit": warm.temperature_unit}
    return initial


def _keep(request: HttpRequest, entered: dict[str, Any], characteristic: Characteristic) -> None:
    """Remember for this session what the next reading most likely shares with this one."""
    kept = {**request.session.get("reading", {})}
    if gauge := entered.get("gauge"):
        alike = characteristic.code.rstrip("0123456789")
        kept |= {"gauge": gauge, "gauges": {**kept.get("gauges", {}), alike: gauge}}
    if unit := entered["raw"].get("unit"):
        kept["unit"] = unit
    if temperature := entered.get("temperature"):
        kept["temperature_unit"] = temperature["unit"]
    if kept != request.session.get("reading", {}):
        request.session["reading"] = kept


def _record(request: HttpRequest, bench: Bench, asked: Asked, gauges: list[Gauge]) -> HttpResponse:
    if scanned := _scanned_gauge(request, asked, gauges):
        form = _form(request, bench, asked, gauges, data=scanned)
        form.is_valid()
        form.errors.clear()
        messages.info(request, _("Gauge %(gauge)s is chosen.") % {"gauge": form.data["gauge"]})
        return _page(request, bench, asked, form, [])
    form = _form(request, bench, asked, gauges, data=request.POST)
    if form.is_valid():
        entered = form.entry()
        if request.POST.get("measured") in {"before", "after"}:
            entered["measured"] = request.POST["measured"]
        serial = bench.measured.housing.serial
        answer = attempt(request, form, record_readings, housing=serial, readings=[entered])
        if answer:
            _keep(request, entered, asked.characteristic)
            recorded = urlencode({"recorded": answer["readings"][0]["id"]})
            # The page begins at the verdict: on a phone the next figure's field is in sight as well.
            return redirect(f"{reverse('entry', args=[serial])}?{recorded}#recorded")
    return _page(request, bench, asked, form, [])


def _scanned_gauge(request: HttpRequest, asked: Asked, gauges: list[Gauge]) -> Any:
    """What was sent, with the gauge chosen whose code was scanned where a figure is typed; else ``None``."""
    codes = {gauge.code.casefold(): gauge.code for gauge in gauges}
    for name in ("value", "turn_0", "x", "list", "x_1"):
        typed = request.POST.get(name, "").strip()
        code = codes.get(typed.casefold()) if typed and len(typed) <= 20 else None
        if code and not typed.replace(".", "").replace(",", "").isdigit():
            data = request.POST.copy()
            data["gauge"], data[name] = code, ""
            return data
    return None


def _page(
    request: HttpRequest, bench: Bench, asked: Asked | None, form: ReadingForm | None, against: list[Reason]
) -> HttpResponse:
    housing = bench.measured.housing
    reasons = form.reasons if form is not None else ()
    recorded = _recorded(request, bench)
    if recorded and form is not None:
        form.focus_quietly()
    context = {
        "housing": housing,
        "here": bench.here,
        "stations": marks_of(bench.situation.visits),
        "rows": bench.rows(),
        "form": form,
        "asked": _in_words(bench, asked) if asked else None,
        "against": sentences(against),
        "moved_meanwhile": next((r for r in reasons if r.code == "moved_meanwhile"), None),
        "recorded": recorded,
        "waiting": bench.waiting,
        "asked_row": asked.characteristic.pk if asked else None,
        "done": bool(bench.due) and bench.next is None and not bench.waiting,
    }
    return show(request, "entry.html", context, form=form)


def _in_words(bench: Bench, asked: Asked) -> dict[str, Any]:
    """What the form asks for, in words."""
    characteristic = asked.characteristic
    places = [standing.characteristic.pk for standing in bench.due]
    number = places.index(characteristic.pk) + 1 if characteristic.pk in places else None
    return {
        "characteristic": characteristic,
        "station": asked.visit.at.name,
        "limit": wording.limit_words(asked.due.lower, asked.due.upper, characteristic.unit),
        "answers": wording.answers(characteristic) if characteristic.kind == GO_NO_GO else (),
        "replaces": asked.replaces,
        "replaced_figure": wording.figure_with_unit(asked.replaces, characteristic) if asked.replaces else "",
        "can_be_rows": characteristic.kind == FACE_POINTS,
        "least": characteristic.parameters.get("points_at_least", 1),
        "number": number,
        "count": len(places),
        "standing": bench.measured.standings[characteristic.pk],
        "waits_for_work": not asked.replaces and bench.waits_for_work(characteristic),
    }


def _recorded(request: HttpRequest, bench: Bench) -> dict[str, Any] | None:
    """The reading that was recorded just now, with its verdict."""
    try:
        wanted = uuid.UUID(request.GET.get("recorded", ""))
    except ValueError:
        return None
    reading = next((r for r in bench.measured.readings if r.pk == wanted), None)
    if reading is None:
        return None
    characteristic = next(c for c in bench.measured.characteristics if c.pk == reading.characteristic_id)
    return {
        "reading": reading,
        "characteristic": characteristic,
        "why": wording.why(reading, characteristic),
        "nonconformance": next(
            (found for found in bench.measured.nonconformances if found.reading_id == reading.pk), None
        ),
        "before_work": bench.here is not None
        and reading.visit_id == bench.here.pk
        and bench.waits_for_work(characteristic),
    }
