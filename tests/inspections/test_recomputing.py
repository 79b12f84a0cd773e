"""What a gauge, thermometer, master or bar turned out to read wrong, taken off a stored reading."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from inspections.models import Characteristic, Gauge, Reading
from inspections.recomputing import FoundError, corrected_basis, judged_again, probability_of
from inspections.verdicts import Judged

UNTOLD = {
    "gauge_uncertainty": "0",
    "offset": "0",
    "scale": "0",
    "part_c": None,
    "air_c": None,
    "settled": True,
    "part_offset": "0",
    "thermometer_uncertainty": "0",
    "master": None,
    "bar": None,
}
# Steel grows by 11.5e-6 of its length for each °C (ASME B89.6.2, from memory).
STEEL = Fraction("0.0000115")


def reading(
    kind: str,
    raw: dict[str, Any],
    *,
    limits: tuple[str | None, str | None] = ("2.4990", "2.4995"),
    unit: str = "in",
    parameters: dict[str, Any] | None = None,
    setup: dict[str, Any] | None = None,
    basis: dict[str, Any] | None = None,
    gauge: Gauge | None = None,
) -> Reading:
    """A reading that nobody stored."""
    asked = Characteristic(kind=kind, unit=unit, name="Left journal", parameters=parameters or {})
    return Reading(
        characteristic=asked,
        raw=raw,
        lower=limits[0],
        upper=limits[1],
        rule="simple",
        engine="2",
        setup=setup or {},
        basis={**UNTOLD, **(basis or {})},
        gauge=gauge,
    )


def again(found: Reading, error: FoundError) -> Judged:
    return judged_again(found, corrected_basis(found, {error.gauge.code: error}))


@pytest.mark.parametrize(
    ("gauge_unit", "offset", "scale"),
    [("in", "0.0002", "0"), ("mm", "0.00508", "0"), ("in", "0", "0.0001"), ("in", "-0.0003", "0.0002")],
)
def test_a_gauges_error_is_taken_off_in_its_own_unit(gauge_unit: str, offset: str, scale: str) -> None:
    micrometer = Gauge(code="MIC", unit=gauge_unit)
    found = reading("size", {"value": "2.4994"}, gauge=micrometer)
    inches = Fraction(offset) / (Fraction("25.4") if gauge_unit == "mm" else 1)
    true = (Fraction("2.4994") - inches) / (1 + Fraction(scale))
    judged = again(found, FoundError(micrometer, Fraction(offset), Fraction(scale)))
    assert abs(Fraction(judged.value) - true) < Fraction(1, 10**11)
    assert judged.verdict == ("pass" if Fraction("2.4990") <= true <= Fraction("2.4995") else "fail")


@pytest.mark.parametrize(
    ("unit", "shown_c", "offset", "scale"),
    [("°F", Fraction(40), "36", "0"), ("°C", Fraction(40), "20", "0"), ("°C", Fraction(40), "0", "0.25")],
)
def test_a_thermometer_that_reads_too_much_made_a_warm_part_of_a_cold_one(
    unit: str, shown_c: Fraction, offset: str, scale: str
) -> None:
    thermometer = Gauge(code="THERM", unit=unit)
    found = reading(
        "size",
        {"value": "2.5000"},
        setup={"thermometer": "THERM"},
        basis={"settled": False, "part_c": str(shown_c), "air_c": "20"},
    )
    assert judged_again(found).verdict == "pass"
    shown = shown_c * Fraction(9, 5) + 32 if unit == "°F" else shown_c
    true = (shown - Fraction(offset)) / (1 + Fraction(scale))
    true_c = (true - 32) * Fraction(5, 9) if unit == "°F" else true
    expected = Fraction("2.5000") / (1 + STEEL * (true_c - 20))
    judged = again(found, FoundError(thermometer, Fraction(offset), Fraction(scale)))
    assert abs(Fraction(judged.value) - expected) < Fraction(1, 10**10)
    assert judged.verdict == "fail"


def test_a_thermometer_that_was_not_used_changes_nothing() -> None:
    found = reading("size", {"value": "2.4994"}, basis={"settled": False, "part_c": "20"})
    error = FoundError(Gauge(code="THERM", unit="°F"), Fraction(36))
    assert corrected_basis(found, {"THERM": error}) == found.basis


@pytest.mark.parametrize(
    ("unit", "size"), [("in", "2.49960"), ("mm", str(Fraction("2.49960") * Fraction("25.4")))]
)
def test_a_masters_true_size_moves_what_was_compared_with_it(unit: str, size: str) -> None:
    master = Gauge(code="MASTER", unit=unit, uncertainty="0", constants={"size": "2.4992"})
    size = f"{float(Fraction(size)):.5f}"
    found = reading(
        "diameters",
        {"differences": ["0.0001", "0.0001", "0.0001", "0.0001"]},
        setup={"master": "MASTER"},
        basis={"master": {"code": "MASTER", "size": "2.4992", "uncertainty": "0"}},
    )
    assert judged_again(found).verdict == "pass"
    judged = again(found, FoundError(master, constants={"size": size}))
    assert abs(Fraction(judged.value) - Fraction("2.4997")) < Fraction(1, 10**9)
    assert judged.verdict == "fail"


def test_a_thinner_bar_sags_more() -> None:
    """Sag goes with 1/D² (Roark's Formulas for Stress and Strain, table 8.1: weight over stiffness)."""
    bar = {"code": "BAR", "diameter": "1.5", "supports": ["-27", "27"], "ends": ["-36", "36"]}
    z = ["-36", "-30", "30", "36"]
    still = ["0", "0", "0", "0"]
    found = reading(
        "end_alignment",
        {"z": z, "x": still, "y": still, "unit": "in"},
        limits=("-0.1", "0.1"),
        unit="°",
        parameters={"quantity": "camber_left"},
        setup={"bar": "BAR"},
        basis={"bar": bar},
    )
    first = judged_again(found)
    judged = again(found, FoundError(Gauge(code="BAR", unit="in"), constants={"diameter": "0.75"}))
    assert float(judged.value) == pytest.approx(4 * float(first.value), rel=1e-6)
    assert float(first.value) != 0


def test_a_pressure_gauge_that_shows_too_little_showed_too_little_of_a_loss() -> None:
    """Showing 88 % of every pressure it shows 88 % of every loss; an offset falls out of a difference."""
    tired = Gauge(code="PRESS", unit="psi")
    found = reading(
        "pressure_loss",
        {"minutes": ["0", "5"], "pressures": ["4.000", "3.905"], "unit": "psi"},
        limits=(None, "0.1"),
        unit="psi",
        parameters={"volume": "18", "over_minutes": "5"},
        gauge=tired,
    )
    first = judged_again(found)
    assert first.verdict == "pass"
    judged = again(found, FoundError(tired, scale=Fraction("-0.12")))
    assert float(judged.value) == pytest.approx(float(first.value) / 0.88, rel=1e-9)
    assert judged.verdict == "fail"
    moved = again(found, FoundError(tired, Fraction("0.2")))
    assert float(moved.value) == pytest.approx(float(first.value), rel=1e-9)


def test_a_probability_comes_from_the_value_and_its_uncertainty() -> None:
    """At its limit a value conforms with even chance (JCGM 106:2012, 7.3)."""
    found = reading("size", {"value": "2.4995"}, limits=(None, "2.4995"))
    assert float(probability_of(found, Judged("2.4995", "pass", uncertainty="0.0002"))) == 0.5
    assert probability_of(found, Judged("go", "pass")) == ""


def test_what_nobody_can_work_out_is_a_sentence_not_a_crash() -> None:
    found = reading("size", {"nothing": "1"})
    with pytest.raises(ValueError, match="value"):
        judged_again(found)
