"""The machinist's page: what the facing cut has to be, and afterwards what came out of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from housings import gate, queries
from housings.engineering.stations import STATIONS
from housings.spine import marks_of
from inspections import states, wording
from inspections.bench import Bench
from inspections.facing.plan import Plan, plan_of
from inspections.facing.readings import STATION, THICKNESS, FaceReadings, in_inches
from inspections.forms.jacks import JacksForm, Place
from inspections.models import Reading
from inspections.pages.showing import show
from inspections.pictures.cut import cut_picture
from inspections.pictures.dispatch import picture_of
from inspections.pictures.figures import figure
from inspections.standing import last_move
from shopqc.doors import actor_at, for_roles
from shopqc.refusals import refuse

KEPT = "jacks"
PLACES = 3
FORBIDS = {
    "thickness": gettext_lazy("the thickness that must be left"),
    "distance": gettext_lazy("the distance from axis A-B"),
    "pitch": gettext_lazy("the angle about A-B"),
    "yaw": gettext_lazy("the parallelism to A-B"),
}
STOPS = {
    "thickness": gettext_lazy("deeper, the ring gets too thin"),
    "distance": gettext_lazy("deeper, the face comes too near to A-B"),
}


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def facing(request: HttpRequest, serial: str) -> HttpResponse:
    """The facing cut of a housing; sent with the places of the jacks."""
    actor = actor_at(request)
    situation = gate.Situation(queries.housing_by_serial(actor, serial))
    if not any(visit.station == STATION for visit in situation.visits):
        raise refuse("page_not_found")
    form = JacksForm(request.POST or None, kept=_kept(request))
    if request.method == "POST" and form.is_valid():
        request.session[KEPT] = form.places
        return redirect("facing", serial=situation.housing.serial)
    bench = Bench(situation, actor)
    readings = FaceReadings(bench.measured)
    before, asked = readings.before(), readings.asked()
    plan, problem = None, ""
    if before.face and before.thickness and asked:
        try:
            face, left, right = (in_inches(before.face.raw, name) for name in ("face", "left", "right"))
            plan = plan_of(face, left, right, _thickness(before.thickness, readings), asked)
        except ValueError as error:
            problem = str(error)
    context = {
        "housing": situation.housing,
        "stations": marks_of(situation.visits),
        "station": STATIONS[STATION],
        "is_here": bench.here is not None and bench.here.station == STATION,
        "is_cut": readings.cut_at is not None,
        "before": before,
        "asked": asked,
        "missing": _missing(readings, before.face, before.thickness),
        "moved_by": _moved_by(bench, before.face),
        "problem": problem,
        "plan": plan,
        "planned": _in_words(plan) if plan and plan.cut.saved else None,
        "forbids": _forbids(plan) if plan and not plan.cut.saved else None,
        "picture": _picture(plan, before.face, readings),
        "form": form,
        **_shims(plan, _kept(request)),
        "outcome": _outcome(plan, readings),
    }
    response = show(request, "facing.html", context)
    if form.is_bound:
        response.status_code = 422
    return response


def _kept(request: HttpRequest) -> list[Place]:
    return [(str(x), str(y)) for x, y in request.session.get(KEPT, [])]


def _thickness(reading: Reading, readings: FaceReadings) -> str:
    """The measured thickness in inches."""
    characteristic = readings.by_pk[reading.characteristic_id]
    return reading.value if characteristic.unit == "in" else figure(float(reading.value) / 25.4, 6)


def _missing(
    readings: FaceReadings, face: Reading | None, thickness: Reading | None
) -> list[tuple[str, str]]:
    """What has to be measured before a cut can be planned: code and name."""
    wanted = []
    if face is None:
        wanted.append(readings.characteristic("distance"))
    if thickness is None:
        wanted.append(readings.thickness_asked)
    return [(one.code, one.name) for one in wanted if one is not None and one.due_at(STATION)]


def _moved_by(bench: Bench, face: Reading | None) -> str:
    """The station whose work moved the face after it was probed, other than the cut itself."""
    if face is None:
        return ""
    measured = bench.measured
    characteristic = next(c for c in measured.characteristics if c.pk == face.characteristic_id)
    moves = [entry for entry in measured.situation.moves if entry.station != STATION]
    move = last_move(characteristic, moves, measured.situation.visits)
    return STATIONS[move.station].name if move and face.stands_from < move.record_position else ""


def _in_words(plan: Plan) -> Mapping[str, str]:
    cut, depth, last = plan.cut, plan.cut.depth, plan.last_depth
    assert depth is not None and last is not None and cut.least_remaining is not None
    assert cut.distance is not None and plan.engagement is not None
    least, most = depth_words(depth, last)
    return {
        "depth": least,
        "last": most,
        "stops": str(STOPS.get(plan.stops, "")),
        "remaining": figure(cut.least_remaining, PLACES + 1),
        "distance": figure(cut.distance, PLACES),
        "engagement": figure(plan.engagement, 2),
        "engages": "pass" if plan.engagement >= 1 else "fail",
        "deepest": str(max(range(len(cut.depths)), key=lambda row: cut.depths[row]) + 1),
    }


def depth_words(least: float, most: float) -> tuple[str, str]:
    """The depths between which a cut stays, in inches: rounded inwards, so that what is read there holds.

    >>> depth_words(0.07134, 0.07258)
    ('0.0714', '0.0725')
    >>> depth_words(0.0712, 0.0716)
    ('0.0712', '0.0716')
    """
    for places in range(PLACES, 10):
        step = Decimal(1).scaleb(-places)
        # What a float is off by is no reason for another step.
        low = Decimal(f"{least:.9f}").quantize(step, ROUND_CEILING)
        high = Decimal(f"{most:.9f}").quantize(step, ROUND_FLOOR)
        if low < high or (low == high and places > PLACES):
            break
    return str(low), str(high)


def _forbids(plan: Plan) -> str:
    names = [str(FORBIDS[name]) for name in plan.cut.forbids]
    if plan.cut.together:
        return _("No cut cleans it and keeps all limits. These must give together: %(names)s.") % {
            "names": ", ".join(names)
        }
    if len(names) == 1:
        return _("No cut cleans it and keeps all limits. What stands in the way: %(names)s.") % {
            "names": names[0]
        }
    return _("No cut cleans it and keeps all limits. Giving up one of these would save it: %(names)s.") % {
        "names": ", ".join(names)
    }


def _picture(plan: Plan | None, face: Reading | None, readings: FaceReadings) -> Any:
    if plan and plan.cut.saved:
        return cut_picture(plan.seen[:, :2].tolist(), plan.cut.depths, plan.deeper)
    if face is None:
        return None
    characteristic = readings.by_pk[face.characteristic_id]
    return picture_of(characteristic, face.raw, face.detail, face.lower, face.upper, face.value)


def _shims(plan: Plan | None, jacks: Sequence[Place]) -> dict[str, Any]:
    """Shim by jack, or why there are none."""
    if plan is None or not plan.cut.saved or not jacks:
        return {"shims": [], "shims_problem": ""}
    try:
        heights = plan.shims([[float(x), float(y)] for x, y in jacks])
    except ValueError as error:
        return {"shims": [], "shims_problem": str(error)}
    rows = [
        {"number": number, "x": x, "y": y, "height": figure(height, PLACES)}
        for number, ((x, y), height) in enumerate(zip(jacks, heights, strict=True), start=1)
    ]
    return {"shims": rows, "shims_problem": ""}


def _outcome(plan: Plan | None, readings: FaceReadings) -> list[dict[str, str]]:
    """What came out of the cut, beside what was planned."""
    planned: dict[str, float | None] = {}
    if plan and plan.cut.saved:
        distance = readings.characteristic("distance")
        planned = {
            distance.code if distance else "": plan.cut.distance,
            THICKNESS: plan.cut.least_remaining,
        }
    rows = []
    for code, reading in readings.after().items():
        characteristic = readings.by_pk[reading.characteristic_id]
        wanted = planned.get(code)
        off = float(reading.value) - wanted if wanted is not None else None
        rows.append(
            {
                "name": characteristic.name,
                "planned": f"{figure(wanted, PLACES)} {characteristic.unit}" if wanted is not None else "",
                "found": wording.figure_with_unit(reading, characteristic),
                "limit": wording.limit_words(reading.lower, reading.upper, characteristic.unit),
                "off": "" if off is None else f"{off:+.{PLACES}f} {characteristic.unit}",
                "verdict": reading.verdict,
                "word": str(states.STANDING_WORDS[reading.verdict]),
            }
        )
    return rows
