"""Waves per turn in readings around a section, by least squares at any angles."""

import numpy as np

from inspections.metrology.numbers import FloatArray

_WORST_CONDITION = 20.0
"""Beyond it a reading's doubt grows more than tenfold on its way into a wave."""


def widest_gap(angles: FloatArray) -> float:
    """Widest step from one angle to the next (degrees, ascending), across the end of the turn too."""
    return float(np.diff(angles, append=angles[0] + 360.0).max())


def resolved(angles: FloatArray, most: int) -> int:
    """How many waves per turn, up to `most`, the readings can tell apart.

    n waves have 2 n + 1 unknowns with the mean; no gap may hide half a wave, 180 / n degrees; and readings
    crowded in a few places count as one there, which the condition of the equations shows.
    """
    gap = widest_gap(angles) - 1e-9
    told = 0
    while told < most and len(angles) >= 2 * told + 3 and gap * (told + 1) <= 180.0:
        if np.linalg.cond(wave_table(angles, told + 1)) > _WORST_CONDITION:
            break
        told += 1
    return told


def wave_table(angles: FloatArray, most: int) -> FloatArray:
    """Columns 1, cos a, sin a, cos 2a, sin 2a, … up to `most` waves per turn; shape (n, 2 most + 1)."""
    turns = np.radians(angles)
    columns = [np.ones_like(turns)]
    for n in range(1, most + 1):
        columns += [np.cos(n * turns), np.sin(n * turns)]
    return np.column_stack(columns)


def waves(readings: FloatArray, angles: FloatArray, most: int) -> list[complex]:
    """Least-squares waves: entry n is c with c.real cos na + c.imag sin na; entry 0 is the mean."""
    found = np.linalg.lstsq(wave_table(angles, most), readings, rcond=None)[0]
    return [complex(found[0])] + [complex(found[2 * n - 1], found[2 * n]) for n in range(1, most + 1)]


def wave_at(wave: complex, n: int, angles: FloatArray) -> FloatArray:
    """Values of one wave at angles in degrees."""
    turns = n * np.radians(angles)
    return np.asarray(wave.real * np.cos(turns) + wave.imag * np.sin(turns))
