"""Faces to test with: every kind of form error a plate can have, lying anywhere."""

import numpy as np
from scipy.spatial.transform import Rotation

from inspections.metrology.numbers import FloatArray

KINDS = ("noise", "uniform", "wavy", "dish", "saddle", "outlier", "steps", "long", "thick")


def face(kind: str, n: int, random: np.random.Generator) -> FloatArray:
    """A face of about 300 mm by 200 mm, level, shape (n, 3)."""
    x, y = random.uniform(0, 300, n), random.uniform(0, 200, n)
    z = random.normal(0, 0.004, n)
    if kind == "uniform":
        z = random.uniform(0, 0.01, n)
    elif kind == "wavy":
        z = 0.02 * np.sin(x / 40) * np.cos(y / 30) + z / 10
    elif kind == "dish":
        z = 1e-6 * ((x - 150) ** 2 + (y - 100) ** 2)
    elif kind == "saddle":
        z = 1e-6 * (x - 150) * (y - 100) + z / 100
    elif kind == "outlier":
        z[random.integers(n)] += 0.5
    elif kind == "steps":
        x, y, z = np.round(x), np.round(y), np.round(z, 3)
    elif kind == "long":
        x, y = x * 10, y / 20
    elif kind == "thick":
        z = random.uniform(0, 60, n)
    return np.column_stack((x, y, z))


def lying(points: FloatArray, random: np.random.Generator, away: float = 1000.0) -> FloatArray:
    """The same points turned anyhow and moved up to `away` from the origin."""
    turned = Rotation.random(rng=random).apply(points)
    return np.asarray(turned + random.uniform(-away, away, 3))
