"""What one plan of measuring asks otherwise than another, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.spec_fields import FIELDS
from housings.engineering.stations import STATIONS
from inspections import wording

Entry = Mapping[str, Any]
# Numbers of a build spec that are worked out of its fields (`housings.engineering.spec.Spec`).
WORKED_OUT = {"shaft_diameter": gettext_lazy("Greatest diameter of the shaft")}
LABELS = {
    "name": gettext_lazy("name"),
    "kind": gettext_lazy("kind"),
    "part": gettext_lazy("part"),
    "unit": gettext_lazy("unit"),
    "severity": gettext_lazy("severity"),
    "movable_by": gettext_lazy("moved by"),
    "hidden_by": gettext_lazy("hidden for good by"),
    "is_datum": gettext_lazy("makes axis A-B"),
    "measured_from": gettext_lazy("measured from"),
    "nominal": gettext_lazy("nominal"),
    "limits_from_nominal": gettext_lazy("limits counted from the nominal"),
    "center": gettext_lazy("center"),
    "centers": gettext_lazy("centers of the holes"),
    "quantity": gettext_lazy("quantity"),
    "taken_with": gettext_lazy("taken with"),
    "constants": gettext_lazy("constants"),
    "points_at_least": gettext_lazy("points at least"),
    "only_if": gettext_lazy("only with"),
    "note": gettext_lazy("note"),
}


@dataclass(frozen=True)
class Changed:
    """One characteristic, and each thing that is otherwise."""

    code: str
    name: str
    changes: tuple[str, ...]


def plan_changes(before: Sequence[Entry], after: Sequence[Entry]) -> list[Changed]:
    """Every characteristic that is new, gone, or otherwise, in the order of the later plan."""
    was = {entry["code"]: entry for entry in before}
    now = {entry["code"]: entry for entry in after}
    found = [
        Changed(code, entry["name"], (_("is new"),)) if code not in was else _changed(was[code], entry)
        for code, entry in now.items()
    ]
    found += [Changed(code, entry["name"], (_("is gone"),)) for code, entry in was.items() if code not in now]
    old, new = [code for code in was if code in now], [code for code in now if code in was]
    if old != new:
        found.append(Changed("", _("The order"), (_("of the characteristics is another"),)))
    return [one for one in found if one.changes]


def characteristic_changes(before: Entry, after: Entry) -> tuple[str, ...]:
    """What one characteristic has otherwise."""
    return _changed(before, after).changes


def _changed(before: Entry, after: Entry) -> Changed:
    said = []
    for field, label in LABELS.items():
        one, other = before.get(field), after.get(field)
        if _same(field, one) != _same(field, other) and (one or other):
            said.append(
                _("%(what)s: %(before)s → %(after)s")
                % {"what": label, "before": _words(field, one), "after": _words(field, other)}
            )
    unit = after.get("unit", "")
    was, now = (_dues(entry["due"], unit) for entry in (before, after))
    for place in dict.fromkeys([*was, *now]):
        if was.get(place) != now.get(place):
            said.append(
                _("at %(place)s: %(before)s → %(after)s")
                % {
                    "place": place,
                    "before": was.get(place, _("not due")),
                    "after": now.get(place, _("not due")),
                }
            )
    return Changed(after["code"], after["name"], tuple(said))


def _same(field: str, value: Any) -> Any:
    """A value for comparing: in which order stations are named says nothing."""
    return sorted(value or ()) if field == "movable_by" else value


def station_name(code: str) -> str:
    """The name of a station, or its code if the catalogue has it no more."""
    return _(STATIONS[code].name) if code in STATIONS else code


def _dues(dues: Sequence[Entry], unit: str) -> dict[str, str]:
    """Limits in words by where they hold."""
    found = {}
    for due in dues:
        place = station_name(due["station"])
        if due.get("with_station"):
            place += " " + _("on routes with %(station)s") % {"station": station_name(due["with_station"])}
        if due.get("without_station"):
            place += " " + _("on routes without %(station)s") % {
                "station": station_name(due["without_station"])
            }
        found[place] = wording.limit_words(due.get("lower"), due.get("upper"), unit) or _("due, no limit")
    return found


def _words(field: str, value: Any) -> str:
    match value:
        case None | "" | [] | () | {}:
            return _("none")
        case bool():
            return _("yes") if value else _("no")
    match field:
        case "movable_by":
            return ", ".join(station_name(code) for code in value)
        case "hidden_by":
            return station_name(value)
        case "kind":
            return str(wording.KINDS.get(value, value))
        case "part":
            return str(wording.PARTS.get(value, value))
        case "nominal":
            return nominal_words(value)
        case "only_if":
            return _(FIELDS[value].label) if value in FIELDS else str(value)
        case "constants":
            return ", ".join(
                f"{name} {nominal_words(one) if isinstance(one, Mapping) else one}"
                for name, one in value.items()
            )
        case "center":
            return " / ".join(map(str, value))
        case "centers":
            return _("%(count)s holes") % {"count": len(value)}
    return str(value)


def spec_words(field: str) -> str:
    """A number of the build spec, as people call it."""
    if field in WORKED_OUT:
        return str(WORKED_OUT[field])
    return _(FIELDS[field].label) if field in FIELDS else field


def nominal_words(nominal: Entry) -> str:
    """A nominal as a sum: "Housing width × 0.5 + 0.07"."""
    terms = [
        spec_words(term["field"]) + ("" if term.get("times", "1") == "1" else f" × {term['times']}")
        for term in nominal.get("terms", ())
    ]
    if nominal.get("plus", "0") != "0" or not terms:
        terms.append(str(nominal.get("plus", "0")))
    return " + ".join(terms)
