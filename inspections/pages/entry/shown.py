"""The page of an entry: the verdict of the one before, what is asked now, and all that is due."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from housings.spine import marks_of
from inspections import wording
from inspections.bench import Bench
from inspections.forms.from_file import shape_of
from inspections.forms.readings import ReadingForm
from inspections.forms.readings.doubts import Doubt
from inspections.measuring import Measuring, name_of, same_measuring
from inspections.models import Reading
from inspections.models.readings import FAIL, PASS, UNDECIDED
from inspections.pages.showing import sentences, show
from inspections.pictures import Picture, picture_of
from inspections.recomputing import asked_of
from inspections.verdicts import Judged, could_change_by_rolling
from inspections.weld_told import told_of
from shopqc.refusals import Reason

KEPT_IN_ADDRESS = ("replaces", "points", "way")
# One measuring has at most a face, its relation to the axis, the bore and the holes to show.
MOST_PICTURES = 4
WORST_FIRST = (FAIL, UNDECIDED, PASS)


def page(
    request: HttpRequest,
    bench: Bench,
    measuring: Measuring | None,
    form: ReadingForm | None,
    *,
    against: Sequence[Reason] = (),
    draft: dict[str, Any] | None = None,
    doubts: Sequence[Doubt] = (),
    meanwhile: Sequence[Reading] = (),
    warnings: Sequence[str] = (),
) -> HttpResponse:
    """Render it; ``against``: why nothing can be entered; ``doubts``, ``meanwhile``: what is asked first."""
    reasons = form.reasons if form is not None else ()
    recorded = _recorded(request, bench)
    if form is not None and (doubts or meanwhile or form.errors):
        # On a phone the focus would move the page past the question, or past why nothing was recorded.
        form.focus_nowhere()
    elif form is not None and (recorded or draft):
        form.focus_quietly()
    context = {
        "housing": bench.measured.housing,
        "here": bench.here,
        "stations": marks_of(bench.situation.visits),
        "rows": bench.rows(),
        "form": form,
        "sheet_template": f"inspections/entry/{form.sheet.template}" if form else None,
        "scripts": [f"inspections/{name}.js" for name in form.sheet.scripts] if form else [],
        "address": _address(request),
        "from_file": bool(measuring and not measuring.replaces and shape_of(measuring)),
        "may_simulate": settings.SIMULATED_GAUGE,
        "held_back": bool(doubts or meanwhile or any(r.code == "moved_meanwhile" for r in reasons)),
        "asked": _in_words(bench, measuring) if measuring else None,
        "against": sentences(against),
        "moved_meanwhile": next((r for r in reasons if r.code == "moved_meanwhile"), None),
        "draft": draft,
        "doubt": doubts[0] if doubts else None,
        "doubts": len(doubts),
        "confirmed": request.POST.getlist("confirmed"),
        "meanwhile": [_recorded_row(bench, reading) for reading in meanwhile],
        "told": max((reading.record_position for reading in meanwhile), default=None),
        "told_before": request.POST.get("told", ""),
        "warnings": warnings,
        "recorded": recorded,
        "waiting": bench.waiting,
        "done": bool(bench.due) and bench.next is None and not bench.waiting,
    }
    return show(request, "entry.html", context, form=form)


def _address(request: HttpRequest) -> str:
    """The further words of the address that a form goes on with: what it corrects, how it is typed."""
    kept = {name: request.GET[name] for name in KEPT_IN_ADDRESS if request.GET.get(name)}
    return f"?{urlencode(kept)}" if kept else ""


def _in_words(bench: Bench, measuring: Measuring) -> dict[str, Any]:
    """What the form asks for, in words."""
    first = measuring.first
    groups = [[standing.characteristic.pk for standing in group] for group in bench.measurings]
    number = next((n for n, group in enumerate(groups, start=1) if first.pk in group), None)
    replaced = [measuring.replaces[c.pk] for c in measuring.characteristics if c.pk in measuring.replaces]
    standings = [bench.measured.standings[c.pk] for c in measuring.characteristics]
    return {
        "measuring": measuring,
        "characteristic": first,
        "name": measuring.name,
        "code": first.code,
        "pk": first.pk,
        "station": measuring.visit.at.name,
        "limits": [_limit(measuring, c) for c in measuring.characteristics],
        "replaces": replaced[0] if replaced else None,
        "replaced_figure": ", ".join(wording.figure_with_unit(r, r.characteristic) for r in replaced),
        "number": number,
        "count": len(groups),
        "counts_already": any(s.reading and s.state != "moved_since" for s in standings),
        "told": told_of(bench.situation, [c.code for c in measuring.characteristics]),
        "waits_for_work": not replaced and any(bench.waits_for_work(c) for c in measuring.characteristics),
    }


def _limit(measuring: Measuring, characteristic: Any) -> dict[str, Any]:
    due = measuring.due(characteristic)
    return {
        "name": characteristic.name,
        "words": wording.limit_words(due.lower, due.upper, characteristic.unit),
        "from": characteristic.measured_from,
        "note": characteristic.note,
    }


def _recorded(request: HttpRequest, bench: Bench) -> dict[str, Any] | None:
    """What was recorded just now, each figure of the one measuring with its verdict."""
    try:
        wanted = uuid.UUID(request.GET.get("recorded", ""))
    except ValueError:
        return None
    named = next((r for r in bench.measured.readings if r.pk == wanted), None)
    if named is None:
        return None
    known = {c.pk: c for c in bench.measured.characteristics}
    first = known[named.characteristic_id]
    rows = [
        _recorded_row(bench, reading)
        for reading in bench.measured.readings
        if reading.pk == named.pk
        or (
            reading.record_position == named.record_position
            and same_measuring(first, known[reading.characteristic_id])
        )
    ]
    worst = min(rows, key=lambda row: WORST_FIRST.index(row["reading"].verdict))
    return {
        **worst,
        "rows": rows if len(rows) > 1 else [],
        "name": name_of([row["characteristic"] for row in rows]),
        "pictures": _pictures(rows),
        "could_roll": any(_could_change_by_rolling(row["reading"]) for row in rows),
        "nonconformances": [row["nonconformance"] for row in rows if row["nonconformance"]],
        "before_work": bench.here is not None
        and named.visit_id == bench.here.pk
        and any(bench.waits_for_work(row["characteristic"]) for row in rows),
    }


def _pictures(rows: Sequence[dict[str, Any]]) -> list[Picture]:
    """The pictures of what was recorded, worst first; figures that share a drawing have it once."""
    found: dict[str, Picture] = {}
    for row in sorted(rows, key=lambda row: WORST_FIRST.index(row["reading"].verdict)):
        reading = row["reading"]
        picture = picture_of(
            row["characteristic"], reading.raw, reading.detail, reading.lower, reading.upper, reading.value
        )
        if picture is not None:
            found.setdefault(picture.svg, picture)
    return list(found.values())[:MOST_PICTURES]


def _could_change_by_rolling(reading: Reading) -> bool:
    """Whether rolling the housing 180° and reading once more could give another verdict."""
    judged = Judged(reading.value, reading.verdict, reading.detail, reading.uncertainty)
    return could_change_by_rolling(asked_of(reading), judged)


def _recorded_row(bench: Bench, reading: Reading) -> dict[str, Any]:
    characteristic = next(c for c in bench.measured.characteristics if c.pk == reading.characteristic_id)
    reading.characteristic = characteristic
    return {
        "reading": reading,
        "characteristic": characteristic,
        "why": wording.why(reading, characteristic),
        "nonconformance": next(
            (found for found in bench.measured.nonconformances if found.reading_id == reading.pk), None
        ),
    }
