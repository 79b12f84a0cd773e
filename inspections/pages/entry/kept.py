"""What a session remembers from one reading to the next: it is most likely the same."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest

from housings.models import Visit
from inspections.forms.readings.equipment import measured_by
from inspections.measuring import Measuring
from inspections.verdicts import LENGTHS

# Of how many visits the set-up is remembered: housings alternate at a bench.
VISITS_REMEMBERED = 8
# How the part is held differs from one kind of measuring to the next, how warm the shop is does not.
HELD = ("support", "v_angle", "section", "bar", "master")
WARM = ("thermometer", "air", "settled")


def initial_of(request: HttpRequest, measuring: Measuring) -> dict[str, Any]:
    """What the next form starts with."""
    kept = request.session.get("reading", {})
    gauges = kept.get("gauges", {})
    made: dict[str, Any] = {"gauge": gauges.get(_alike(measuring), gauges.get(_read_as(measuring)))}
    if kept.get("temperature_unit"):
        made["temperature_unit"] = kept["temperature_unit"]
    if kept.get("unit") and measuring.unit in LENGTHS:
        made["unit"] = kept["unit"]
    here = kept.get("visits", {}).get(str(measuring.visit.pk), {})
    return made | here.get("warm", {}) | here.get("held", {}).get(_alike(measuring), {})


def keep(request: HttpRequest, measuring: Measuring, data: Mapping[str, Any]) -> None:
    """Remember what was chosen, once it is recorded."""
    before = request.session.get("reading", {})
    kept = {**before}
    if gauge := data.get("gauge"):
        kept["gauges"] = {**kept.get("gauges", {}), _alike(measuring): gauge, _read_as(measuring): gauge}
    if data.get("unit"):
        kept["unit"] = data["unit"]
    if data.get("temperature_unit") and (data.get("temperature") or data.get("air")):
        kept["temperature_unit"] = data["temperature_unit"]
    if measuring.needs_gauge:
        kept["visits"] = _visits(kept.get("visits", {}), measuring, data)
    if kept != before:
        request.session["reading"] = kept


def _visits(visits: Mapping[str, Any], measuring: Measuring, data: Mapping[str, Any]) -> dict[str, Any]:
    number = str(measuring.visit.pk)
    here = visits.get(number, {})
    held = {name: data[name] for name in HELD if data.get(name)}
    here = {
        "warm": {name: data[name] for name in WARM if data.get(name)},
        "held": {**here.get("held", {}), _alike(measuring): held},
    }
    others = [(key, value) for key, value in visits.items() if key != number]
    return {**dict(others[-(VISITS_REMEMBERED - 1) :]), number: here}


def _alike(measuring: Measuring) -> str:
    """The name that measurings with the same gauge and set-up share: holes 1 to 12, both journals."""
    return measuring.code.rstrip("0123456789").removesuffix("_left").removesuffix("_right")


def _read_as(measuring: Measuring) -> str:
    """The name that measurings of one quantity share: a pressure gauge is not offered for a bore."""
    measures = measured_by(measuring)
    return f"reads {measures.name if measures else 'anything'}"


def paper_of(request: HttpRequest, visit: Visit) -> dict[str, str]:
    """The page that readings of this visit are being copied from: ``paper``, ``measured_by``, ``done_at``."""
    found: dict[str, str] = request.session.get("paper", {})
    return found if found.get("visit") == str(visit.pk) else {}


def keep_paper(request: HttpRequest, visit: Visit, entry: Mapping[str, Any]) -> None:
    """Remember the page that a reading was copied from for the next ones; that it came from none, too."""
    page = {name: str(entry[name]) for name in ("paper", "measured_by", "done_at") if name in entry}
    if page:
        page["visit"] = str(visit.pk)
    if page == request.session.get("paper", {}):
        return
    if page:
        request.session["paper"] = page
    else:
        del request.session["paper"]
