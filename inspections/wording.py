"""How figures, limits and answers are said to people.

A figure is shown with the digits its gauge gave, never more, and with its
unit; a limit is said in words beside it. What is shown is only for the eye:
verdicts are made from the exact value.
"""

from __future__ import annotations

from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections import states
from inspections.models import Characteristic, Reading
from inspections.models.plans import (
    DIAMETERS,
    END_ALIGNMENT,
    FACE_POINTS,
    FACE_TO_AXIS,
    GO_NO_GO,
    HOLE_CENTER,
    HOLE_PATTERN,
    PILOT_TO_AXIS,
    PRESSURE_LOSS,
    RUNOUT,
    SHAFT_CLEARANCE,
    SIZE,
    TAPER_TURNS,
    THREAD_GAUGE,
)
from inspections.pictures import figures
from inspections.pictures.figures import shown
from inspections.verdicts import GO

PARTS = {
    "face": gettext_lazy("Face"),
    "holes": gettext_lazy("Holes"),
    "ends": gettext_lazy("Ends"),
    "tubes": gettext_lazy("Tubes"),
    "welds": gettext_lazy("Welds"),
    "fittings": gettext_lazy("Fittings"),
}
KINDS = {
    SIZE: gettext_lazy("one figure"),
    GO_NO_GO: gettext_lazy("a look"),
    FACE_POINTS: gettext_lazy("flatness from points"),
    RUNOUT: gettext_lazy("full indicator movement of one turn"),
    HOLE_CENTER: gettext_lazy("true position from the center"),
    DIAMETERS: gettext_lazy("diameters at several places"),
    FACE_TO_AXIS: gettext_lazy("the face from axis A-B, by points"),
    PILOT_TO_AXIS: gettext_lazy("the pilot bore from axis A-B, by points"),
    HOLE_PATTERN: gettext_lazy("true position of every hole of a pattern"),
    END_ALIGNMENT: gettext_lazy("where an end points, from an alignment bar"),
    SHAFT_CLEARANCE: gettext_lazy("room round the ordered shaft, by bores"),
    THREAD_GAUGE: gettext_lazy("go and no-go plug of a thread"),
    TAPER_TURNS: gettext_lazy("turns of a taper plug from its notch"),
    PRESSURE_LOSS: gettext_lazy("loss of pressure of the closed housing"),
}
# Figures that one measuring gives several of, by what the plan calls them.
QUANTITIES = {
    "distance": gettext_lazy("distance from A-B"),
    "parallelism": gettext_lazy("parallelism to A-B"),
    "pitch": gettext_lazy("pitch about A-B"),
    "camber_left": gettext_lazy("camber, left"),
    "toe_left": gettext_lazy("toe, left"),
    "camber_right": gettext_lazy("camber, right"),
    "toe_right": gettext_lazy("toe, right"),
}
# Figures that a plan gives to a kind besides its limits.
CONSTANTS = {
    "over": gettext_lazy("over a length of %(figure)s in"),
    "shaft_diameter": gettext_lazy("shaft of %(figure)s"),
    "volume": gettext_lazy("%(figure)s liters inside"),
    "over_minutes": gettext_lazy("over %(figure)s minutes"),
}
# Why a thread fails (`inspections.metrology.gauged_thread`).
THREADS = {
    "go does not enter": gettext_lazy("the go plug does not enter"),
    "no-go enters too far": gettext_lazy("the no-go plug enters too far"),
    "both": gettext_lazy("the go plug does not enter, the no-go plug does"),
}
# What an uncertainty is made of (`inspections.verdicts`), as people say it.
DOUBTS = {
    "gauge": gettext_lazy("the gauge"),
    "master": gettext_lazy("the master"),
    "temperature": gettext_lazy("how warm part and scale were"),
    "expansion": gettext_lazy("how much the steel grows with heat"),
    "bar_sag": gettext_lazy("how much the bar sags"),
    "bar_straightness": gettext_lazy("how straight the bar is"),
    "scatter": gettext_lazy("the scatter of the readings"),
}
# Which shape of the look goes with how a characteristic stands.
MARKS = {
    states.PASSED: "pass",
    states.ACCEPTED: "pass",
    states.FAILED: "fail",
    states.UNDECIDED: "undecided",
    states.DOUBTED: "undecided",
}


def limit_words(lower: str | None, upper: str | None, unit: str) -> str:
    """What a figure may be: "may be up to 0.005 in"; empty if it is free on both sides."""
    facts = {"lower": lower, "upper": upper, "unit": unit}
    if lower is None and upper is None:
        return ""
    if lower is None:
        words = _("may be up to %(upper)s %(unit)s")
    elif upper is None:
        words = _("must be at least %(lower)s %(unit)s")
    elif Decimal(lower) == Decimal(upper):
        words = _("must be %(lower)s %(unit)s")
    else:
        words = _("may be from %(lower)s to %(upper)s %(unit)s")
    return tight(words % facts)


def tight(text: str) -> str:
    """Degrees stand close to their number."""
    return text.strip().replace(" °", "°")


def is_plug(characteristic: Characteristic) -> bool:
    """Whether it is answered by a plug; else it is a look or a figure."""
    return characteristic.kind in (THREAD_GAUGE, TAPER_TURNS)


def answers(characteristic: Characteristic) -> tuple[str, str]:
    """The words for go and for no-go."""
    if is_plug(characteristic):
        return _("goes as it should"), _("does not")
    return _("as it should be"), _("not as it should be")


def figure(reading: Reading, characteristic: Characteristic) -> str:
    """The value of a reading for the eye, without its unit."""
    if characteristic.kind == THREAD_GAUGE and (said := THREADS.get(reading.detail.get("why", ""))):
        return str(said)
    if characteristic.kind in (GO_NO_GO, THREAD_GAUGE):
        return answers(characteristic)[0 if reading.value == GO else 1]
    return shown(reading.value, places_of(reading, characteristic), reading.lower, reading.upper)


def places_of(reading: Reading, characteristic: Characteristic) -> int:
    """How many places a value is worth: those its gauge gave, or an angle's own."""
    return figures.places_of(characteristic.kind, characteristic.quantity, reading.raw, characteristic.unit)


def figure_with_unit(reading: Reading, characteristic: Characteristic) -> str:
    """The same with its unit."""
    return tight(f"{figure(reading, characteristic)} {characteristic.unit}")


def why(reading: Reading, characteristic: Characteristic) -> str:
    """What was found and what it may be, as one sentence under the verdict."""
    found = figure_with_unit(reading, characteristic)
    limit = limit_words(reading.lower, reading.upper, characteristic.unit)
    facts = {"found": found, "limit": limit, "name": characteristic.name}
    if not limit:
        return _("%(name)s: %(found)s.") % facts
    return _("%(name)s: %(found)s, %(limit)s.") % facts


def asked_for(characteristic: Characteristic, station: str) -> str:
    """What a station asks of a characteristic, in words."""
    due = characteristic.due_at(station)
    words = limit_words(due.lower, due.upper, characteristic.unit) if due else ""
    answered = characteristic.kind in (GO_NO_GO, THREAD_GAUGE)
    return words or (answers(characteristic)[0] if answered else _("is only recorded"))
