"""What was found wrong: the list of what waits for a decision, one of them with its decision, raising one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from housings import gate, queries
from housings.engineering.stations import STATIONS
from housings.models import Housing, Visit
from housings.rules import reasons_of_state
from housings.spine import marks_of
from inspections import wording
from inspections.forms.nonconformances import ConcessionForm, DecisionForm, ProblemForm, kind_of
from inspections.models import Nonconformance, Reading
from inspections.models.nonconformances import DECISIONS, DEFECTS, ENTRY_ERROR, REPAIR, REWORK
from inspections.models.plans import MAJOR
from inspections.operations.nonconformances import (
    dispose,
    raise_nonconformance,
    reasons_against_decision,
)
from inspections.pages.showing import attempt, page_of, sentences, show
from inspections.queries import Measured, nonconformances
from inspections.rework import visits_for_rework
from inspections.weld_queries import joints_with
from shopqc import files
from shopqc.doors import actor_at, for_roles, person_at
from shopqc.operations.documents import file_document, keep
from shopqc.people import ENGINEER
from shopqc.refusals import Reason, Refused, refuse

SUFFIXES = {"application/pdf": "pdf", "image/jpeg": "jpg", "image/png": "png"}


@for_roles()
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    """What waits for a decision in the whole shop, the oldest first; or everything, the newest first."""
    everything = "all" in request.GET
    found = nonconformances(actor_at(request))
    rows = (
        found.order_by("-raised_at") if everything else found.filter(disposition=None).order_by("raised_at")
    )
    return show(request, "nonconformances.html", {"page": page_of(request, rows), "everything": everything})


@dataclass
class Case:
    """One nonconformance as its page shows it, and who looks at it."""

    request: HttpRequest
    housing: Housing
    found: Nonconformance

    def __post_init__(self) -> None:
        self.situation = gate.Situation(self.housing)
        self.measured = self.situation.kept(Measured)

    @property
    def concession(self) -> str:
        """The filed document that the address names, if it is there."""
        sha256 = self.request.POST.get("concession") or self.request.GET.get("concession", "")
        return sha256 if files.is_kept(sha256) else ""

    def reasons_against(self, kind: str, concession: str) -> list[Reason]:
        who = person_at(self.request)
        return reasons_against_decision(
            self.found,
            kind,
            roles=frozenset(who.roles),
            credential=who.credential,
            concession=concession,
        )

    def choices(self) -> list[dict[str, Any]]:
        """Each decision, and why this person may not make it; what a document would mend is said apart."""
        with_it = {kind: self.reasons_against(kind, "filed") for kind in DECISIONS}
        if self.found.reading_id is None:
            with_it[ENTRY_ERROR].append(Reason("no_reading_to_replace"))
        return [
            {
                "kind": kind,
                "name": name,
                "what": WHAT_IT_MEANS[kind],
                "against": sentences(with_it[kind]),
                "needs_concession": not with_it[kind] and bool(self.reasons_against(kind, self.concession)),
            }
            for kind, name in DECISIONS.items()
        ]

    def replacing(self) -> list[tuple[Reading, str]]:
        """Readings that replace the one that failed."""
        characteristic = self.found.characteristic
        if characteristic is None or self.found.reading_id is None:
            return []
        return [
            (reading, f"{wording.figure_with_unit(reading, characteristic)}, {reading.verdict}")
            for reading in self.measured.readings
            if reading.replaces_id == self.found.reading_id
        ]

    def inserted(self, stations: list[str]) -> list[dict[str, str]]:
        """Which visits a rework at these stations puts in between."""
        wanted = visits_for_rework(
            stations,
            self.found.characteristic,
            self.found.reading,
            self.measured.characteristics,
            self.situation.visits,
        )
        return [
            {
                "name": STATIONS[station].name,
                "kind": _("to measure again") if kind == Visit.MEASURE else _("rework"),
            }
            for station, kind in wanted
        ]


WHAT_IT_MEANS = {
    "rework": gettext_lazy("Made as it was asked for, at the stations chosen below, then measured again."),
    "repair": gettext_lazy("Made usable, though not as it was asked for; measured again."),
    "use_as_is": gettext_lazy("Accepted as it is; it prints on the certificate."),
    "scrap": gettext_lazy("This housing ends here; nothing more is done to it."),
    "entry_error": gettext_lazy("The reading was typed wrongly and another one replaces it."),
}


def _case(request: HttpRequest, serial: str, number: int) -> Case:
    housing = queries.housing_by_serial(actor_at(request), serial)
    found = (
        Nonconformance.objects.select_related("disposition", "characteristic", "reading__gauge", "visit")
        .filter(housing=housing, number=number)
        .first()
    )
    if found is None:
        raise refuse("not_found", what=_("nonconformance"), name=number)
    return Case(request, housing, found)


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def one(request: HttpRequest, serial: str, number: int) -> HttpResponse:
    """One nonconformance, with its reading and its decision; deciding it."""
    case = _case(request, serial, number)
    if request.method != "POST":
        return _page(case, _decision_form(case, initial={"concession": case.concession}))
    form = _decision_form(case, data=request.POST)
    if "look" in request.POST:
        # Only what would be put in between is asked; nothing is decided and nothing is wrong yet.
        stations = [code for code in request.POST.getlist("stations") if code in STATIONS]
        form.is_valid()
        form.errors.clear()
        return _page(case, form, inserted=case.inserted(stations))
    if form.is_valid() and attempt(
        request, form, dispose, housing=case.housing.serial, nonconformance=number, **form.inputs()
    ):
        messages.success(request, _("The decision is recorded."))
        return redirect("nonconformance", serial=case.housing.serial, number=number)
    return _page(case, form)


def _decision_form(case: Case, **kwargs: Any) -> DecisionForm:
    return DecisionForm(case.replacing(), **kwargs)


def _page(
    case: Case,
    form: DecisionForm,
    *,
    inserted: list[dict[str, str]] | None = None,
    concession_form: ConcessionForm | None = None,
) -> HttpResponse:
    found, reading = case.found, case.found.reading
    if not form.is_bound:
        form.initial.setdefault("decision", None)
    actor = actor_at(case.request)
    against = [*actor.reasons_against("dispose"), *(reasons_of_state(case.housing) if found.is_open else ())]
    characteristic = found.characteristic
    context = {
        "housing": case.housing,
        "stations": marks_of(case.situation.visits),
        "found": found,
        "decision": found.decision,
        "is_major": found.severity == MAJOR,
        "defect": DEFECTS.get(found.defect, "") if found.defect not in {"", "other"} else "",
        "station": found.visit.at.name if found.visit else "",
        "joints": joints_with(found) if reading is None else (),
        "reading": reading,
        "figure": wording.figure_with_unit(reading, characteristic) if reading and characteristic else "",
        "limit": wording.limit_words(reading.lower, reading.upper, characteristic.unit)
        if reading and characteristic
        else "",
        "form": form,
        "chosen": form["decision"].value(),
        "choices": case.choices() if found.is_open else [],
        "against": sentences(against),
        "inserted": inserted,
        "concession": case.concession,
        "concession_form": concession_form or ConcessionForm(),
        "may_correct": bool(characteristic) and not actor.reasons_against("record_readings"),
        "replaced": bool(case.replacing()),
        "needs_stations": (REWORK, REPAIR),
        "entry_error": ENTRY_ERROR,
        "engineer": ENGINEER,
    }
    return show(case.request, "nonconformance.html", context, form=concession_form or form)


@for_roles()
@require_POST
def concession(request: HttpRequest, serial: str, number: int) -> HttpResponse:
    """File the customer's concession; the decision names it afterwards."""
    case = _case(request, serial, number)
    form = ConcessionForm(request.POST, request.FILES)
    if form.is_valid():
        # A worker files photographs and charts, not what lets something pass that failed.
        actor_at(request).check_may("dispose")
        document = form.cleaned_data["document"]
        try:
            content = document.read()
            kind = kind_of(content)
            sha256 = keep(content, kind)
        except Refused as refused:
            form.take(refused)
            form.errors["document"] = form.error_class(refused.sentences)
        else:
            if attempt(request, form, file_document, sha256=sha256, kind=kind, size=len(content)):
                address = reverse("nonconformance", args=[case.housing.serial, number])
                return redirect(f"{address}?{urlencode({'concession': sha256})}#decide")
    return _page(case, _decision_form(case), concession_form=form)


@for_roles()
@require_safe
def document(request: HttpRequest, serial: str, number: int) -> FileResponse:
    """The filed concession of a decision, to be kept or opened elsewhere, never shown in the page."""
    case = _case(request, serial, number)
    if case.found.decision is None or not case.found.decision.concession:
        raise refuse("page_not_found")
    path = files.path_of(case.found.decision.concession)
    if not path.exists():
        raise refuse("page_not_found")
    with path.open("rb") as file:
        kind = kind_of(file.read(16))
    name = f"concession {case.housing.serial} {number}.{SUFFIXES.get(kind, 'bin')}"
    return FileResponse(
        path.open("rb"), as_attachment=True, filename=name, content_type=kind or "application/octet-stream"
    )


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def problem(request: HttpRequest, serial: str) -> HttpResponse:
    """Say that something is wrong with a housing."""
    actor = actor_at(request)
    situation = gate.Situation(queries.housing_by_serial(actor, serial))
    measured = situation.kept(Measured)
    read = [s.characteristic for s in measured.standings.values() if s.reading]
    against = [*actor.reasons_against("raise_nonconformance"), *reasons_of_state(situation.housing)]
    # A page that refused something offers it here: what it was, in the address.
    asked = {
        name: request.GET[name][:500] for name in ("characteristic", "defect", "what") if name in request.GET
    }
    form = ProblemForm(read, data=request.POST or None, initial=asked)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        answer = attempt(
            request,
            form,
            raise_nonconformance,
            housing=situation.housing.serial,
            what=data["what"],
            defect=data["defect"],
            characteristic=data["characteristic"] or None,
            hold=data["hold"],
        )
        if answer:
            number = answer["nonconformance"]
            words = _("Nonconformance %(number)d of this housing is open.") % {"number": number}
            messages.success(request, words)
            return redirect("nonconformance", serial=situation.housing.serial, number=number)
    context = {
        "housing": situation.housing,
        "stations": marks_of(situation.visits),
        "form": form,
        "against": [] if form.is_bound else sentences(against),
    }
    return show(request, "problem_new.html", context, form=form)
