"""What is due at the present station, one thing at a time, and the verdict at once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from housings import gate, queries
from housings.models import WeldPass, WorkDone
from inspections import drafts
from inspections.bench import Bench
from inspections.forms.readings import ReadingForm
from inspections.forms.readings.doubts import Doubt, doubts_of
from inspections.measuring import Measuring
from inspections.models import Gauge
from inspections.operations.readings import record_readings
from inspections.pages.entry import kept
from inspections.pages.entry.asking import form_at, initial_at, measuring_at
from inspections.pages.entry.drafts import offered
from inspections.pages.entry.paper import file_page
from inspections.pages.entry.scanned import chosen_words, scanned_in, warnings_of
from inspections.pages.entry.shown import page
from inspections.pages.showing import attempt
from inspections.queries import equipment_on_file
from inspections.rules import GAUGE_IN_DATE
from inspections.standing import last_move
from shopqc.doors import actor_at, for_roles, person_at
from shopqc.refusals import Refused, refuse
from shopqc.whole_numbers import whole


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def entry(request: HttpRequest, serial: str, code: str | None = None) -> HttpResponse:
    """What is due here, the next one with its form; or the one that the address names."""
    actor = actor_at(request)
    bench = Bench(gate.Situation(queries.housing_by_serial(actor, serial)), actor)
    sent = request.method == "POST"
    # What was sent goes to the operation, which says what is in the way; the page keeps what was typed.
    against = [] if sent else bench.reasons()
    measuring = measuring_at(request, bench, code, against)
    equipment = equipment_on_file() if measuring and measuring.needs_gauge else []
    if sent:
        if measuring is None:
            raise Refused(*against) if against else refuse("page_not_found")
        return _Sent(request, bench, measuring, equipment).answer()
    if measuring is None or against:
        return page(request, bench, measuring, None, against=against)
    initial = initial_at(request, bench, measuring)
    draft = offered(request, bench, measuring)
    if draft and "draft" in request.GET:
        # What was typed then was measured then: the form still says what its page had seen.
        unticked = {"settled": "", "same_page": ""}
        initial |= unticked | draft["draft"].typed | {"seen_position": draft["draft"].seen_position}
        draft = None
    form = form_at(request, bench, measuring, _offered(bench, equipment), initial=initial)
    warnings = warnings_of(bench, form, equipment)
    return page(request, bench, measuring, form, draft=draft, warnings=warnings)


def _offered(bench: Bench, equipment: Sequence[Gauge]) -> list[Gauge]:
    """What can be chosen: while the rule is not in use also what was withdrawn, which is then warned of."""
    if GAUGE_IN_DATE not in bench.situation.in_use:
        return list(equipment)
    return [piece for piece in equipment if piece.withdrawn_at is None]


class _Sent:
    """A form that was sent, on its way to the record: a scan, a slip or somebody else may come between."""

    def __init__(
        self, request: HttpRequest, bench: Bench, measuring: Measuring, equipment: Sequence[Gauge]
    ) -> None:
        self.request, self.bench, self.measuring, self.equipment = request, bench, measuring, equipment

    def answer(self) -> HttpResponse:
        request = self.request
        form = self._form(request.POST, request.FILES)
        if scanned := scanned_in(request, form, self.equipment):
            reasons = scanned.against(self.bench, self.measuring)
            form = self._form(scanned.data if reasons else scanned.chosen())
            form.errors.clear()
            for reason in reasons:
                messages.error(request, reason)
            if not reasons:
                messages.info(request, chosen_words(scanned))
            return self._again(form)
        form.is_valid()
        if form.cleaned_data.get("photo"):
            # Filed at once: a page that comes back with a question cannot hold a file again.
            if not file_page(request, form):
                return self._again(form)
            data = request.POST.copy()
            data["same_page"] = "on"
            form = self._form(data)
        if not form.is_valid():
            return self._again(form)
        if found := self._doubts(form):
            if request.POST.get("meant") != "other":
                return self._again(form, doubts=found)
            typed: Any = form.data
            form = self._form({**typed.dict(), **found[0].changes})
            if not form.is_valid() or (found := self._doubts(form)):
                return self._again(form, doubts=found)
        if others := self._recorded_meanwhile(form):
            return self._again(form, meanwhile=others)
        return self._record(form)

    def _form(self, data: Any, files: Any = None) -> ReadingForm:
        return form_at(
            self.request,
            self.bench,
            self.measuring,
            _offered(self.bench, self.equipment),
            data=data,
            files=files,
        )

    def _doubts(self, form: ReadingForm) -> list[Doubt]:
        return doubts_of(form.sheet, form.cleaned_data, self.request.POST.getlist("confirmed"))

    def _recorded_meanwhile(self, form: ReadingForm) -> list[Any]:
        """What somebody else has recorded of it since the page was loaded, unless that was said already."""
        if self.measuring.replaces:
            return []
        told = whole(self.request.POST.get("told", "")) or 0
        seen = max(form.cleaned_data["seen_position"], told)
        asked = {c.pk for c in self.measuring.characteristics}
        return [
            reading
            for reading in self.bench.measured.readings
            if reading.characteristic_id in asked
            and reading.record_position > seen
            and reading.by_person != person_at(self.request).pk
        ]

    def _moved_after_the_page(self, form: ReadingForm) -> WorkDone | WeldPass | None:
        """What was welded or worked after the hour which the page says, and could have moved it.

        Clocks only ask; whether it was measured before or after, the person says.
        """
        if not form.from_paper:
            return None
        situation, written = self.bench.situation, form.cleaned_data["done_at"]
        moves = (last_move(c, situation.moves, situation.visits) for c in self.measuring.characteristics)
        return next((move for move in moves if move is not None and move.done_at > written), None)

    def _record(self, form: ReadingForm) -> HttpResponse:
        request, measuring = self.request, self.measuring
        entries = form.entries()
        measured, moved = request.POST.get("measured"), self._moved_after_the_page(form)
        if measured in {"before", "after"}:
            for one in entries:
                one["measured"] = measured
                if measured == "before" and moved is not None:
                    one["seen_position"] = min(one["seen_position"], moved.record_position - 1)
        elif moved is not None:
            form.take(refuse("moved_meanwhile", station=moved.visit.at.name, name=measuring.name))
            return self._again(form)
        if form.from_paper:
            for one in entries:
                one |= form.page_said()
        serial = self.bench.measured.housing.serial
        answer = attempt(request, form, record_readings, housing=serial, readings=entries)
        if answer is None:
            return self._again(form)
        kept.keep(request, measuring, form.cleaned_data)
        if not measuring.replaces:
            # A correction is asked for no page; the next reading may still be from the same one.
            kept.keep_paper(request, measuring.visit, entries[0])
        drafts.drop(measuring.visit, measuring.code, person_at(request))
        for warning in warnings_of(self.bench, form, self.equipment):
            messages.warning(request, warning)
        recorded = urlencode({"recorded": answer["readings"][0]["id"]})
        # The page begins at the verdict: on a phone the next figure's field is in sight as well.
        return redirect(f"{reverse('entry', args=[serial])}?{recorded}#recorded")

    def _again(self, form: ReadingForm, **asked: Any) -> HttpResponse:
        warnings = warnings_of(self.bench, form, self.equipment)
        return page(self.request, self.bench, self.measuring, form, warnings=warnings, **asked)
