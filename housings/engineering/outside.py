"""What of a weld pass or of a fit-up is outside its procedure, each with a code and in words."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from .procedure_heat import EXACT_MM_S, as_text, heat_input_of
from .procedures import INCH_MM, Procedure, Range
from .release import Release, Said
from .weld_figures import FIT_UP_FIGURES

__all__ = ["Outside", "fit_up_outside", "heat_outside", "pass_outside", "settings_outside"]

Outside = dict[str, str]
"""``{"code", "what"}``: what is outside, and the sentence that says it."""
_OF_SETTINGS = {"volts": "V", "amps": "A"}


def settings_outside(procedure: Procedure, figures: Mapping[str, str]) -> list[Outside]:
    """What of the machine's settings is outside: volts, amps, travel, heat input, position."""
    found = [
        _outside(name, f"{name.title()} {figures[name]}", getattr(procedure, name), unit)
        for name, unit in _OF_SETTINGS.items()
        if figures.get(name) and not getattr(procedure, name).holds(Decimal(figures[name]))
    ]
    if figures.get("travel"):
        unit = figures.get("travel_unit", "in/min")
        limits = procedure.travel
        in_unit = Fraction(figures["travel"]) * EXACT_MM_S[unit] / EXACT_MM_S[limits.unit or unit]
        if not _holds(limits, in_unit):
            found.append(
                _outside("travel", f"Travel {figures['travel']} {unit}", limits, limits.unit or unit)
            )
    heat = heat_input_of(procedure, figures)
    if heat is not None and not _holds_heat(procedure, heat):
        basis = "net" if procedure.heat_basis == "net" else "of the arc"
        said = f"Heat input {as_text(heat)} kJ/mm ({_kj_in(heat)} kJ/in) {basis}"
        found.append(_outside("heat_input", said, procedure.heat_input, procedure.heat_input.unit or "kJ/mm"))
    position = figures.get("position")
    if position and procedure.positions and position not in procedure.positions:
        positions = ", ".join(procedure.positions)
        found.append({"code": "position", "what": f"Position {position}; the procedure has {positions}."})
    return found


def pass_outside(
    procedure: Procedure,
    figures: Mapping[str, str],
    *,
    number_of_weld: int,
    is_multipass: bool,
    filler: str | None = None,
    gas: str | None = None,
) -> list[Outside]:
    """What of a pass is outside. `number_of_weld` counts the passes of the weld; `filler` and `gas` are the
    classifications of what was used, ``None`` if nothing was named.
    """
    found = settings_outside(procedure, figures)
    if filler is not None and procedure.fillers and filler not in procedure.fillers:
        asked = ", ".join(procedure.fillers)
        found.append({"code": "filler", "what": f"Filler {filler}; the procedure has {asked}."})
    if gas is not None and procedure.gas and gas != procedure.gas:
        found.append({"code": "gas", "what": f"Gas {gas}; the procedure has {procedure.gas}."})
    most = procedure.passes.most
    if is_multipass and most is not None and number_of_weld > most:
        said = f"It is pass {number_of_weld}; the procedure has at most {most}."
        found.append({"code": "pass_count", "what": said})
    return found


def heat_outside(procedure: Procedure, released: Release) -> list[Outside]:
    """What the temperature before the arc was outside of; nothing where none was read."""
    if released.by is None or released.said not in (Said.TOO_COLD, Said.TOO_HOT):
        return []
    one, unit = released.by, procedure.temperature_unit
    crayon = {"above": "above ", "below": "below "}.get(one.crayon, "")
    read = f"{crayon}{one.value} °{one.unit}"
    if released.said is Said.TOO_COLD:
        said = f"Read {read} before the arc; the least preheat is {procedure.preheat_least} °{unit}."
        return [{"code": "preheat", "what": said}]
    said = f"Read {read} before the arc; the greatest interpass is {procedure.interpass_greatest} °{unit}."
    return [{"code": "interpass", "what": said}]


def fit_up_outside(procedure: Procedure | None, figures: Mapping[str, str]) -> list[Outside]:
    """What of a fit-up is not as it has to be: out of range, not measured, not clean, purged or preheated."""
    found: list[Outside] = []
    for name in FIT_UP_FIGURES:
        limits = procedure.fit_up.get(name) if procedure else None
        if limits is None or (limits.least is None and limits.most is None):
            continue
        unit = "°" if name == "bevel" else "in"
        if not figures.get(name):
            found.append({"code": name, "what": f"{name.title()} not measured; {_asks(limits, unit)}."})
            continue
        value = Fraction(figures[name])
        if name != "bevel" and figures.get("length_unit") == "mm":
            value /= Fraction(INCH_MM)
        if not _holds(limits, value):
            typed = figures[name] + ("°" if name == "bevel" else f" {figures.get('length_unit', 'in')}")
            found.append(_outside(name, f"{name.title()} {typed}", limits, unit))
    if figures.get("clean") != "yes":
        found.append({"code": "clean", "what": "It is not said to be clean."})
    if procedure and procedure.purge and figures.get("purged") != "yes":
        found.append({"code": "purged", "what": f"It is not said to be purged with {procedure.purge}."})
    if procedure and procedure.preheat_least is not None and figures.get("preheated") != "yes":
        least = f"{procedure.preheat_least} °{procedure.temperature_unit}"
        found.append({"code": "preheated", "what": f"It is not said to be preheated to {least}."})
    return found


def _holds(limits: Range, value: Fraction) -> bool:
    return not (limits.least is not None and value < Fraction(limits.least)) and not (
        limits.most is not None and value > Fraction(limits.most)
    )


def _holds_heat(procedure: Procedure, kj_mm: Fraction) -> bool:
    """Compared in the unit of the limits, so that a limit in kJ/in is met by exactly its figure."""
    in_unit = kj_mm * Fraction(INCH_MM) if procedure.heat_input.unit == "kJ/in" else kj_mm
    return _holds(procedure.heat_input, in_unit)


def _kj_in(kj_mm: Fraction) -> str:
    return format(Decimal(round(kj_mm * Fraction(INCH_MM) * 10)) / 10, ".1f")


def _outside(code: str, said: str, limits: Range, unit: str) -> Outside:
    return {"code": code, "what": f"{said}; {_asks(limits, unit)}."}


def _asks(limits: Range, unit: str) -> str:
    unit = unit if unit == "°" else f" {unit}"
    if limits.least is not None and limits.most is not None:
        return f"the procedure has {limits.least} to {limits.most}{unit}"
    if limits.most is not None:
        return f"the procedure has at most {limits.most}{unit}"
    return f"the procedure has at least {limits.least}{unit}"
