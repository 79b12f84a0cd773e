"""What a procedure says, in the trade's words: for its page, for paper, and to compare two revisions."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.joints import JointKind
from housings.engineering.procedure_reading import FIT_UP, PLACES
from housings.engineering.procedures import PROCESSES, Range

Data = Mapping[str, Any]
KINDS = {
    str(JointKind.SNOUT): gettext_lazy("snout to tube"),
    str(JointKind.ROSETTE): gettext_lazy("rosettes"),
    str(JointKind.SEAM): gettext_lazy("center seams"),
    str(JointKind.RIB): gettext_lazy("internal ribs"),
    str(JointKind.TRUSS): gettext_lazy("truss"),
    str(JointKind.BRACKET): gettext_lazy("brackets and link tabs"),
    str(JointKind.WASHER): gettext_lazy("washers"),
    str(JointKind.ARMOR): gettext_lazy("armor plates"),
    str(JointKind.FITTING): gettext_lazy("bungs and fittings"),
}


@dataclass(frozen=True)
class Part:
    """One part of a procedure: a heading, and labels with what is said."""

    name: str
    rows: list[tuple[str, str]]


def process_words(process: str) -> str:
    """A process by name and number: "TIG (141)"."""
    return f"{_(PROCESSES[process])} ({process})" if process in PROCESSES else process


def parts_of(data: Data) -> list[Part]:
    """A procedure's data in words; what it says nothing of is left out."""
    parts = []
    for heading, fields in _PARTS:
        rows = [(str(label), words) for label, say in fields if (words := say(data))]
        if rows:
            parts.append(Part(str(heading), rows))
    return parts


def procedure_changes(before: Data, after: Data) -> list[str]:
    """What one procedure says otherwise than another, as sentences."""
    said = []
    for _heading, fields in _PARTS:
        for label, say in fields:
            was, now = say(before), say(after)
            if was != now:
                facts = {"what": label, "before": was or _("nothing"), "after": now or _("nothing")}
                said.append(_("%(what)s: %(before)s → %(after)s") % facts)
    return said


def _text(name: str) -> Callable[[Data], str]:
    return lambda data: str(data.get(name) or "")


def _list(name: str) -> Callable[[Data], str]:
    return lambda data: ", ".join(map(str, data.get(name) or ()))


def _range(name: str, unit: str = "") -> Callable[[Data], str]:
    def words(data: Data) -> str:
        return range_words(data.get(name), unit)

    return words


def range_words(given: Any, unit: str = "") -> str:
    """A stored or typed range in words; what cannot be read is shown as it was typed."""
    if not isinstance(given, Mapping):
        return "" if given is None else str(given)
    try:
        return Range.of(given).words(unit or str(given.get("unit") or ""))
    except (ArithmeticError, ValueError):
        return " … ".join(str(given.get(side) or "") for side in ("least", "most"))


def _yes(name: str, words: Any) -> Callable[[Data], str]:
    return lambda data: str(words) if data.get(name) else ""


def _degrees(name: str) -> Callable[[Data], str]:
    return lambda data: f"{data[name]} °{data.get('temperature_unit', '')}" if data.get(name) else ""


def _process(data: Data) -> str:
    return process_words(str(data.get("process") or ""))


def _kinds(data: Data) -> str:
    return ", ".join(str(KINDS.get(kind, kind)) for kind in data.get("kinds") or ())


def _steels(data: Data) -> str:
    sides = [", ".join(map(str, data.get(name) or ())) for name in ("grades_a", "grades_b")]
    return _("%(one)s to %(other)s") % {"one": sides[0], "other": sides[1]} if any(sides) else ""


def _heat_input(data: Data) -> str:
    said = range_words(data.get("heat_input"))
    if not said:
        return ""
    if data.get("heat_basis") == "net":
        facts = {"range": said, "k": data.get("efficiency") or "?"}
        return _("%(range)s, net: with an efficiency of %(k)s taken off the arc's energy") % facts
    return _("%(range)s of arc energy: no efficiency is taken off") % {"range": said}


def _measured_at(data: Data) -> str:
    place = str(data.get("measured_at") or "")
    return _(PLACES[place]) if place in PLACES else place


def _looks(data: Data) -> str:
    passes = ", ".join(map(str, data.get("looks_after") or ()))
    return _("after pass %(passes)s, before the next one") % {"passes": passes} if passes else ""


def _waiting(data: Data) -> str:
    hours = data.get("waiting_hours")
    if not hours:
        return ""
    cold = _degrees("cold_below")(data)
    return _("%(hours)s h from when the joint is below %(cold)s") % {"hours": hours, "cold": cold or "?"}


def _fit_up(name: str) -> Callable[[Data], str]:
    def words(data: Data) -> str:
        fit_up = data.get("fit_up")
        given = fit_up.get(name) if isinstance(fit_up, Mapping) else None
        said = range_words(given)
        return "" if not said else f"{said}°" if name == "bevel" else f"{said} in"

    return words


_Fields = tuple[tuple[Any, Callable[[Data], str]], ...]
_PARTS: tuple[tuple[Any, _Fields], ...] = (
    (
        gettext_lazy("What it is for"),
        (
            (gettext_lazy("Title"), _text("title")),
            (gettext_lazy("Qualified by"), _text("qualified_by")),
            (gettext_lazy("Process"), _process),
            (gettext_lazy("Joints"), _kinds),
            (gettext_lazy("Repair"), _yes("for_repair", gettext_lazy("it repairs; not for new welds"))),
            (gettext_lazy("Steels"), _steels),
            (gettext_lazy("Wall"), _range("thickness", "in")),
            (gettext_lazy("Outside diameter"), _range("diameter", "in")),
            (gettext_lazy("Positions"), _list("positions")),
        ),
    ),
    (
        gettext_lazy("Fit-up"),
        (
            *((gettext_lazy(name.capitalize()), _fit_up(code)) for code, name in FIT_UP.items()),
            (gettext_lazy("Backing"), _yes("backing", gettext_lazy("something stays behind the root"))),
        ),
    ),
    (
        gettext_lazy("Filler and gas"),
        (
            (gettext_lazy("Filler"), _list("fillers")),
            (gettext_lazy("Filler group"), _text("filler_group")),
            (gettext_lazy("Shielding gas"), _text("gas")),
            (gettext_lazy("Purge"), _text("purge")),
            (
                gettext_lazy("Diffusible hydrogen"),
                lambda data: f"{data['hydrogen_ml']} ml/100 g" if data.get("hydrogen_ml") else "",
            ),
        ),
    ),
    (
        gettext_lazy("The arc"),
        (
            (gettext_lazy("Volts"), _range("volts", "V")),
            (gettext_lazy("Amps"), _range("amps", "A")),
            (gettext_lazy("Travel"), _range("travel")),
            (gettext_lazy("Heat input"), _heat_input),
            (gettext_lazy("Passes"), _range("passes", " ")),
        ),
    ),
    (
        gettext_lazy("Heat"),
        (
            (gettext_lazy("Preheat, at least"), _degrees("preheat_least")),
            (gettext_lazy("Interpass, at most"), _degrees("interpass_greatest")),
            (gettext_lazy("Read"), _measured_at),
            (gettext_lazy("Slow cooling"), _text("slow_cooling")),
        ),
    ),
    (
        gettext_lazy("Looks and tests"),
        (
            (gettext_lazy("Looked at"), _looks),
            (gettext_lazy("Level by ISO 5817"), _text("level")),
            (gettext_lazy("Wait before the test"), _waiting),
        ),
    ),
)
