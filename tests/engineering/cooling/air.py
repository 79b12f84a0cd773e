"""Heat that a horizontal tube loses to still air: free convection and radiation, by the textbooks."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

STEFAN_BOLTZMANN = 5.670374e-8
KELVIN = 273.15


def nusselt_of_a_horizontal_cylinder(rayleigh: Array | float, prandtl: Array | float) -> Array:
    """Churchill and Chu: {0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27)}², Ra <= 1e12."""
    through = (1 + (0.559 / np.asarray(prandtl)) ** (9 / 16)) ** (8 / 27)
    result: Array = (0.60 + 0.387 * np.asarray(rayleigh) ** (1 / 6) / through) ** 2
    return result


def free_convection(diameter: Array, surface_c: Array, air_c: Array) -> Array:
    """h of a horizontal tube, W/m² K. Diameter in m.

    Properties of air at the film temperature: power laws through the usual table between 300 and 500 K
    (k 0.0263 and 0.0407 W/m K, ν 15.89e-6 and 38.79e-6 m²/s, α 22.5e-6 and 56.7e-6 m²/s; from memory).
    """
    film = (surface_c + air_c) / 2 + KELVIN
    ratio = film / 300
    conductivity = 0.0263 * ratio**0.855
    viscosity, diffusivity = 15.89e-6 * ratio**1.747, 22.5e-6 * ratio**1.809
    rise = np.maximum(surface_c - air_c, 0.01)
    rayleigh = 9.81 * rise * diameter**3 / (film * viscosity * diffusivity)
    result: Array = (
        nusselt_of_a_horizontal_cylinder(rayleigh, viscosity / diffusivity) * conductivity / diameter
    )
    return result


def radiation(emissivity: Array, surface_c: Array, walls_c: Array) -> Array:
    """h of a small grey body in large surroundings, W/m² K: ε σ (Ts² + Tw²)(Ts + Tw)."""
    surface, walls = surface_c + KELVIN, walls_c + KELVIN
    result: Array = emissivity * STEFAN_BOLTZMANN * (surface**2 + walls**2) * (surface + walls)
    return result
