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

    With ``"angles"`` (degrees) the places need not be even.
    """
    need(raw, "readings", optional=["unit", "angles"])
    readings = reading.true_figures(asked, raw, "readings", int(asked.parameters.get("points_at_least", 4)))
    angles = reading.plain(raw, "angles") if raw.get("angles") else None
    if angles is not None:
        reading.same_length(readings=readings, angles=angles)
    section = cast(Section, asked.setup.get("section", "turning"))
    found = metrology.circular_runout(readings, angles, section, asked.setup.get("v_angle", "90"))
    fim = exact(found.fim, "The runout")
    high = max(range(len(readings)), key=lambda index: readings[index])
    detail = {
        "readings": len(readings),
        "highest": high + 1,
        "section": section,
        **{
            name: None if value is None else significant(value)
            for name, value in (
                ("eccentricity", found.eccentricity),
                ("high_angle", found.high_angle),
                ("ovality", found.ovality),
                ("residual", found.residual),
            )
        },
    }
    text = as_text(fim)
    return decided(asked, exact(text, "The runout"), text, doubt.gauge(asked, DIFFERENCE), detail)
