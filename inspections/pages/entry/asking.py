"""What the page asks for: which measuring, at which visit, with which form."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _

from housings.models import Visit
from housings.states import HERE, LEFT
from inspections.bench import Bench
from inspections.forms.readings import ReadingForm, form_for, initial_of, way_of
from inspections.forms.readings.kinds import sheet_class_of
from inspections.measuring import Measuring, same_measuring
from inspections.models import Characteristic, Gauge, Reading
from inspections.pages import brought
from inspections.pages.entry import kept
from inspections.verdicts import LENGTHS
from shopqc.refusals import Reason, refuse
from shopqc.whole_numbers import whole

TEMPERATURE_KEPT_SECONDS = 1800
MOST_POINTS_TYPED = 60


def measuring_at(
    request: HttpRequest, bench: Bench, code: str | None, against: list[Reason]
) -> Measuring | None:
    """The measuring that the address asks for; what is against asking it is added to ``against``."""
    replaced = _replaced(request, bench, code)
    if code is None:
        if bench.next is None or bench.here is None:
            return None
        characteristic = bench.next.characteristic
    else:
        characteristic = bench.characteristic(code)
    if replaced:
        # A correction belongs to the visit of the reading it corrects, wherever the housing is now.
        against[:] = [reason for reason in against if reason.code != "nowhere"]
        visit: Visit | None = replaced[0].visit
    else:
        visit = _visit_of_form(request, bench) or bench.here
    if visit is None:
        return None
    if characteristic.due_at(visit.station) is None:
        facts = {"name": characteristic.name, "station": visit.at.name}
        against.append(Reason("not_due_here", facts))
        return None
    if replaced:
        by_characteristic = {reading.characteristic_id: reading for reading in replaced}
        chosen = tuple(c for c in bench.measured.characteristics if c.pk in by_characteristic)
        return Measuring(visit, chosen, by_characteristic)
    return Measuring(visit, bench.measured_with(characteristic, visit.station))


def _visit_of_form(request: HttpRequest, bench: Bench) -> Visit | None:
    """The visit for which a sent form was made, though the housing may have gone on meanwhile."""
    number = request.POST.get("visit", "")
    made = {str(v.number): v for v in bench.situation.visits if v.state in {HERE, LEFT}}
    return made.get(number)


def _replaced(request: HttpRequest, bench: Bench, code: str | None) -> list[Reading]:
    """The earlier readings that the address says are to be corrected: all of the one measuring."""
    wanted = request.GET.get("replaces")
    if not wanted:
        return []
    corrected = {reading.replaces_id for reading in bench.measured.readings}
    known = {c.pk: c for c in bench.measured.characteristics}
    standing = [reading for reading in bench.measured.readings if reading.pk not in corrected]
    named = next((reading for reading in standing if str(reading.pk) == wanted), None)
    asked = next((c for c in known.values() if c.code == code), None)
    if named is None or asked is None or not _goes_with(asked, known[named.characteristic_id]):
        raise refuse("not_found", what=_("reading to be corrected"), name=wanted[:60])
    found = [
        reading
        for reading in standing
        if reading.pk == named.pk
        or (
            reading.record_position == named.record_position
            and same_measuring(asked, known[reading.characteristic_id])
        )
    ]
    for reading in found:
        reading.characteristic = known[reading.characteristic_id]
        reading.visit = next(v for v in bench.situation.visits if v.pk == reading.visit_id)
    return found


def _goes_with(asked: Characteristic, other: Characteristic) -> bool:
    return asked.pk == other.pk or same_measuring(asked, other)


def form_at(
    request: HttpRequest, bench: Bench, measuring: Measuring, equipment: Sequence[Gauge], **kwargs: Any
) -> ReadingForm:
    """The form of a measuring as the address wants it."""
    way = way_of(measuring) if measuring.replaces else request.GET.get("way", "")
    return form_for(
        measuring,
        equipment,
        in_use=bench.situation.in_use,
        points=points_asked_for(request),
        way=way,
        page=kept.paper_of(request, measuring.visit),
        **kwargs,
    )


def points_asked_for(request: HttpRequest) -> int:
    """For how many points the address asks fields; 0 if it says none."""
    return min(whole(request.GET.get("points", "")) or 0, MOST_POINTS_TYPED)


def initial_at(request: HttpRequest, bench: Bench, measuring: Measuring) -> dict[str, Any]:
    """What the form starts with: gauge and set-up used last, and how warm the part was a moment ago."""
    initial: dict[str, Any] = {
        "seen_position": bench.measured.housing.record_position,
        "visit": measuring.visit.number,
    }
    if measuring.replaces:
        return initial | initial_of(measuring)
    shop = bench.situation.shop
    initial |= {"temperature_unit": shop.temperature_unit}
    if measuring.unit in LENGTHS:
        initial["unit"] = shop.length_unit
    initial |= kept.initial_of(request, measuring)
    warm = next((r for r in reversed(bench.measured.readings) if r.temperature), None)
    if warm and bench.here and warm.visit_id == bench.here.pk:
        age = (timezone.now() - warm.done_at).total_seconds()
        if age < TEMPERATURE_KEPT_SECONDS:
            initial |= {"temperature": warm.temperature, "temperature_unit": warm.temperature_unit}
    initial |= _read_before(request, bench, measuring)
    return initial | brought.initial_of(request, measuring, bench.measured.housing.serial)


def _read_before(request: HttpRequest, bench: Bench, measuring: Measuring) -> dict[str, Any]:
    """What was read of the same before it was rolled: it need not be typed again."""
    before = next((r for r in bench.measured.readings if str(r.pk) == request.GET.get("before")), None)
    first = measuring.first
    if before is None or before.characteristic_id != first.pk:
        return {}
    sheet = sheet_class_of(measuring)(measuring, way=request.GET.get("way", ""))
    return sheet.initial({first.code: before.raw})
