"""Temperature, leaks, pressure and sagging bars against published values, each with its source."""

import math
from fractions import Fraction

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from inspections.metrology import (
    Bar,
    at_reference_temperature,
    end_alignment,
    leak_rate,
    standard_flow,
    stored_energy,
    thrust,
)
from tests.published import Source, published

NPL = Source(
    "National Physical Laboratory, FAQ Length", "25 March 2010", "How do I correct lengths to 20 °C?"
)
GUM = Source("JCGM 100 (GUM)", "2008", "H.1.3.5, contribution of the temperature difference")
SHOP = Source("common practice, no source", "", "figures of the trade")
CFR = Source("40 CFR 1065.644", "2024", "example")
SP_811 = Source("NIST SP 811", "2008", "table B.8")
PCC_2 = Source("ASME PCC-2", "2008", "article 5.1, appendix II (formula)")
AIR_TANK = Source("Potential energy of compressed air, public article", "2026", "worked example 3")
MATH_FORUM = Source(
    "Work of an adiabatic expansion, public mathematics forum", "thread 75474", "worked example"
)
TEST_PLUGS = Source(
    "How to block plugs, safety instruction of a maker", "public copy", "36-inch pipe at 5 psi"
)
INSTRUMENTS = Source(
    "Lessons in industrial instrumentation, public copy", "footnote 33", "lid of a tank of 20 ft diameter"
)
TANK = Source(
    "End plates of a fuel tank, public engineering notes", "November 2018", "5 in diameter at 600 psi"
)
AIRY = Source("Airy points, The engineer's notebook", "2013", "equation 1")
BESSEL = Source("Encyclopaedia article on Airy points, public copy", "", "Bessel points")
METRE = Source("Encyclopaedia article on Airy points, public copy", "", "supports of the prototype metre")
ROARK = Source("Roark's Formulas for Stress and Strain", "7th edition", "table 8.1, case 2e")

ATMOSPHERE, PSI = 101_325, Fraction("6894.757293168")


def test_steel_rod_measured_warm() -> None:
    rod = at_reference_temperature("500.035", "23.7", "11.7e-6")
    published(NPL, rod.length, "500.013")
    published(NPL.at("correction"), -rod.change, "0.0216", tolerance="0.0001")


def test_temperature_in_the_end_gauge_budget() -> None:
    """50 mm, 11.5e-6 per °C, u = 0.029 °C: 16.6 nm printed, 16.675 by the same formula."""
    gauge = at_reference_temperature("50.000623", 20, "11.5e-6", u_temperature="0.029")
    published(GUM, gauge.standard_uncertainty * 1e6, "16.6", tolerance="0.1")
    expansion = at_reference_temperature(50, "19.9", 0, u_expansion="0.58e-6")
    published(
        GUM.at("H.1.3.4, u(alpha) at 0.1 °C, nm"), expansion.standard_uncertainty * 1e6, "2.9", tolerance=0.01
    )


def test_housing_at_shop_temperature() -> None:
    """60 in of steel, 20 °F (100/9 °C) above the reference, 11.7e-6 per °C."""
    warm = at_reference_temperature(60, 20 + Fraction(100, 9), "11.7e-6")
    published(SHOP, -warm.change, "0.0078", kind="memory")


def test_vacuum_decay_example() -> None:
    """The regulation counts what leaks in, in mol/s: n = -Q / (R T). Data printed, 0.00030 from memory."""
    found = leak_rate([25_300, 50_600], ["293.15", "293.15"], [0, 70], "0.002")
    published(CFR, -found.rate / (8.314472 * 293.15), "0.00030", kind="memory")


def test_units_of_flow() -> None:
    published(
        SP_811.at("standard cm³/min at 0 °C"),
        standard_flow("0.00168875", "273.15"),
        1,
        tolerance=1e-12,
        kind="memory",
    )
    published(SP_811.at("1 Pa m³/s in atm cm³/s"), standard_flow(1, "273.15") / 60, "9.869233", kind="memory")


@pytest.mark.parametrize(
    ("second", "rate", "flow"), [("293.15", "0.0287282", "17.0115"), ("293.65", "0.0724059", "42.8754")]
)
def test_a_small_housing_loses_air(second: str, rate: str, flow: str) -> None:
    """5 L from 30.00 to 29.95 psi gauge in 60 s, evenly warm and with the gas half a degree warmer."""
    pressures = [ATMOSPHERE + PSI * 30, ATMOSPHERE + PSI * Fraction("29.95")]
    found = leak_rate(pressures, ["293.15", second], [0, 60], "0.005")
    published(CFR.at("formula, Pa m³/s"), found.rate, rate, kind="derived")
    published(CFR.at("formula, cm³/min"), standard_flow(found.rate, "273.15"), flow, kind="derived")
    assert found.standard_uncertainty is None and found.steady is None
    assert standard_flow(found, "273.15") == pytest.approx(
        standard_flow(found.rate, "273.15") * 273.15 / 293.15
    )


def test_leak_of_a_bare_housing() -> None:
    """0.1 psi in 5 minutes from 18 L: about 24 standard cm³/min."""
    start = ATMOSPHERE + 4 * PSI
    found = leak_rate([start, start - PSI / 10], [293, 293], [0, 300], "0.018")
    published(SHOP, standard_flow(found.rate, 293), "24", tolerance=1, kind="memory")


def test_energy_of_compressed_air() -> None:
    published(AIR_TANK, stored_energy(1_100_000, "0.3", 100_000) / 1000, "409")
    end = 600 * Fraction(1, 10) ** Fraction(7, 5)
    published(MATH_FORUM, stored_energy(600, "1.2", end), "1083.41", tolerance="0.01")
    cubic_metre = stored_energy(1_101_000, 1, 101_000)
    published(PCC_2.at("1 MPa, 1 m³, exact exponent"), cubic_metre, "1361559.713", kind="derived")
    published(PCC_2.at("exponent 0.286 printed"), cubic_metre, "1362508.747", tolerance=1000, kind="derived")
    small = stored_energy(30 * PSI + 101_000, "0.02", 101_000)
    published(PCC_2.at("30 psig, 0.02 m³"), small, "4197.473", kind="derived")


def test_force_on_covers() -> None:
    published(TEST_PLUGS, thrust(5, 36), "5087", tolerance=3)  # the maker takes pi as 3.14
    published(TANK, thrust(1, 5), "19.635")
    column = 8 * Fraction("249.0889") / PSI
    assert thrust(column, 240) > 13_000
    published(INSTRUMENTS, math.floor(thrust(column, 240) / 1000), 13)
    published(SHOP, thrust(5, 10), "390", tolerance=5, kind="memory")


def test_slope_at_the_ends_vanishes_on_airy_points() -> None:
    half = 500.0
    for ratio, flat in ((1 / math.sqrt(3), True), (0.55, False), (0.60, False)):
        bar = Bar(25, (-half * ratio, half * ratio), ends=(-half, half), unit="mm")
        slopes = bar.slope([-half, half])
        assert np.allclose(slopes, 0, atol=1e-15) == flat
    left = minimize_scalar(lambda r: _end_slope(r) ** 2, bounds=(0.5, 0.65), method="bounded").x
    published(AIRY, left, "0.577", tolerance="0.0005")


def test_the_bar_is_longest_on_bessel_points() -> None:
    """A bent bar is shorter, seen level, by half the integral of its squared slope."""

    def shortening(ratio: float) -> float:
        half = 500.0
        bar = Bar(25, (-half * ratio, half * ratio), ends=(-half, half), unit="mm")
        pieces = [(-half, -half * ratio), (-half * ratio, 0.0)]
        return (
            sum(quad(lambda z: float(bar.slope([z])[0]) ** 2, *piece, epsabs=0)[0] for piece in pieces) * 1e15
        )

    found = minimize_scalar(shortening, bounds=(0.5, 0.62), method="bounded", options={"xatol": 1e-6})
    published(BESSEL, found.x, "0.5594", tolerance="0.0001")
    published(METRE, 1020 * found.x, "571", tolerance="0.5")


def _end_slope(ratio: float) -> float:
    half = 500.0
    bar = Bar(25, (-half * ratio, half * ratio), ends=(-half, half), unit="mm")
    return float(bar.slope([half])[0]) * 1e6


def test_bar_on_supports_at_its_ends() -> None:
    """Sag 5 w L⁴ / (384 E I), end slope w L³ / (24 E I); 1.5 in solid steel on 60 in: 0.011 in, 0.035°."""
    bar = Bar("1.5", (-30, 30))
    weight = 9.80665 * 7850 * 0.0254 * 16 / (205e9 * 1.5**2)
    sag, slope = -float(bar.sag([0])[0]), -float(bar.slope([-30])[0])
    published(ROARK.at("centre"), sag, 5 / 384 * weight * 60**4, tolerance=1e-15, kind="memory")
    published(ROARK.at("end"), slope, weight * 60**3 / 24, tolerance=1e-15, kind="memory")
    published(SHOP, sag, "0.011", kind="memory")
    published(SHOP, math.degrees(slope), "0.035", tolerance=1e-3, kind="memory")


def test_a_drooping_end_has_positive_camber() -> None:
    """An end that points down leans the wheel's top out; a truss pulls about 0.33° of negative camber."""
    rise = 30 * math.tan(math.radians(0.33))
    found = end_alignment([-30, 0, 30], [0, 0, 0], [rise, 0, rise])
    assert found.left is not None and found.right is not None
    published(SHOP, [found.left.camber, found.right.camber], ["-0.33", "-0.33"], kind="memory")
