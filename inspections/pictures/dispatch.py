"""Which picture goes with a reading of which kind."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Protocol

from inspections.metrology import circular_runout, fit_pattern, flatness
from inspections.pictures.drawing import Picture
from inspections.pictures.face import face_picture
from inspections.pictures.figures import factor_of, places_of, shown
from inspections.pictures.pattern import Hole, Move, pattern_picture
from inspections.pictures.runout import runout_picture

Raw = Mapping[str, Any]
Limit = str | None


class Drawn(Protocol):
    """What is drawn of a characteristic: a row of the plan, or the facts of a certificate."""

    @property
    def kind(self) -> str: ...

    @property
    def unit(self) -> str: ...

    @property
    def part(self) -> str: ...

    @property
    def parameters(self) -> Mapping[str, Any]: ...


def picture_of(
    characteristic: Drawn, raw: Raw, detail: Raw, lower: Limit, upper: Limit, value: str | None = None
) -> Picture | None:
    """The picture of one reading.

    Parameters
    ----------
    characteristic : its kind, unit, part and parameters
    raw : the reading as it was typed, numbers as text
    detail : what the engine said besides; may be empty, while somebody is still typing
    lower, upper : what the value may be, as text
    value : as the engine gave it, where it is known

    Returns
    -------
    Picture or None
        None for a kind that has no picture, and for a reading that is not complete enough for one.
    """
    draw = KINDS.get(characteristic.kind)
    if draw is None:
        return None
    try:
        return draw(_Reading(characteristic, raw, detail, lower, upper, value))
    except (ArithmeticError, LookupError, TypeError, ValueError):
        # Half a reading, as a preview has it, is no picture yet; a whole one was judged before.
        return None


class _Reading:
    """One reading as a picture needs it: lengths in the unit of the characteristic, as floats."""

    def __init__(
        self, characteristic: Drawn, raw: Raw, detail: Raw, lower: Limit, upper: Limit, value: str | None
    ) -> None:
        self.unit, self.part, self.parameters = (
            characteristic.unit,
            characteristic.part,
            characteristic.parameters,
        )
        self.raw, self.detail, self.lower, self.upper = raw, detail, lower, upper
        self.factor = factor_of(raw, self.unit)
        self.places = places_of(raw, self.unit)
        self.value = shown(value, self.places, lower, upper) if value else None

    def lengths(self, values: Any) -> Any:
        """Typed lengths, however deep their list, in the unit of the characteristic."""
        if isinstance(values, list | tuple):
            return [self.lengths(value) for value in values]
        length = float(values) * self.factor
        if not math.isfinite(length):
            raise ValueError("A length is finite.")
        return length


def _face(reading: _Reading) -> Picture:
    points = reading.lengths(reading.raw["points"] if "points" in reading.raw else reading.raw["face"])
    touching, normal = reading.detail.get("touching"), reading.detail.get("normal")
    if touching is None or normal is None:
        found = flatness(points)
        touching, normal = found.touching, found.normal
    return face_picture(
        points,
        [int(row) for row in touching],
        [float(part) for part in normal],
        unit=reading.unit,
        places=reading.places,
        upper=reading.upper,
        value=reading.value,
    )


def _runout(reading: _Reading) -> Picture:
    readings = reading.lengths(reading.raw["readings"])
    detail = reading.detail
    if "eccentricity" in detail:
        offset, angle = detail["eccentricity"], detail.get("high_angle")
    else:
        found = circular_runout(readings)
        offset, angle = found.eccentricity, found.high_angle
    fails = reading.upper is not None and max(readings) - min(readings) > float(reading.upper)
    return runout_picture(
        readings,
        unit=reading.unit,
        places=reading.places,
        upper=reading.upper,
        value=reading.value,
        eccentricity=None if offset is None else float(offset),
        high_angle=None if angle is None else float(angle),
        advise=fails and reading.part == "tubes",
    )


def _hole(reading: _Reading) -> Picture:
    place = reading.lengths([reading.raw["x"], reading.raw["y"]])
    center = [float(reading.parameters[f"nominal_{axis}"]) for axis in ("x", "y")]
    return _holes(reading, [center], [place])


def _pattern(reading: _Reading) -> Picture:
    centers = [[float(part) for part in center] for center in reading.parameters["centers"]]
    return _holes(reading, centers, reading.lengths(reading.raw["holes"]))


def _holes(reading: _Reading, centers: list[list[float]], made: list[list[float]]) -> Picture:
    zone = None if reading.upper is None else float(reading.upper)
    judged = reading.detail.get("holes") or []
    offs = [(x - u, y - v) for (x, y), (u, v) in zip(made, centers, strict=True)]
    inside = [zone is None or 2 * math.hypot(*off) <= zone for off in offs]
    if len(judged) == len(offs):
        inside = [bool(hole["inside"]) for hole in judged]
    move: Move | None = None
    left: Sequence[tuple[float, float] | None] = [None] * len(offs)
    if len(offs) > 2 and not all(inside):
        fit = fit_pattern(centers, made)
        move, left = Move(fit.rotation, fit.shift, 2 * fit.worst), fit.rest
    holes = [
        Hole((u, v), off, fits, rest)
        for (u, v), off, fits, rest in zip(centers, offs, inside, left, strict=True)
    ]
    return pattern_picture(
        holes, zone, unit=reading.unit, places=reading.places, value=reading.value, move=move
    )


KINDS: Mapping[str, Callable[[_Reading], Picture | None]] = {
    "face_points": _face,
    "runout": _runout,
    "hole_center": _hole,
    "hole_pattern": _pattern,
}
