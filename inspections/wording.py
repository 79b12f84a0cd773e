"""How figures, limits and answers are said to people.

A figure is shown with the digits its gauge gave, never more, and with its
unit; a limit is said in words beside it. What is shown is only for the eye:
verdicts are made from the exact value.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections import states
from inspections.models import Characteristic, Reading
from inspections.models.plans import FACE_POINTS, GO_NO_GO, HOLE_CENTER, RUNOUT, SIZE
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
    GO_NO_GO: gettext_lazy("a look or a plug"),
    FACE_POINTS: gettext_lazy("flatness from points"),
    RUNOUT: gettext_lazy("full indicator movement of one turn"),
    HOLE_CENTER: gettext_lazy("true position from the center"),
}
# Which shape of the look goes with how a characteristic stands.
MARKS = {
    states.PASSED: "pass",
    states.ACCEPTED: "pass",
    states.FAILED: "fail",
    states.UNDECIDED: "undecided",
    states.DOUBTED: "undecided",
}
# An inch figure read in millimeters needs two places more to lose nothing, and one less the other way.
PLACES_ADDED = {("mm", "in"): 2, ("in", "mm"): -1}
MOST_PLACES = 15


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
    """Whether a go/no-go characteristic is answered by a plug; else it is a look."""
    return "go and no-go" in characteristic.name.lower()


def answers(characteristic: Characteristic) -> tuple[str, str]:
    """The words for go and for no-go."""
    if is_plug(characteristic):
        return _("goes as it should"), _("does not")
    return _("as it should be"), _("not as it should be")


def figure(reading: Reading, characteristic: Characteristic) -> str:
    """The value of a reading for the eye, without its unit."""
    if characteristic.kind == GO_NO_GO:
        return answers(characteristic)[0 if reading.value == GO else 1]
    places = _places(reading.raw)
    places += PLACES_ADDED.get((reading.raw.get("unit", ""), characteristic.unit), 0)
    return shown(reading.value, places, reading.lower, reading.upper)


def figure_with_unit(reading: Reading, characteristic: Characteristic) -> str:
    """The same with its unit."""
    return tight(f"{figure(reading, characteristic)} {characteristic.unit}")


def shown(value: str, places: int, lower: str | None, upper: str | None) -> str:
    """A value with ``places`` places, and as many more as it takes to stand on its own side of the limits.

    >>> shown("0.00503", 3, None, "0.005")
    '0.00503'
    >>> shown("0.25", 4, None, "0.3")
    '0.2500'
    """
    exact = Decimal(value)
    for count in range(max(places, 0), MOST_PLACES + 1):
        rounded = exact.quantize(Decimal(1).scaleb(-count))
        if _side(rounded, lower, upper) == _side(exact, lower, upper):
            return format(rounded, "f")
    return value


def _side(value: Decimal, lower: str | None, upper: str | None) -> tuple[bool, bool]:
    return (
        lower is not None and value < Decimal(lower),
        upper is not None and value > Decimal(upper),
    )


def _places(raw: Mapping[str, Any]) -> int:
    """The most places that any typed number of a reading has."""
    return max((len(text.partition(".")[2]) for text in _texts(raw.values())), default=0)


def _texts(values: Iterable[Any]) -> Iterable[str]:
    for value in values:
        if isinstance(value, str):
            yield value
        elif isinstance(value, list):
            yield from _texts(value)


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
    return words or (answers(characteristic)[0] if characteristic.kind == GO_NO_GO else _("is only recorded"))
