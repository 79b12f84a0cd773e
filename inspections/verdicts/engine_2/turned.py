"""What is turned under an indicator: full indicator movement, and what the set-up lets see of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, cast

from inspections import metrology
from inspections.metrology.numbers import exact
from inspections.verdicts.asked import Asked, Judged
from inspections.verdicts.engine_2 import doubt
from inspections.verdicts.engine_2 import raw as reading
from inspections.verdicts.engine_2.decided import decided
from inspections.verdicts.engine_2.faces import DIFFERENCE
from inspections.verdicts.typed import as_text, need, significant

Section = Literal["turning", "in_v_block", "rolled_elsewhere"]


def runout(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"readings": ["0", "0.002", …], "unit": "in"}``: full indicator movement of one turn, 12 first.

    With ``"angles"`` (degrees, ascending) the places need not be even. What moves the indicator is told apart
    only as far as the set-up lets it be seen (`metrology.circular_runout`): what it hides, or what nobody
    said enough about, stays empty and is named in ``not_seen``.
    """
    need(raw, "readings", optional=["unit", "angles"])
    readings = reading.true_figures(asked, raw, "readings", int(asked.parameters.get("points_at_least", 4)))
    angles = reading.plain(raw, "angles") if raw.get("angles") else None
    if angles is not None:
        reading.same_length(readings=readings, angles=angles)
    section, v_angle = _section(asked.setup), asked.setup.get("v_angle")
    # Over no block at all, or over one whose angle nobody said, the angle here only has to be an angle.
    found = metrology.circular_runout(readings, angles, section or "turning", v_angle or "90")
    in_v_block = section in ("in_v_block", "rolled_elsewhere")
    seen = {
        "eccentricity": found.eccentricity if section else None,
        "high_angle": found.high_angle if section else None,
        "ovality": found.ovality if section and (v_angle or not in_v_block) else None,
        "residual": found.residual if section and (v_angle or not in_v_block) else None,
    }
    fim = exact(found.fim, "The runout")
    high = max(range(len(readings)), key=lambda index: readings[index])
    detail = {
        "readings": len(readings),
        "highest": high + 1,
        "section": section,
        **{name: None if value is None else significant(value) for name, value in seen.items()},
        "not_seen": [name for name, value in seen.items() if value is None and name != "high_angle"],
    }
    text = as_text(fim)
    return decided(asked, exact(text, "The runout"), text, doubt.gauge(asked, DIFFERENCE), detail)


def _section(setup: Mapping[str, Any]) -> Section | None:
    """How the section turns, as it was said; centers and bearings say it by themselves, V-blocks do not."""
    said = setup.get("section")
    if said is not None:
        return cast(Section, said)
    return "turning" if setup.get("support") in ("centers", "bearings") else None
