"""One characteristic of a plan as a page shows it, in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from inspections import wording
from inspections.plan_changes import nominal_words, station_name


def row_of(entry: Mapping[str, Any]) -> dict[str, Any]:
    """What the sheet says of a characteristic, from its plain data."""
    unit = entry.get("unit", "")
    notes = [str(wording.KINDS.get(entry["kind"], entry["kind"]))]
    notes.append(_("major") if entry["severity"] == "major" else _("minor"))
    if entry.get("is_datum"):
        notes.append(_("makes axis A-B"))
    if entry.get("measured_from"):
        notes.append(_("from %(datum)s") % {"datum": entry["measured_from"]})
    if entry.get("quantity"):
        notes.append(str(entry["quantity"]).replace("_", " "))
    if entry.get("nominal"):
        # A unit belongs to a figure; what comes from the build spec brings its own.
        unit_said = "" if entry["nominal"].get("terms") else unit
        words = f"{nominal_words(entry['nominal'])} {unit_said}"
        notes.append(_("nominal %(nominal)s") % {"nominal": wording.tight(words)})
    if entry.get("only_if"):
        notes.append(_("only with %(field)s") % {"field": entry["only_if"]})
    return {
        "code": entry["code"],
        "name": entry["name"],
        "notes": " · ".join(notes),
        "note": entry.get("note", ""),
        "due": [_due(entry, due) for due in entry["due"]],
        "movable_by": ", ".join(station_name(code) for code in entry.get("movable_by", ())),
        "hidden_by": station_name(entry["hidden_by"]) if entry.get("hidden_by") else "",
    }


def _due(entry: Mapping[str, Any], due: Mapping[str, Any]) -> dict[str, str]:
    unit = entry.get("unit", "")
    lower, upper = due.get("lower"), due.get("upper")
    if entry.get("limits_from_nominal") and (lower is not None or upper is not None):
        facts = {"lower": lower or "…", "upper": upper or "…", "unit": unit}
        limits = wording.tight(_("nominal %(lower)s to %(upper)s %(unit)s") % facts)
    else:
        limits = wording.limit_words(lower, upper, unit)
    when = ""
    if due.get("with_station"):
        when = _("on routes with %(station)s") % {"station": station_name(due["with_station"])}
    elif due.get("without_station"):
        when = _("on routes without %(station)s") % {"station": station_name(due["without_station"])}
    return {"station": station_name(due["station"]), "limits": limits, "when": when}
