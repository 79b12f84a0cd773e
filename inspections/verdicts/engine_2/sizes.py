"""One size, or diameters of one journal or bore at several places."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from inspections.metrology import Contribution
from inspections.metrology.limits import read_limits
from inspections.metrology.numbers import exact
from inspections.verdicts.asked import Asked, Judged
from inspections.verdicts.engine_2 import doubt
from inspections.verdicts.engine_2 import raw as reading
from inspections.verdicts.engine_2.decided import decided
from inspections.verdicts.engine_2.temperature import at_20
from inspections.verdicts.typed import as_text, need


def size(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"value": "3.4985", "unit": "in"}``"""
    need(raw, "value", optional=["unit"])
    shown = reading.length(asked, raw, raw["value"])
    referred = at_20(asked, doubt.true_figure(asked, shown))
    as_it_was = referred.length == shown and raw.get("unit", asked.unit) == asked.unit
    # Digits are kept as they were typed: 2.4990 says more than 2.499.
    text = raw["value"].strip() if as_it_was else as_text(referred.length)
    value = referred.length if as_it_was else exact(text, "The size")
    detail = {} if referred.length == shown else {"as_read": as_text(shown)}
    return decided(asked, value, text, [*doubt.gauge(asked), *referred.parts], detail)


def diameters(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"values": ["2.4993", …], "unit": "in"}``, or against a master ``{"differences": ["-0.0002", …]}``.

    Every place has to be within the limits, so the one with the least room to them decides.
    """
    compared = "differences" in raw
    name = "differences" if compared else "values"
    need(raw, name, optional=["unit"])
    least = int(asked.parameters.get("points_at_least", 1))
    shown = reading.true_figures(asked, raw, name, least)
    parts = doubt.gauge(asked)
    if compared:
        master = asked.basis.get("master")
        if not master:
            raise ValueError("Say with which master it was compared.")
        shown = [exact(master["size"], "The master's size") + value for value in shown]
        of_master = float(exact(master["uncertainty"], "The master's uncertainty"))
        parts = [*parts, Contribution(of_master / doubt.COVERAGE, name="master")] if of_master else parts
    referred = [at_20(asked, value, compared) for value in shown]
    found = [exact(as_text(one.length), "The diameter") for one in referred]
    limits = read_limits((asked.lower, asked.upper), "limits")
    worst = min(range(len(found)), key=lambda place: limits.margin(found[place]))
    detail = {
        "places": [as_text(value) for value in found],
        "worst": worst + 1,
        "least": as_text(min(found)),
        "greatest": as_text(max(found)),
        "out_of_round": as_text(max(found) - min(found)),
        "compared": compared,
    }
    text = _kept(asked, raw, name, worst, found[worst])
    return decided(asked, found[worst], text, [*parts, *referred[worst].parts], detail)


def _kept(asked: Asked, raw: Mapping[str, Any], name: str, place: int, value: Fraction) -> str:
    """As it was typed if that is what is judged, for 2.4990 says more than 2.499."""
    typed = str(raw[name][place]).strip()
    if name != "values" or raw.get("unit", asked.unit) != asked.unit:
        return as_text(value)
    return typed if exact(typed, "The diameter") == value else as_text(value)
