"""How much an enlarged drawing enlarges: a bar with the length that it stands for."""

from __future__ import annotations

import math

from inspections.pictures.drawing import LINE, NOTE, Drawing, Place, polyline

LONGEST = 96.0


def units_for(room: float, length: float) -> float:
    """Units of the drawing for one of length, so that ``length`` takes ``room``; 1 for no length."""
    return room / length if length > 0 else 1.0


def round_below(length: float) -> float:
    """The greatest of 1, 2, 5, 10 … times a power of ten that is not above a length.

    >>> round_below(0.047), round_below(0.0999)
    (0.02, 0.05)
    """
    power = math.floor(math.log10(length))
    step = next(step for step in (5, 2, 1) if step * 10.0**power <= length * (1 + 1e-9) or step == 1)
    return float(f"{step * 10.0**power:.3g}")


def scale_bar(drawing: Drawing, at: Place, units: float, unit: str) -> None:
    """A bar from ``at`` to the right, as long as the figure on it; nothing where nothing is enlarged."""
    if not math.isfinite(units) or units <= 0:
        return
    length = round_below(LONGEST / units)
    x, y = at
    reach = length * units
    drawing.path(polyline([(x, y - 7), (x, y), (x + reach, y), (x + reach, y - 7)]), LINE)
    drawing.text((x, y - 14), f"{length:.9f}".rstrip("0").rstrip(".") + f" {unit}", NOTE, room=150)
