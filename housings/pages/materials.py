"""What a housing is made of, and scanning the steel of its parts where they are joined."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from housings import gate, queries, rules, states
from housings.engineering.parts import TracedPart, parts_of
from housings.engineering.spec import spec_from
from housings.engineering.stations import STATIONS
from housings.findings import wrong_steel_accepted_at
from housings.material_forms import ScanForm, asked_words
from housings.material_queries import fillers_of, materials_replaced
from housings.material_rules import is_accepted, reasons_against_steel, steel_in
from housings.models import Housing, MaterialUse
from housings.operations.materials import use_material
from housings.pages.heats import state_of
from housings.pages.sending import sentences, show
from housings.spine import marks_of
from housings.steel_words import KINDS, part_name
from shopqc import doors
from shopqc.doors import actor_at, for_roles, may
from shopqc.refusals import Reason, Refused

WRONG_STEEL = frozenset({"steel_plain_carbon", "steel_other_grade", "steel_other_condition"})


@dataclass
class MadeOf:
    """The steel of a housing as its page shows it."""

    situation: gate.Situation

    def __post_init__(self) -> None:
        self.housing = self.situation.housing
        self.parts = parts_of(spec_from(self.housing.spec.data))
        self.steel = self.situation.kept(steel_in)
        self.here = queries.visit_here(self.situation.visits)

    def is_reached(self, part: TracedPart) -> bool:
        """Whether the steel of a part can be recorded: it is joined here, or was before."""
        at = [visit for visit in self.situation.visits if visit.station == part.station]
        if any(visit.state in {states.HERE, states.LEFT} for visit in at):
            return True
        return self.here is not None and all(visit.state == states.DROPPED for visit in at)

    def is_joined_here(self, part: TracedPart) -> bool:
        return self.here is not None and self.here.station == part.station

    @property
    def open_parts(self) -> list[TracedPart]:
        """Parts without steel on record that can have it now, those of this station first."""
        found = [part for part in self.parts if part.code not in self.steel and self.is_reached(part)]
        return sorted(found, key=lambda part: not self.is_joined_here(part))

    def rows(self) -> list[dict[str, Any]]:
        return [self._row(part) for part in self.parts]

    def _row(self, part: TracedPart) -> dict[str, Any]:
        use = self.steel.get(part.code)
        row = {
            "part": part,
            "name": _(part.name),
            "station": _(STATIONS[part.station].name),
            "asked": asked_words(part),
            "use": use,
        }
        if use is None:
            word = _("not recorded") if self.is_reached(part) else _("comes later")
            return {**row, "mark": "open", "word": word}
        against = reasons_against_steel(part, use.heat)
        if (against or use.heat.recalled_at) and is_accepted(self.housing, use.heat):
            return {**row, "mark": "undecided", "word": _("not as asked; a decision accepted it")}
        if use.heat.recalled_at:
            return {**row, **state_of(use.heat)}
        if against:
            return {**row, "mark": "fail", "word": against[0].sentence}
        return {**row, "mark": "pass", "word": _("recorded")}


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def materials_here(request: HttpRequest, serial: str) -> HttpResponse:
    """What a housing is made of; scanning the steel of the parts that are joined here."""
    made = MadeOf(gate.Situation(queries.housing_by_serial(actor_at(request), serial)))
    wanted = request.POST.get("correct") or request.GET.get("part", "")
    parts = [part for part in made.parts if part.code == wanted and part.code in made.steel]
    known = made.steel[parts[0].code] if parts else None
    parts = parts or made.open_parts
    needs_why = (
        known is not None
        or not all(made.is_joined_here(part) for part in parts)
        or wrong_steel_accepted_at(made.housing) is not None
    )
    form = ScanForm(parts, known, needs_why, request.POST or None)
    reasons: Sequence[Reason] = ()
    status = 422 if form.is_bound else 200
    if request.method == "POST" and form.is_valid():
        try:
            answer = doors.run(
                request, use_material, form, housing=made.housing.serial, materials=form.materials
            )
        except Refused as refused:
            form.say(refused.reasons)
            reasons, status = refused.reasons, refused.status
        else:
            messages.success(request, _said(answer))
            return redirect("materials-here", serial=made.housing.serial)
    return show(request, "materials_here.html", _context(request, made, form, known, reasons), status)


def _said(answer: dict[str, Any]) -> str:
    names = ", ".join(f"{part_name(one['part'])}: {one['heat']}" for one in answer["materials"])
    count = len(answer["materials"])
    return ngettext("Recorded: %(names)s.", "Recorded: %(names)s.", count) % {"names": names}


def _context(
    request: HttpRequest, made: MadeOf, form: ScanForm, known: MaterialUse | None, refused: Sequence[Reason]
) -> dict[str, Any]:
    against = [
        *actor_at(request).reasons_against("use_material"),
        *rules.reasons_of_state(made.housing),
        *rules.reasons_of_away(made.situation.visits),
    ]
    lots = [{"heat": heat, "kind": KINDS[heat.kind], **state_of(heat)} for heat in fillers_of(made.housing)]
    replaced = [(use, part_name(use.part)) for use in materials_replaced(made.housing)]
    return {
        "housing": made.housing,
        "stations": marks_of(made.situation.visits),
        "rows": made.rows(),
        "lots": lots,
        "replaced": replaced,
        "form": form,
        "known": known,
        "known_name": part_name(known.part) if known else "",
        "against": [] if form.is_bound else sentences(against),
        "may_correct": not against,
        "may_raise": may(request, "raise_nonconformance"),
        "wrong_steel": _problem_page(made.housing, refused),
    }


def _problem_page(housing: Housing, refused: Sequence[Reason]) -> str:
    """Where wrong steel that lies here is raised, with what was refused in words; empty if none was."""
    said = [reason.sentence for reason in refused if reason.code in WRONG_STEEL]
    if not said:
        return ""
    asked = urlencode({"defect": "wrong_steel", "what": " ".join(said)[:500]})
    return f"{reverse('problem-new', args=[housing.serial])}?{asked}"
