"""Stored readings judged again: as they were, or with what a gauge turned out to read wrong.

A reading keeps the raw figures, the engine that judged them and the basis it judged with, so that the same
comes out of it years later. What was found wrong afterwards changes the basis, never the raw figures.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any, cast

from django.db.models import QuerySet

from inspections.basis import in_unit_of
from inspections.metrology import decide
from inspections.models import Gauge, Reading
from inspections.verdicts import ENGINE, Asked, Judged, Rule, as_text, judge

FAHRENHEIT = frozenset({"F", "°F"})
# Digits that are the same on every machine; beyond them floating point may differ.
DIGITS = 12
AT_ONCE = 500


@dataclass(frozen=True)
class FoundError:
    """What a check found wrong with one piece of equipment.

    It shows true × (1 + ``scale``) + ``offset``, the offset in the unit of the piece. ``constants`` are the
    figures of a master or a bar as they really are.
    """

    gauge: Gauge
    offset: Fraction = Fraction(0)
    scale: Fraction = Fraction(0)
    constants: Mapping[str, Any] = field(default_factory=dict)


def asked_of(reading: Reading, basis: Mapping[str, Any] | None = None) -> Asked:
    """What a stored reading was judged against; with another ``basis`` if one is given."""
    characteristic = reading.characteristic
    basis = reading.basis if basis is None else basis
    return Asked(
        kind=characteristic.kind,
        unit=characteristic.unit,
        lower=reading.lower,
        upper=reading.upper,
        parameters=characteristic.parameters,
        rule=cast(Rule, reading.rule),  # one of them by the column's choices
        uncertainty=basis.get("gauge_uncertainty") or reading.uncertainty or "0",
        setup=reading.setup,
        basis=basis,
    )


def judged_again(reading: Reading, basis: Mapping[str, Any] | None = None) -> Judged:
    """A stored reading judged again by the engine that judged it.

    Raises
    ------
    ValueError
        With a sentence: what is stored cannot be judged.
    """
    # The first engine knew of no error of a gauge; what it judged is corrected by the present one.
    engine = ENGINE if basis is not None and reading.engine == "1" else reading.engine
    return judge(asked_of(reading, basis), reading.raw, engine)


def same_value(first: str, second: str) -> bool:
    """Whether two values agree in 12 significant digits.

    >>> same_value("0.00331662479036", "0.003316624790360")
    True
    >>> same_value("0.003316624790", "0.003316624791")
    False
    """
    if first == second:
        return True
    try:
        one, other = (Decimal(format(Decimal(text), f".{DIGITS - 1}e")) for text in (first, second))
    except ArithmeticError:
        return False
    return one == other


def corrected_basis(reading: Reading, errors: Mapping[str, FoundError]) -> dict[str, Any]:
    """The basis of a reading with what is known to be wrong of its gauge, thermometer, master and bar.

    ``errors``: by the code of the piece. What the reading did not use changes nothing.
    """
    basis = dict(reading.basis)
    unit = reading.characteristic.unit
    if reading.gauge and (error := errors.get(reading.gauge.code)):
        basis |= {
            "offset": in_unit_of(error.gauge, as_text(error.offset), unit),
            "scale": as_text(error.scale),
        }
    setup = reading.setup
    if (error := errors.get(setup.get("thermometer", ""))) and basis.get("part_c") is not None:
        basis["part_offset"] = _shown_too_warm(error, Fraction(basis["part_c"]))
    if (error := errors.get(setup.get("master", ""))) and basis.get("master"):
        basis["master"] = _true_master(error, basis["master"], unit)
    if (error := errors.get(setup.get("bar", ""))) and basis.get("bar"):
        basis["bar"] = {**basis["bar"], **error.constants}
    return basis


def _shown_too_warm(error: FoundError, part_c: Fraction) -> str:
    """By how many °C the thermometer showed too much, at what it showed."""
    in_f = error.gauge.unit in FAHRENHEIT
    shown = part_c * Fraction(9, 5) + 32 if in_f else part_c
    true = (shown - error.offset) / (1 + error.scale)
    return as_text((shown - true) * (Fraction(5, 9) if in_f else 1))


def _true_master(error: FoundError, master: Mapping[str, Any], unit: str) -> dict[str, Any]:
    if "size" in error.constants:
        return {**master, "size": in_unit_of(error.gauge, str(error.constants["size"]), unit)}
    # A master has no display: its error is that of the size written on it.
    offset = Fraction(in_unit_of(error.gauge, as_text(error.offset), unit))
    return {**master, "size": as_text((Fraction(str(master["size"])) - offset) / (1 + error.scale))}


def probability_of(reading: Reading, judged: Judged) -> str:
    """That the feature is within its limits, 0 to 1, from the value and its uncertainty; empty for a look."""
    if judged.probability:
        return format(float(judged.probability), ".6f")
    try:
        value = Fraction(judged.value)
        uncertainty = judged.uncertainty or reading.uncertainty or "0"
        found = decide(value, _limits(reading), expanded_uncertainty=uncertainty)
    except (ValueError, ZeroDivisionError):
        return ""
    return format(found.probability, ".6f")


def _limits(reading: Reading) -> Sequence[str | None]:
    return (reading.lower, reading.upper)


@dataclass(frozen=True)
class Recomputed:
    """A stored reading judged again, and in words what came out otherwise; empty if nothing did."""

    reading: Reading
    difference: str


def recomputed(readings: QuerySet[Reading]) -> Iterator[Recomputed]:
    """Every reading judged again as it was judged: one query and bounded memory, however many there are."""
    for reading in readings.select_related("characteristic", "housing").iterator(chunk_size=AT_ONCE):
        yield Recomputed(reading, _difference(reading))


def _difference(reading: Reading) -> str:
    try:
        judged = judged_again(reading)
    except (ValueError, KeyError) as error:
        return f"it cannot be judged any more: {error}"
    if judged.verdict != reading.verdict:
        return f"stored as {reading.value} {reading.verdict}, it comes out as {judged.value} {judged.verdict}"
    if not same_value(judged.value, reading.value):
        return f"stored as {reading.value}, it comes out as {judged.value}"
    return ""
