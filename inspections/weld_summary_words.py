"""The words of `weld_summary`: short, because they stand in the cells of a certificate."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from housings.engineering.procedures import INCH_MM, PROCESSES, procedure_from
from housings.engineering.temperatures import in_fahrenheit
from housings.models import FitUp, Heat, Joint, JointTemperature, ProcedureRevision, WeldPass
from inspections.models import WeldLook, WeldRepair, WeldTest

SHOWN_DIGITS = 3
STAGES = {
    "root": gettext_lazy("root"),
    "covered": gettext_lazy("before it was covered"),
    "final": gettext_lazy("finished weld"),
    "cavity": gettext_lazy("cavity of the repair"),
}
METHODS = {
    "VT": gettext_lazy("looked at (VT)"),
    "PT": gettext_lazy("dye penetrant (PT)"),
    "MT": gettext_lazy("magnetic particles (MT)"),
}
"""Methods by ISO 9712."""
NOTHING = {
    "welds_recorded": gettext_lazy("No weld pass of this housing is on record."),
    "steel_traced": gettext_lazy("No heat number of this housing's steel is on record."),
}


def nothing_of(rule: str) -> str:
    """That there is nothing on record, though the rule that asks for it is in use now."""
    return str(NOTHING[rule])


def no_passes(joints: Sequence[str]) -> str:
    """Of which joints no pass is on record."""
    return _("No weld pass is on record of: %(names)s.") % {"names": ", ".join(joints)}


def no_heats(parts: Sequence[str]) -> str:
    """Of which parts no heat is on record."""
    return _("No heat number is on record of: %(names)s.") % {"names": ", ".join(parts)}


def steels(joint: Joint) -> str:
    """The two steels of a joint."""
    if joint.grade_a == joint.grade_b:
        return joint.grade_a
    return _("%(one)s to %(other)s") % {"one": joint.grade_a, "other": joint.grade_b}


def passes(joint: Joint, done: Sequence[WeldPass]) -> str:
    """How many passes, or how many of those that are counted; those of repairs apart."""
    own = sum(not one.repair for one in done)
    if joint.is_multipass:
        said = ngettext("%(count)d pass", "%(count)d passes", own) % {"count": own}
    elif joint.count > 1:
        said = _("%(done)d of %(count)d welds") % {"done": own, "count": joint.count}
    else:
        said = ngettext("%(count)d weld", "%(count)d welds", own) % {"count": own}
    again = len(done) - own
    return said + (_(", %(count)d of repairs") % {"count": again} if again else "")


def procedure(revision: ProcedureRevision) -> dict[str, str]:
    """A procedure with what qualifies it and its process in words and by ISO 4063."""
    data = procedure_from(revision.data)
    return {
        "name": revision.name,
        "revision": str(revision.number),
        "title": data.title,
        "process": data.process,
        "process_shown": _("%(words)s (ISO 4063: %(number)s)")
        % {"words": str(_(PROCESSES.get(data.process, data.process))), "number": data.process},
        "qualified_by": data.qualified_by,
    }


def consumable(heat: Heat) -> dict[str, str]:
    """A lot of filler or a cylinder of gas."""
    kind = _("filler") if heat.kind == Heat.FILLER else _("gas")
    return {**steel(heat), "kind": heat.kind, "kind_shown": kind}


def steel(heat: Heat) -> dict[str, str]:
    """What was received under a heat number."""
    return {
        "heat": heat.number,
        "grade": heat.grade,
        "condition": heat.condition,
        "certificate_type": heat.certificate_type,
    }


def heat_input(done: Sequence[WeldPass]) -> str:
    """The least and the most heat input of the passes that have it, in the unit and on the basis of their
    procedure; rounded for showing alone. Empty if none was recorded."""
    found: dict[tuple[str, str], list[Decimal]] = {}
    for one in done:
        if not one.heat_input:
            continue
        data = procedure_from(one.procedure.data) if one.procedure else None
        in_inches = data is None or data.heat_input.unit != "kJ/mm"
        basis = _("arc energy")
        if data is not None and data.heat_basis == "net":
            basis = _("times the efficiency factor %(factor)s") % {"factor": data.efficiency}
        value = Decimal(one.heat_input) * (INCH_MM if in_inches else 1)
        found.setdefault(("kJ/in" if in_inches else "kJ/mm", basis), []).append(value)
    said = []
    for (unit, basis), values in found.items():
        least, most = _short(min(values)), _short(max(values))
        span = least if least == most else _("%(least)s to %(most)s") % {"least": least, "most": most}
        said.append(f"{span} {unit}, {basis}")
    return "; ".join(said)


def _short(value: Decimal) -> str:
    """A figure with as many digits as a reader needs.

    >>> _short(Decimal("34.0157")), _short(Decimal("1.3392")), _short(Decimal("120"))
    ('34.0', '1.34', '120')
    """
    return format(round(value, SHOWN_DIGITS - 1 - value.adjusted()), "f")


def warmest(lines: Iterable[Sequence[JointTemperature]]) -> str:
    """The highest of what was read before arcs, as it was read: a figure, or what a crayon said."""
    highest: tuple[Fraction, str] | None = None
    for line in lines:
        for found in _upper(line):
            value = in_fahrenheit(found.value, found.unit)
            if highest is None or value > highest[0]:
                highest = value, _as_read(found)
    return highest[1] if highest else ""


def _upper(line: Sequence[JointTemperature]) -> list[JointTemperature]:
    """What bounds one reading from above: a figure or a crayon that did not melt; else the one that did."""
    return [one for one in line if one.crayon != "above"] or list(line)


def _as_read(temperature: JointTemperature) -> str:
    value = {"value": temperature.value, "unit": temperature.unit}
    match temperature.crayon:
        case "above":
            return _("above %(value)s °%(unit)s (crayon)") % value
        case "below":
            return _("below %(value)s °%(unit)s (crayon)") % value
    return f"{temperature.value} °{temperature.unit}"


def _verdict(accepted: bool, found: Any) -> str:
    if accepted:
        return _("accepted")
    return _("refused, nonconformance %(number)s") % {"number": found.number} if found else _("refused")


def fit_up(entry: FitUp) -> str:
    """The fit-up that counts."""
    said = _("accepted") if entry.accepted else _("not as the procedure asks")
    return _("fit-up %(verdict)s, stamp %(stamp)s") % {"verdict": said, "stamp": entry.by_stamp}


def looks(entries: Sequence[WeldLook]) -> list[dict[str, Any]]:
    """The newest look of each stage of the weld and of each repair, and every one that refused."""
    newest = {(look.stage, look.repair): look for look in entries}
    return [_look(look) for look in entries if not look.accepted or newest[look.stage, look.repair] == look]


def _look(look: WeldLook) -> dict[str, Any]:
    stage = str(STAGES.get(look.stage, look.stage))
    said = _("%(stage)s %(verdict)s") % {
        "stage": stage,
        "verdict": _verdict(look.accepted, look.nonconformance),
    }
    if look.level and look.stage == "final":
        said += _(" (ISO 5817 level %(level)s)") % {"level": look.level}
    return {
        "stage": look.stage,
        "level": look.level,
        "accepted": look.accepted,
        "stamp": look.by_stamp,
        "shown": _("%(said)s, stamp %(stamp)s") % {"said": said, "stamp": look.by_stamp},
    }


def test(entry: WeldTest, is_ours: bool) -> dict[str, Any]:
    """A test; a tester from outside goes by certificate, not by name."""
    method = str(METHODS.get(entry.method, entry.method))
    said = _("%(method)s %(verdict)s") % {
        "method": method,
        "verdict": _verdict(entry.accepted, entry.nonconformance),
    }
    if entry.cold_at and entry.waited_hours:
        said += _(", %(hours)s h after it was cold") % {"hours": entry.waited_hours}
    who = _("stamp %(stamp)s") % {"stamp": entry.tester} if is_ours else _("tester from outside")
    if entry.tester_level:
        who += _(", level %(level)s") % {"level": entry.tester_level}
    if entry.certificate:
        who += _(", certificate %(number)s") % {"number": entry.certificate}
    return {
        "method": entry.method,
        "accepted": entry.accepted,
        "tester": entry.tester if is_ours else "",
        "tester_level": entry.tester_level,
        "certificate": entry.certificate,
        "waited_hours": entry.waited_hours,
        "shown": f"{said}; {who}",
    }


def repair(entry: WeldRepair) -> str:
    """A repair with the nonconformance it answers and the procedure it was welded by."""
    said = _("repair %(number)d for nonconformance %(found)d") % {
        "number": entry.number,
        "found": entry.nonconformance.number,
    }
    return f"{said}, {entry.procedure}" if entry.procedure else said
