"""Reading a whole procedure: every field checked, with a sentence for each that is wrong.

What is looked at is whether the figures can be meant together, never whether they are good: that is what the
procedure's qualification record is for. Sources: the fields are those of ISO 15609-1; processes by ISO 4063,
positions by ISO 6947, gases by ISO 14175, levels by ISO 5817 (their tables from memory).
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

from .joints import JointKind
from .procedure_figures import Problem, Reading
from .procedure_heat import arc_energy
from .procedures import INCH_MM, PROCESSES, TRAVEL_MM_S, Procedure, procedure_from

__all__ = ["FIT_UP", "LEVELS", "PLACES", "read_procedure"]

PLACES = {"stop": "on the weld where the pass stopped", "beside": "beside the weld", "away": "3 in away"}
FIT_UP = {"gap": "root gap", "land": "land", "mismatch": "mismatch", "bevel": "bevel of each edge"}
LEVELS = ("B", "C", "D")
HEAT_INPUT_UNITS = ("kJ/in", "kJ/mm")
# A symbol of a group, and what may stand before and after it: "ISO 14175 - M21 - ArC - 18".
_GAS = re.compile(
    r"(?:ISO 14175(?::\d{4})? ?- ?)?(I[1-3]|M1[1-4]|M2[0-7]|M3[1-5]|C[12]|R[12]|N[1-5]|O1|Z)"
    r"(?: ?- ?[A-Za-z]+(?: ?- ?\d+(?:\.\d+)?(?:/\d+(?:\.\d+)?)*)?)?"
)
# Shielding gas of each process by the letters of its group: ISO 4063 calls 141 inert and 135, 136 active.
_SHIELDS = {"141": "IR", "135": "MC", "136": "MC", "111": ""}
_MOST_PASSES = 99
# Hotter or colder than any steel is welded at, in °F and °C: such a figure has the other unit, or a slip.
_TEMPERATURES = {"F": ("-40", "900"), "C": ("-40", "480")}


def read_procedure(data: object) -> tuple[dict[str, Any], tuple[Problem, ...]]:
    """A procedure's data, tidied, and every problem; it may be published if there is none.

    >>> from .ready_procedures import READY_PROCEDURES
    >>> read_procedure(READY_PROCEDURES["snout-4130-500"].data)[1]
    ()
    >>> _data, problems = read_procedure({"process": "999", "volts": {"least": "13", "most": "12"}})
    >>> [problem.sentence for problem in problems if problem.field.startswith("volts")]
    ['Volts: the least, 13, is above the most, 12.']
    """
    reading = Reading(data)
    reading.text("title", longest=120, needed="Say what it is for.")
    reading.text(
        "qualified_by", longest=200, needed="Name the record that qualifies it, or say that none does."
    )
    reading.one_of("process", PROCESSES, needed=True)
    reading.some_of("kinds", [str(kind) for kind in JointKind], needed=True)
    reading.words("grades_a", longest=40, needed="Name the steels of one side.")
    reading.words("grades_b", longest=40, needed="Name the steels of the other side.")
    reading.range("thickness", "Thickness", most="12")
    reading.range("diameter", "Diameter", most="60")
    reading.words("fillers", longest=40)
    reading.text("filler_group", longest=20)
    reading.yes_no("backing")
    reading.text("gas", longest=60)
    reading.text("purge", longest=60)
    reading.positions("positions", needed=True)
    reading.range("volts", "Volts", most="100")
    reading.range("amps", "Amps", most="2000")
    reading.range("travel", "Travel", units=TRAVEL_MM_S, most="5000")
    reading.range("heat_input", "Heat input", units=HEAT_INPUT_UNITS, most="500")
    reading.one_of("heat_basis", ("arc", "net"), needed=True)
    reading.figure("efficiency", least="0.01", most="1")
    reading.one_of("temperature_unit", ("F", "C"), needed=True)
    coldest, hottest = _TEMPERATURES.get(reading.kept.get("temperature_unit", ""), ("-40", "900"))
    for name in ("preheat_least", "interpass_greatest", "cold_below"):
        reading.figure(name, least=coldest, most=hottest, unit=f"°{reading.kept.get('temperature_unit', '')}")
    reading.one_of("measured_at", PLACES, needed=True)
    reading.range("passes", "Passes", most=str(_MOST_PASSES), whole=True)
    fit_up = reading.inner("fit_up")
    for name, what in FIT_UP.items():
        fit_up.range(name, what.capitalize(), most="90" if name == "bevel" else "12")
    reading.join("fit_up", fit_up)
    reading.numbers("looks_after", most=_MOST_PASSES)
    reading.figure("waiting_hours", least="0", most="240", unit="hours")
    reading.text("slow_cooling", longest=300)
    reading.figure("hydrogen_ml", least="0.1", most="50", unit="ml/100 g")
    reading.one_of("level", LEVELS)
    reading.yes_no("for_repair")
    _gases(reading)
    _basis(reading)
    _temperatures(reading)
    _passes(reading)
    kept, problems = reading.done()
    if not problems and (said := _heat_that_cannot_be(procedure_from(kept))):
        return kept, (Problem("heat_input", said),)
    return kept, problems


def _gases(reading: Reading) -> None:
    """Gases have the form of ISO 14175, and the shielding gas goes with the process."""
    kept = reading.kept
    for name in ("gas", "purge"):
        if name in kept and not _GAS.fullmatch(kept[name]):
            said = "Write the gas by ISO 14175, such as “ISO 14175 - I1 - Ar” or “M21”."
            reading.problem(name, said)
    process, gas = kept.get("process"), _GAS.fullmatch(kept.get("gas", ""))
    if process is None:
        return
    may = _SHIELDS[process]
    if not may and "gas" in kept:
        reading.problem("gas", "A stick burns without shielding gas.")
    elif may and "gas" not in kept:
        reading.problem("gas", f"{PROCESSES[process]} needs its shielding gas.")
    elif may and gas and gas[1][0] not in (*may, "Z"):
        groups = " or ".join(may)
        reading.problem("gas", f"{PROCESSES[process]} ({process}) is welded under a gas of group {groups}.")


def _basis(reading: Reading) -> None:
    """The efficiency is said exactly where it counts."""
    basis, kept = reading.kept.get("heat_basis"), reading.kept
    wrong = any(problem.field == "efficiency" for problem in reading.problems)
    if basis == "net" and "efficiency" not in kept and not wrong:
        said = "Net heat input needs the efficiency: 0.6 for TIG, 0.8 for wire and stick (EN 1011-1)."
        reading.problem("efficiency", said)
    elif basis == "arc" and "efficiency" in kept and Decimal(kept["efficiency"]) != 1:
        said = "Arc energy counts whole: take the efficiency out, or say that the limits are net."
        reading.problem("efficiency", said)


def _temperatures(reading: Reading) -> None:
    kept = reading.kept
    least, most = (
        Decimal(kept[name]) if name in kept else None for name in ("preheat_least", "interpass_greatest")
    )
    if least is not None and most is not None and most <= least:
        said = f"{most} has to lie above the preheat, {least}: between them the joint is welded."
        reading.problem("interpass_greatest", said)
    if Decimal(kept.get("waiting_hours", "0")) and "cold_below" not in kept:
        reading.problem(
            "cold_below", "Say below which temperature the joint is cold: the waiting begins then."
        )


def _passes(reading: Reading) -> None:
    passes, looks = reading.kept.get("passes", {}), reading.kept.get("looks_after", [])
    if passes and Decimal(passes.get("least", "1")) < 1:
        reading.problem("passes/least", "A weld has at least one pass.")
    if "most" in passes and looks and looks[-1] >= Decimal(passes["most"]):
        said = f"Nothing is welded after pass {passes['most']}; the last look belongs to the finished weld."
        reading.problem("looks_after", said)


def _heat_that_cannot_be(procedure: Procedure) -> str:
    """A sentence if volts, amps and travel inside their limits never give a heat input inside its own."""
    volts, amps, travel, limits = procedure.volts, procedure.amps, procedure.travel, procedure.heat_input
    per = Fraction(INCH_MM) if limits.unit == "kJ/in" else Fraction(1)

    def heat(v: Decimal | None, a: Decimal | None, s: Decimal | None) -> Fraction | None:
        if not v or not a or not s:
            return None
        return arc_energy(v, a, s, travel.unit) * Fraction(procedure.factor) * per

    least, most = heat(volts.least, amps.least, travel.most), heat(volts.most, amps.most, travel.least)
    too_little = most is not None and limits.least is not None and most < Fraction(limits.least)
    too_much = least is not None and limits.most is not None and least > Fraction(limits.most)
    if not too_little and not too_much:
        return ""
    said = " to ".join(f"{float(side):.2f}" for side in (least, most) if side is not None)
    return (
        f"Heat input: with these volts, amps and travel it is {said} {limits.unit}, outside its own limits."
    )
