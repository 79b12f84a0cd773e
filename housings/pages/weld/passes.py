"""The passes of a joint in words, as its page lists them."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from housings.engineering.procedures import Procedure, procedure_from
from housings.models import Joint, JointTemperature, PassTakenBack, WeldPass
from housings.weld_queries import JointState
from housings.weld_words import degrees


@dataclass(frozen=True)
class PassRow:
    """One pass: what let its arc start, its heat input with the basis of that, and what was outside."""

    entry: WeldPass
    released_by: str
    heat_input: str
    outside: str


def rows_of_passes(state: JointState, now: datetime.datetime) -> list[PassRow]:
    """Every pass of a joint that was not taken back, the newest first."""
    read = {one.pk: one for one in state.temperatures}
    return [
        PassRow(
            entry,
            _read(read.get(entry.released_by_id) if entry.released_by_id else None),
            _heat_input(entry, state),
            " ".join(one["what"] for one in entry.outside),
        )
        for entry in reversed(state.passes)
    ]


def passes_taken_back(joint: Joint) -> list[PassTakenBack]:
    """The passes of a joint that never were; they stay on record."""
    if not joint.pk:
        return []
    rows = PassTakenBack.objects.filter(weld_pass__joint=joint).select_related("weld_pass")
    return list(rows.order_by("-record_position"))


def _read(one: JointTemperature | None) -> str:
    if one is None:
        return ""
    said = degrees(one.value, one.unit)
    if one.crayon == "above":
        said = _("%(value)s melted") % {"value": said}
    elif one.crayon:
        said = _("%(value)s did not melt") % {"value": said}
    return _("%(said)s (simulated)") % {"said": said} if one.simulated else said


def _heat_input(entry: WeldPass, state: JointState) -> str:
    """Heat input in the procedure's unit, with its basis: the two differ by 40 % for TIG."""
    if not entry.heat_input:
        return ""
    procedure = _procedure(entry, state)
    value, unit = Decimal(entry.heat_input), "kJ/mm"
    if procedure is not None and procedure.heat_input.unit == "kJ/in":
        value, unit = value * Decimal("25.4"), "kJ/in"
    said = f"{value:.1f} {unit}" if unit == "kJ/in" else f"{value:.2f} {unit}"
    if procedure is not None and procedure.heat_basis == "net":
        return _("%(value)s, times the efficiency factor %(factor)s") % {
            "value": said,
            "factor": procedure.efficiency,
        }
    return _("%(value)s of arc energy") % {"value": said}


def _procedure(entry: WeldPass, state: JointState) -> Procedure | None:
    """The procedure of a pass, without another query: its joint's, or the one for repairs."""
    for revision in (state.revision, state.repair_revision):
        if revision is not None and revision.pk == entry.procedure_id:
            return procedure_from(revision.data)
    return None
