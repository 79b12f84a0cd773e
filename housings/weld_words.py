"""How welding is said on pages: temperatures, counts of passes, limits of a procedure."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.procedures import PROCESSES, Procedure, Range
from housings.models import JointSettings
from housings.weld_queries import JointState

PLACES = {
    "stop": gettext_lazy("on the weld, where the pass stopped"),
    "beside": gettext_lazy("beside the weld"),
    "away": gettext_lazy("3 in from the weld"),
    "start": gettext_lazy("where the pass started"),
    "other": gettext_lazy("elsewhere"),
}
FIT_UP = {
    "gap": gettext_lazy("Gap"),
    "land": gettext_lazy("Land"),
    "mismatch": gettext_lazy("Mismatch"),
    "bevel": gettext_lazy("Bevel angle"),
}


def degrees(value: Decimal | str | None, unit: str) -> str:
    """A temperature with its unit, as typed: ``250 °F``; empty if there is none."""
    return "" if value is None else f"{value} °{unit}"


def range_words(limits: Range, unit: str = "") -> str:
    """Limits in words: ``12 to 13 V``; empty if they are free on both sides."""
    said = unit or limits.unit
    match (limits.least, limits.most):
        case (None, None):
            return ""
        case (least, None):
            words = _("at least %(least)s") % {"least": least}
        case (None, most):
            words = _("at most %(most)s") % {"most": most}
        case (least, most):
            words = (
                str(least) if least == most else _("%(least)s to %(most)s") % {"least": least, "most": most}
            )
    return f"{words} {said}".strip()


def passes_words(state: JointState) -> str:
    """Which pass is next, and of how many."""
    if not state.joint.is_multipass:
        return _("%(done)s of %(count)s done") % {"done": state.done, "count": state.joint.count}
    asked = range_words(state.procedure.passes) if state.procedure else ""
    if state.arc is not None:
        facts = {"number": state.arc.number, "asked": asked}
        return (_("pass %(number)s, of %(asked)s") if asked else _("pass %(number)s")) % facts
    if not asked:
        return _("pass %(number)s is next") % {"number": state.next_number}
    return _("pass %(number)s is next, of %(asked)s") % {"number": state.next_number, "asked": asked}


def heat_input_words(procedure: Procedure) -> str:
    """Limits of heat input with their basis, because 40 % lie between the two for TIG."""
    said = range_words(procedure.heat_input)
    if not said:
        return ""
    if procedure.heat_basis == "net":
        return _("%(limits)s, times the efficiency factor %(factor)s") % {
            "limits": said,
            "factor": procedure.efficiency,
        }
    return _("%(limits)s of arc energy, without the efficiency factor") % {"limits": said}


def procedure_rows(procedure: Procedure) -> list[tuple[str, str]]:
    """The limits that somebody who welds looks for, each with its words; what is free is left out."""
    unit = procedure.temperature_unit
    rows: list[tuple[Any, str]] = [
        (_("Process"), f"{PROCESSES.get(procedure.process, procedure.process)} ({procedure.process})"),
        (_("Preheat, at least"), degrees(procedure.preheat_least, unit)),
        (_("Between passes, at most"), degrees(procedure.interpass_greatest, unit)),
        (_("Read"), str(PLACES[procedure.measured_at])),
        (_("Passes"), range_words(procedure.passes)),
        (_("Volts"), range_words(procedure.volts, "V")),
        (_("Amps"), range_words(procedure.amps, "A")),
        (_("Travel"), range_words(procedure.travel)),
        (_("Heat input"), heat_input_words(procedure)),
        (_("Filler"), ", ".join(procedure.fillers)),
        (_("Gas"), procedure.gas),
        (_("Purge"), procedure.purge),
        (_("Positions"), ", ".join(procedure.positions)),
        *(
            (str(FIT_UP[name]), range_words(limits, "°" if name == "bevel" else "in"))
            for name, limits in procedure.fit_up.items()
            if name in FIT_UP
        ),
        (_("Looked at after pass"), ", ".join(map(str, procedure.looks_after))),
        (_("Afterwards"), procedure.slow_cooling),
        (_("Waits before a test"), f"{procedure.waiting_hours} h" if procedure.waiting_hours else ""),
    ]
    return [(str(label), words) for label, words in rows if words]


def settings_words(settings: JointSettings | None) -> str:
    """How a machine is set, as one sentence; empty if nobody has said."""
    if settings is None:
        return ""
    said = settings.figures
    parts = [
        f"{said['volts']} V" if "volts" in said else "",
        f"{said['amps']} A" if "amps" in said else "",
        f"{said['travel']} {said['travel_unit']}" if "travel" in said else "",
        _("gas %(flow)s") % {"flow": f"{said['gas_flow']} {said['flow_unit']}"} if "gas_flow" in said else "",
        _("purge %(flow)s") % {"flow": f"{said['purge_flow']} {said['flow_unit']}"}
        if "purge_flow" in said
        else "",
        said.get("position", ""),
        _("filler %(heat)s") % {"heat": settings.filler.number} if settings.filler else "",
        _("gas %(heat)s") % {"heat": settings.gas.number} if settings.gas else "",
    ]
    return ", ".join(part for part in parts if part)
