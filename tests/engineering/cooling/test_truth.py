"""The shell model that the forecast is tested against, itself against closed forms and textbook examples."""

from __future__ import annotations

import numpy as np
import pytest

from tests.published import Source, published

from .air import KELVIN, STEFAN_BOLTZMANN, Array, nusselt_of_a_horizontal_cylinder
from .shell import (
    AROUND,
    DENSITY,
    Shell,
    Surroundings,
    arc_at,
    growing,
    steel_conductivity,
    steel_heat_capacity,
)

INCROPERA = Source("Incropera and DeWitt, worked examples, public companion notebooks", "public copy", "")
FROM_TEXT = Source("Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, printed text", "", "")

CHURCHILL = Source("S. W. Churchill and H. H. S. Chu, Int. J. Heat Mass Transfer 18", "1975", "formula")

HEAT_CAPACITY, CONDUCTIVITY = 500.0, 42.0
DIFFUSIVITY = CONDUCTIVITY / (DENSITY * HEAT_CAPACITY)
DIAMETER, WALL = 0.1, 0.0125


def constant(value: float):
    return lambda t: np.full_like(t, value)


def bar(
    h: float = 0.0,
    left_wall: float = WALL,
    first: float = 0.005,
    cells: int = 40,
    air: float = 0.0,
    **more: object,
) -> Shell:
    """One joint of constant properties, far longer than heat gets."""
    lengths = growing(first, 1.08, cells)
    options = {"capacity": constant(HEAT_CAPACITY), "conductivity": constant(CONDUCTIVITY), "dt": 0.25} | more
    return Shell(
        lengths,
        lengths,
        np.array([cells]),
        np.array([cells]),
        np.array([left_wall]),
        np.array([WALL]),
        np.array([DIAMETER]),
        Surroundings(air=air, walls=air, fixed_h=h),
        **options,  # type: ignore[arg-type]
    )


def laid_down(shell: Shell, joules: float) -> None:
    """Heat all round the weld at once."""
    shell.start(np.array([0.0]))
    for cell in (-1, 0):
        at = shell.middle + cell
        shell.temperature[:, at] += joules / 2 / AROUND / (shell.mass[:, at] * HEAT_CAPACITY)


def cooled(shell: Shell, minutes: float) -> float:
    for _ in range(round(minutes * 60 / shell.dt)):
        shell.step()
    return float(shell.on_the_weld(np.array([0]))[0])


def plane_source(joules: float, areas: float, seconds: float) -> float:
    """q / (2 ρ c √(π α t)) per area of one of two equal sides; with unequal ones, by the mean of both."""
    return joules / (areas * DENSITY * HEAT_CAPACITY * np.sqrt(np.pi * DIFFUSIVITY * seconds))


RING = np.pi * (DIAMETER - WALL)


@pytest.mark.parametrize("minutes", [1, 2, 4, 8])
def test_a_plane_source_spreads_along_an_infinite_bar(minutes: int) -> None:
    shell = bar()
    laid_down(shell, 1e5)
    exact = plane_source(1e5, 2 * RING * WALL, minutes * 60)
    assert cooled(shell, minutes) == pytest.approx(exact, rel=0.006)


@pytest.mark.parametrize("minutes", [2, 8, 15])
def test_a_bar_that_loses_heat_falls_off_exponentially_besides(minutes: int) -> None:
    shell = bar(h=20.0)
    laid_down(shell, 1e5)
    decay = 20.0 * DIAMETER / (DIAMETER - WALL) / (DENSITY * HEAT_CAPACITY * WALL)
    exact = plane_source(1e5, 2 * RING * WALL, minutes * 60) * np.exp(-decay * minutes * 60)
    assert cooled(shell, minutes) == pytest.approx(exact, rel=0.006)


@pytest.mark.parametrize("thicker", [1.15, 2.0])
def test_two_thicknesses_share_the_heat_by_their_sections(thicker: float) -> None:
    shell = bar(left_wall=thicker * WALL)
    laid_down(shell, 1e5)
    exact = plane_source(1e5, RING * WALL * (1 + thicker), 240)
    assert cooled(shell, 4) == pytest.approx(exact, rel=0.008)


def test_a_finer_grid_comes_closer() -> None:
    exact = plane_source(1e5, 2 * RING * WALL, 120)
    errors = []
    for first, cells, dt in ((0.01, 30, 0.5), (0.005, 44, 0.25), (0.0025, 60, 0.1)):
        shell = bar(first=first, cells=cells, dt=dt)
        laid_down(shell, 1e5)
        errors.append(abs(cooled(shell, 2) / exact - 1))
    assert errors[2] < errors[1] < errors[0] and errors[2] < 0.002


@pytest.mark.parametrize("minutes", [1, 2, 4])
def test_an_arc_that_goes_round_against_point_sources_and_their_images(minutes: int) -> None:
    """The shell unrolled: a plate, infinite along the axis, that repeats itself round.

    One moment's heat in a plate of thickness d: Q / (4 π λ d t) exp(-r²/(4 α t)); summed over the arc's way
    and over the images (Carslaw and Jaeger, 10.2 and 14.2; from memory).
    """
    watts, arc = 1400.0, 225.0
    shell = bar(every=10)
    shell.start(np.array([0.0]))
    steps = round(arc / shell.dt)
    for step in range(steps):
        shell.step(arc_at(np.array([(step + 0.5) / steps]), np.array([0]), np.array([watts])))
    times = (np.arange(20_000) + 0.5) * arc / 20_000
    ago = arc - times + minutes * 60
    exact = 0.0
    for image in range(-4, 5):
        away = RING * (times / arc + image)
        # The weld's heat lies over some width: four cells, by their shares, seen from the two in the middle.
        for middle, share in ((-0.0075, 0.15), (-0.0025, 0.35), (0.0025, 0.35), (0.0075, 0.15)):
            for seen_from in (-0.0025, 0.0025):
                squared = away**2 + (middle - seen_from) ** 2
                point = (
                    watts
                    / (4 * np.pi * CONDUCTIVITY * WALL * ago)
                    * np.exp(-squared / (4 * DIFFUSIVITY * ago))
                )
                exact += share / 2 * float(point.sum()) * arc / 20_000
    assert cooled(shell, minutes) == pytest.approx(exact, rel=0.012)


def test_heat_is_neither_made_nor_lost() -> None:
    shell = bar(h=15.0, air=20.0)
    shell.start(np.array([20.0]))
    before = float(shell.stored(20.0)[0])
    for step in range(400):
        shell.step(arc_at(np.array([step / 400]), np.array([3]), np.array([1400.0])))
    cooled(shell, 5)
    put_in = 400 * shell.dt * 1400.0
    assert float(shell.stored(20.0)[0]) - before + float(shell.lost[0]) == pytest.approx(put_in, rel=1e-10)


def test_nor_where_the_heat_capacity_changes_with_temperature() -> None:
    """Stored heat by the integral of c, a thousandth off at most."""
    shell = bar(h=15.0, air=20.0, capacity=steel_heat_capacity, conductivity=steel_conductivity)
    shell.start(np.array([20.0]))
    for step in range(400):
        shell.step(arc_at(np.array([step / 400]), np.array([3]), np.array([1400.0])))
    cooled(shell, 5)
    t = np.linspace(20, 900, 8801)
    capacity = steel_heat_capacity(t)
    held = np.concatenate([[0], np.cumsum((capacity[1:] + capacity[:-1]) / 2 * 0.1)])
    stored = float((shell.mass * np.interp(shell.temperature, t, held)).sum())
    assert stored + float(shell.lost[0]) == pytest.approx(400 * shell.dt * 1400.0, rel=2e-3)


def lumped(surroundings: Surroundings, diameter: float) -> Shell:
    """A body without gradients, with the V/A of a sphere, d/6: the shell as its wall, lost outside only."""
    wall = np.array([diameter / 6])
    lengths = growing(0.005, 1.0, 5)
    # A tube so wide that its mean and its outer circumference are the same.
    return Shell(
        lengths,
        lengths,
        np.array([5]),
        np.array([5]),
        wall,
        wall,
        np.array([1e6]),
        surroundings,
        capacity=constant(400.0 * 8500 / DENSITY),
        conductivity=constant(20.0),
        dt=1e-3,
        every=1,
    )


def until(shell: Shell, celsius: float) -> float:
    """Seconds until the body is that hot."""
    for step in range(1, 20_000):
        before = float(shell.temperature[0, 0, 0])
        shell.step()
        now = float(shell.temperature[0, 0, 0])
        if now >= celsius:
            return (step - (now - celsius) / (now - before)) * shell.dt
    raise AssertionError("it never gets so hot")


def test_a_thermocouple_in_a_gas_stream() -> None:
    """Examples 5.1 and 5.2: the lumped limit of the shell, with convection, then with radiation too."""
    diameter = 6 * 400 * 1.0 / (8500 * 400)
    published(
        INCROPERA.at("5.1, diameter for a time constant of 1 s, m"), diameter, "7.06e-4", tolerance="5e-7"
    )
    shell = lumped(Surroundings(air=200.0, walls=200.0, fixed_h=400.0), diameter)
    shell.start(np.array([25.0]))
    published(INCROPERA.at("5.1, seconds to 199 °C"), until(shell, 199), "5.2", tolerance="0.05")

    glowing = lumped(Surroundings(air=200.0, walls=400.0, emissivity=0.9, fixed_h=400.0), diameter)
    glowing.start(np.array([25.0]))
    near = until(glowing, 217.7)
    published(INCROPERA.at("5.2, seconds to within 1 °C of the steady state"), near, "4.9", tolerance="0.1")
    for _ in range(15_000):
        glowing.step()
    steady = float(glowing.temperature[0, 0, 0])
    published(INCROPERA.at("5.2, steady temperature, °C"), steady, "218.7")
    lost = 400 * (steady - 200)
    gained = 0.9 * STEFAN_BOLTZMANN * ((400 + KELVIN) ** 4 - (steady + KELVIN) ** 4)
    assert lost == pytest.approx(gained, rel=1e-6)


def test_a_body_that_only_radiates_cools_by_the_closed_form() -> None:
    """t = ρ c V / (4 ε A σ Tw³) {ln |(Tw + T)/(Tw - T)| + 2 atan(T/Tw)}, between two temperatures."""
    diameter, emissivity, walls = 0.01, 0.8, 293.15
    shell = lumped(Surroundings(air=0.0, walls=20.0, emissivity=emissivity, fixed_h=0.0), diameter)
    shell.dt = 0.05
    shell.start(np.array([400.0]))
    seconds = 0.0
    while float(shell.temperature[0, 0, 0]) > 150:
        shell.step()
        seconds += shell.dt
    now = float(shell.temperature[0, 0, 0]) + KELVIN

    def part(kelvin: float) -> float:
        return float(np.log((walls + kelvin) / abs(walls - kelvin)) + 2 * np.arctan(kelvin / walls))

    factor = 8500 * 400 * diameter / 6 / (4 * emissivity * STEFAN_BOLTZMANN * walls**3)
    assert seconds == pytest.approx(factor * (part(now) - part(400 + KELVIN)), rel=1e-3)


def test_a_hot_pipe_in_a_room() -> None:
    """Example 9.4: 0.1 m pipe at 165 °C in air of 23 °C, emissivity 0.85, with the example's properties."""
    rayleigh = 9.8 * 2.725e-3 * (165 - 23) * 0.1**3 / (22.8e-6 * 32.8e-6)
    published(INCROPERA.at("9.4, Rayleigh number"), rayleigh, "5.073e6", tolerance="0.01e6")
    nusselt = float(nusselt_of_a_horizontal_cylinder(rayleigh, 0.697))
    published(FROM_TEXT.at("9.4, Nusselt number"), nusselt, "23.3", kind="memory", tolerance="0.3")
    published(
        CHURCHILL.at("Ra 2.63e9, Pr 0.69"),
        float(nusselt_of_a_horizontal_cylinder(2.63e9, 0.69)),
        "156.495",
        kind="derived",
    )
    free = nusselt * 0.0313 / 0.1 * np.pi * 0.1 * (165 - 23)
    shell = lumped(Surroundings(air=23.0, walls=23.0, emissivity=0.85, fixed_h=0.0), 0.1)
    film, towards = shell.surroundings.loss(np.array([[[0.1]]]), np.array([[[165.0]]]))
    glow = float((film * (165 - towards))[0, 0, 0]) * np.pi * 0.1
    published(INCROPERA.at("9.4, loss of one metre, W"), free + glow, "763", tolerance="1")
    published(FROM_TEXT.at("9.4, loss of one metre, W"), free + glow, "766", kind="memory", tolerance="4")


def test_properties_of_air_are_near_those_of_the_example() -> None:
    """Power laws through two rows of a table: the whole of the pipe's free convection, within 3 %."""
    own = Surroundings(air=23.0, walls=23.0)
    film, _ = own.loss(np.array([[[0.1]]]), np.array([[[165.0]]]))
    published(
        FROM_TEXT.at("9.4, h of free convection"),
        float(film[0, 0, 0]),
        "7.29",
        kind="memory",
        tolerance="0.2",
    )


def test_the_hot_spot_is_why_one_dimension_is_not_enough() -> None:
    """At the stop point the weld is hotter than its mean all round; that is gone after some minutes."""
    shell = bar(h=15.0, air=20.0)
    shell.start(np.array([150.0]))
    for step in range(900):
        shell.step(arc_at(np.array([step / 900]), np.array([0]), np.array([1400.0])))
    above = []
    for minutes in (1, 3, 8):
        while shell._steps * shell.dt < 225 + minutes * 60:
            shell.step()
        ring: Array = (shell.temperature[0, shell.middle - 1] + shell.temperature[0, shell.middle]) / 2
        above.append(float(ring[0] - ring.mean()))
    assert above[0] > 10 > above[1] > 0.5 > above[2] > -0.5
