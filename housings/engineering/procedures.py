"""A welding procedure (WPS), read from plain data, and which joints it reaches.

Figures stay as they were typed, with their unit; what compares them converts exactly. The fields are those of
ISO 15609-1 and of the trade; which values a procedure has is the shop's own, with its qualification record.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal, Protocol

__all__ = ["INCH_MM", "PROCESSES", "TRAVEL_MM_S", "Procedure", "Range", "procedure_from", "reaches"]

INCH_MM = Decimal("25.4")
PROCESSES = {"141": "TIG", "135": "MAG, solid wire", "136": "MAG, flux-cored wire", "111": "stick"}
"""Processes by their number in ISO 4063."""
TRAVEL_MM_S = {"in/min": INCH_MM / 60, "mm/min": Decimal(1) / 60, "mm/s": Decimal(1)}
"""mm per second of each unit of travel speed."""
_TO_KJ_MM = {"kJ/in": 1 / INCH_MM, "kJ/mm": Decimal(1)}


@dataclass(frozen=True, slots=True)
class Range:
    """A figure's least and most, both included; ``None`` = free on that side. In `unit`, as typed."""

    least: Decimal | None = None
    most: Decimal | None = None
    unit: str = ""

    def holds(self, value: Decimal) -> bool:
        """Whether a value in the same unit lies inside."""
        return not (self.least is not None and value < self.least) and not (
            self.most is not None and value > self.most
        )

    def words(self, unit: str = "") -> str:
        """The range in words: "27 to 52 kJ/in", "at least 250 °F"; empty if it is free on both sides.

        >>> Range(Decimal("0.250"), None).words("in")
        'at least 0.250 in'
        """
        least, most = (None if side is None else format(side, "f") for side in (self.least, self.most))
        if least is None and most is None:
            return ""
        if least is None or most is None:
            said = f"at least {least}" if most is None else f"at most {most}"
        else:
            said = least if least == most else f"{least} to {most}"
        return f"{said} {unit or self.unit}".strip()

    @classmethod
    def of(cls, given: Mapping[str, Any] | None) -> Range:
        """A range from its stored data."""
        given = given or {}

        def side(name: str) -> Decimal | None:
            value = given.get(name)
            return None if value in (None, "") else Decimal(str(value))

        return cls(side("least"), side("most"), str(given.get("unit", "")))

    def in_unit(self, factor: Decimal) -> Range:
        """The same range with every figure multiplied."""
        least = None if self.least is None else self.least * factor
        return Range(least, None if self.most is None else self.most * factor)


class Reached(Protocol):
    """What of a joint decides which procedure reaches it."""

    @property
    def kind(self) -> str: ...
    @property
    def grade_a(self) -> str: ...
    @property
    def grade_b(self) -> str: ...
    @property
    def thickness(self) -> str: ...
    @property
    def diameter(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Procedure:
    """One procedure.

    Attributes
    ----------
    title, qualified_by : str
        What it is for; the reference of its qualification record.
    process : str
        ISO 4063, a key of `PROCESSES`.
    kinds : tuple of str
        The kinds of joints (`joints.JointKind`) it is for.
    grades_a, grades_b : tuple of str
        The steels of one and of the other side; either order of a joint's steels will do.
    thickness, diameter : Range
        In inches.
    fillers, gas, purge : tuple of str, str, str
        Classifications of filler metal (such as AWS A5.28), gases by ISO 14175; no purge = "".
    positions : tuple of str
        ISO 6947.
    volts, amps : Range
    travel : Range
        ``unit`` is a key of in/min, mm/min, mm/s.
    heat_input : Range
        ``unit`` kJ/in or kJ/mm.
    heat_basis : {"arc", "net"}
        Whether its limits mean the arc's energy or what of it reaches the work, by `efficiency`.
    efficiency : Decimal
        Thermal efficiency of the process, counted only with ``"net"``.
    preheat_least, interpass_greatest : Decimal or None
        In `temperature_unit`.
    measured_at : {"stop", "beside", "away"}
        Where interpass temperature is read: on the weld where the pass stopped, beside it, 3 in away.
    passes : Range
        How many passes.
    fit_up : mapping of str to Range
        Limits of ``gap``, ``land``, ``mismatch``, ``bevel`` (lengths in inches, angles in degrees).
    looks_after : tuple of int
        After which passes somebody looks before the next one; the root is 1.
    waiting_hours : Decimal or None
        From the cold joint to its test.
    cold_below : Decimal or None
        Below which temperature the joint is cold, in `temperature_unit`.
    slow_cooling : str
        How it is kept from cooling fast, in words.
    hydrogen_ml : Decimal or None
        Diffusible hydrogen of the weld metal, ml per 100 g.
    level : str
        Quality level of ISO 5817 that the finished weld is looked at by: B, C or D.
    for_repair : bool
        It repairs joints of its kinds; it is not chosen for new ones.
    filler_group : str
        By which welders are qualified for them, such as FM2 (ISO 9606-1) or F6 (ASME IX); "" = not said.
    backing : bool
        Whether something stays behind the root; without it the root is open.
    """

    title: str
    qualified_by: str
    process: str
    kinds: tuple[str, ...]
    grades_a: tuple[str, ...]
    grades_b: tuple[str, ...]
    thickness: Range
    diameter: Range
    fillers: tuple[str, ...]
    gas: str
    purge: str
    positions: tuple[str, ...]
    volts: Range
    amps: Range
    travel: Range
    heat_input: Range
    heat_basis: Literal["arc", "net"]
    efficiency: Decimal
    preheat_least: Decimal | None
    interpass_greatest: Decimal | None
    temperature_unit: Literal["F", "C"]
    measured_at: str
    passes: Range
    fit_up: Mapping[str, Range]
    looks_after: tuple[int, ...]
    waiting_hours: Decimal | None
    cold_below: Decimal | None
    slow_cooling: str
    hydrogen_ml: Decimal | None
    level: str
    for_repair: bool
    filler_group: str = ""
    backing: bool = False

    @property
    def heat_input_kj_mm(self) -> Range:
        """The limits of heat input in kJ/mm, on the procedure's own basis."""
        return self.heat_input.in_unit(_TO_KJ_MM[self.heat_input.unit or "kJ/mm"])

    @property
    def factor(self) -> Decimal:
        """What the arc's energy is multiplied by before it is compared with the limits."""
        return self.efficiency if self.heat_basis == "net" else Decimal(1)


def procedure_from(data: Mapping[str, Any]) -> Procedure:
    """A procedure from its stored data, which was checked when it was published.

    Raises `KeyError` or `ValueError` (`decimal.InvalidOperation`) for data that never was a procedure.
    """

    def figure(name: str) -> Decimal | None:
        value = data.get(name)
        return None if value in (None, "") else Decimal(str(value))

    def words(name: str) -> tuple[str, ...]:
        return tuple(str(entry) for entry in data.get(name, ()))

    return Procedure(
        title=data["title"],
        qualified_by=data["qualified_by"],
        process=data["process"],
        kinds=words("kinds"),
        grades_a=words("grades_a"),
        grades_b=words("grades_b"),
        thickness=Range.of(data.get("thickness")),
        diameter=Range.of(data.get("diameter")),
        fillers=words("fillers"),
        gas=data.get("gas", ""),
        purge=data.get("purge", ""),
        positions=words("positions"),
        volts=Range.of(data.get("volts")),
        amps=Range.of(data.get("amps")),
        travel=Range.of(data.get("travel")),
        heat_input=Range.of(data.get("heat_input")),
        heat_basis=data.get("heat_basis", "arc"),
        efficiency=figure("efficiency") or Decimal(1),
        preheat_least=figure("preheat_least"),
        interpass_greatest=figure("interpass_greatest"),
        temperature_unit=data.get("temperature_unit", "F"),
        measured_at=data.get("measured_at", "stop"),
        passes=Range.of(data.get("passes")),
        fit_up={name: Range.of(limits) for name, limits in (data.get("fit_up") or {}).items()},
        looks_after=tuple(int(number) for number in data.get("looks_after", ())),
        waiting_hours=figure("waiting_hours"),
        cold_below=figure("cold_below"),
        slow_cooling=data.get("slow_cooling", ""),
        hydrogen_ml=figure("hydrogen_ml"),
        level=data.get("level", ""),
        for_repair=bool(data.get("for_repair", False)),
        filler_group=data.get("filler_group", ""),
        backing=bool(data.get("backing", False)),
    )


def reaches(procedure: Procedure, joint: Reached) -> tuple[str, ...]:
    """Every reason why a procedure does not reach a joint, as sentences; empty if it does."""
    against = []
    if joint.kind not in procedure.kinds:
        against.append("It is for other joints.")
    sides = ((joint.grade_a, joint.grade_b), (joint.grade_b, joint.grade_a))
    if not any(a in procedure.grades_a and b in procedure.grades_b for a, b in sides):
        against.append(f"It is not for {joint.grade_a} to {joint.grade_b}.")
    if joint.thickness and not procedure.thickness.holds(Decimal(joint.thickness)):
        against.append(f"A wall of {joint.thickness} in is outside its thickness.")
    if joint.diameter and not procedure.diameter.holds(Decimal(joint.diameter)):
        against.append(f"A diameter of {joint.diameter} in is outside its diameters.")
    return tuple(against)
