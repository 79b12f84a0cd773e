"""Figures of the machine and of a fit-up, as they are typed: which there are, and what cannot be one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from .procedure_figures import POSITIONS, Problem
from .procedures import TRAVEL_MM_S

__all__ = [
    "EACH_PASS",
    "FIT_UP_ANSWERS",
    "FIT_UP_FIGURES",
    "FLOW_UNITS",
    "POSITIONS",
    "SETTINGS",
    "read_fit_up",
    "read_settings",
]

EACH_PASS = ("first article", "procedure test", "audit")
"""Why every pass of a joint is recorded with all its numbers."""
FLOW_UNITS = ("ft³/h", "L/min")
SETTINGS = ("volts", "amps", "travel", "travel_unit", "gas_flow", "purge_flow", "flow_unit", "position")
FIT_UP_FIGURES = ("gap", "land", "mismatch", "bevel")
FIT_UP_ANSWERS = ("clean", "purged", "preheated")
_ABOVE_ZERO = ("volts", "amps", "travel", "gas_flow", "purge_flow")
_CHOICES = {"travel_unit": tuple(TRAVEL_MM_S), "flow_unit": FLOW_UNITS, "position": POSITIONS}
_NUMBER = re.compile(r"[0-9]{1,6}(\.[0-9]{1,6})?")
# No welding machine of such a shop reaches these, so that a figure above is a slip (common practice, no
# source). Volts, amps, mm/s of travel.
_MOST = {"volts": Decimal(100), "amps": Decimal(1000), "travel": Decimal(100)}


def read_settings(given: Mapping[str, Any]) -> tuple[dict[str, str], list[Problem]]:
    """Settings of the machine as they are kept, and every problem; what is left empty is not said.

    >>> read_settings({"amps": "0"})[1][0].sentence
    'This has to be above zero; read it off the machine.'
    """
    kept, problems = _known(given, SETTINGS)
    if "travel" in kept:
        kept.setdefault("travel_unit", "in/min")
    if "gas_flow" in kept or "purge_flow" in kept:
        kept.setdefault("flow_unit", FLOW_UNITS[0])
    for name in [name for name in _CHOICES if name in kept and kept[name] not in _CHOICES[name]]:
        problems.append(Problem(name, f"This is one of: {', '.join(_CHOICES[name])}."))
        del kept[name]
    for name in [name for name in _ABOVE_ZERO if name in kept]:
        problem = _number_problem(kept[name]) or (
            "" if Decimal(kept[name]) > 0 else "This has to be above zero; read it off the machine."
        )
        if not problem and name in _MOST:
            factor = TRAVEL_MM_S.get(kept.get("travel_unit", ""), Decimal(1)) if name == "travel" else 1
            problem = "" if Decimal(kept[name]) * factor <= _MOST[name] else "This is more than there is."
        if problem:
            problems.append(Problem(name, problem))
    return kept, problems


def read_fit_up(given: Mapping[str, Any]) -> tuple[dict[str, str], list[Problem]]:
    """Figures of a fit-up as they are kept, and every problem; lengths default to inches."""
    kept, problems = _known(given, (*FIT_UP_FIGURES, "length_unit", *FIT_UP_ANSWERS))
    if any(name in kept for name in FIT_UP_FIGURES[:3]):
        kept.setdefault("length_unit", "in")
    if kept.get("length_unit", "in") not in ("in", "mm"):
        problems.append(Problem("length_unit", "This is one of: in, mm."))
    for name in FIT_UP_ANSWERS:
        if kept.get(name, "yes") not in ("yes", "no"):
            problems.append(Problem(name, "This is one of: yes, no."))
    for name in [name for name in FIT_UP_FIGURES if name in kept]:
        problem = _number_problem(kept[name])
        if not problem and name == "bevel" and Decimal(kept[name]) > 90:
            problem = "A bevel is at most 90°."
        if problem:
            problems.append(Problem(name, problem))
    return kept, problems


def _known(given: Mapping[str, Any], names: tuple[str, ...]) -> tuple[dict[str, str], list[Problem]]:
    problems = [Problem(name, "There is no such figure here.") for name in given if name not in names]
    kept: dict[str, str] = {}
    for name in names:
        value = given.get(name)
        if value is None or (isinstance(value, str) and not value.strip()):
            continue
        if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
            problems.append(Problem(name, "Write this as text or as a number."))
            continue
        kept[name] = value.strip() if isinstance(value, str) else str(value)
    return kept, problems


def _number_problem(text: str) -> str:
    return "" if _NUMBER.fullmatch(text) else "This is a number with a decimal point, such as 12.5."
