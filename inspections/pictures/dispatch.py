"""Which picture goes with a reading of which kind."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Protocol

from inspections.metrology import (
    Axis,
    axis_from_journals,
    circular_runout,
    face_to_axis,
    fit_pattern,
    flatness,
    pilot_to_axis,
)
from inspections.pictures.against_axis import face_against_axis, pilot_picture
from inspections.pictures.drawing import Picture
from inspections.pictures.ends import ends_picture
from inspections.pictures.face import face_picture
from inspections.pictures.figures import ANGLE_PLACES, factor_of, places_of, shown
from inspections.pictures.pattern import Hole, Move, pattern_picture
from inspections.pictures.pressure import pressure_picture
from inspections.pictures.runout import runout_picture
from inspections.pictures.shaft import shaft_picture

Raw = Mapping[str, Any]
Limit = str | None
STANDARD_AIR = {"psi": "14.696", "kPa": "101.325"}
# Above absolute zero, by the unit of the thermometer.
ZERO = {"F": 459.67, "C": 273.15}


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
        quantity = str(self.parameters.get("quantity", ""))
        self.places = places_of(characteristic.kind, quantity, raw, self.unit)
        self.value = shown(value, self.places, lower, upper) if value else None

    def plain(self, values: Sequence[Any]) -> list[float]:
        """Typed figures that are no lengths."""
        figures = [float(value) for value in values]
        if not all(map(math.isfinite, figures)):
            raise ValueError("A figure is finite.")
        return figures

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
        found = circular_runout(readings, reading.raw.get("angles"))
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
        angles=reading.plain(reading.raw.get("angles") or []),
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
        move = _move(reading.detail) or _best_move(centers, made)
        left = [_left(move, center, place) for center, place in zip(centers, made, strict=True)]
    holes = [
        Hole((u, v), off, fits, rest)
        for (u, v), off, fits, rest in zip(centers, offs, inside, left, strict=True)
    ]
    return pattern_picture(
        holes, zone, unit=reading.unit, places=reading.places, value=reading.value, move=move
    )


def _move(detail: Raw) -> Move | None:
    """The best move as the engine found it."""
    if "rotation" not in detail:
        return None
    x, y = map(float, detail["shift"])
    return Move(float(detail["rotation"]), (x, y), float(detail["left_over"]))


def _best_move(centers: list[list[float]], made: list[list[float]]) -> Move:
    fit = fit_pattern(centers, made)
    return Move(fit.rotation, fit.shift, 2 * fit.worst)


def _left(move: Move, center: list[float], made: list[float]) -> tuple[float, float]:
    """What is left of one hole once the whole pattern is moved."""
    c, s = math.cos(math.radians(move.turn)), math.sin(math.radians(move.turn))
    x, y = c * center[0] - s * center[1] + move.shift[0], s * center[0] + c * center[1] + move.shift[1]
    return (made[0] - x, made[1] - y)


def _against_axis(reading: _Reading) -> Picture | None:
    quantity = reading.parameters.get("quantity", "distance")
    if quantity not in {"distance", "parallelism"}:
        return None
    axis = _axis(reading)
    face = reading.lengths(reading.raw["face"])
    return face_against_axis(
        face,
        axis,
        unit=reading.unit,
        places=reading.places,
        found=reading.value or "",
        lower=None if reading.lower is None else float(reading.lower),
        upper=None if reading.upper is None else float(reading.upper),
        is_distance=quantity == "distance",
    )


def _pilot(reading: _Reading) -> Picture:
    bore, face = (reading.lengths(reading.raw.get(name) or []) for name in ("bore", "face"))
    axis = _axis(reading)
    normal = face_to_axis(face, axis).normal if face else None
    found = pilot_to_axis(bore, axis, normal)
    return pilot_picture(
        found.offset, unit=reading.unit, places=reading.places, value=reading.value, upper=reading.upper
    )


def _axis(reading: _Reading) -> Axis:
    """A-B from the points of both journals, or from one center each."""
    left, right = (reading.lengths(reading.raw[side]) for side in ("left", "right"))
    return (
        Axis.through(left[0], right[0]) if len(left) == len(right) == 1 else axis_from_journals(left, right)
    )


def _ends(reading: _Reading) -> Picture:
    angle, _between, side = str(reading.parameters["quantity"]).partition("_")
    if angle not in {"camber", "toe"}:
        raise ValueError("An end has camber and toe.")
    name = "y" if angle == "camber" else "x"
    offsets = reading.lengths(reading.raw[name])
    rolled = reading.raw.get(f"rolled_{name}")
    sag = reading.detail.get("sag")
    if rolled:
        again = reading.lengths(rolled)
        offsets = [(once - more) / 2 for once, more in zip(offsets, again, strict=True)]
    elif name == "y" and sag:
        offsets = [offset + float(fall) for offset, fall in zip(offsets, sag, strict=True)]
    return ends_picture(
        reading.lengths(reading.raw["z"]),
        offsets,
        "camber" if angle == "camber" else "toe",
        asked=side,
        found=_degrees(reading, angle),
        lower=None if reading.lower is None else float(reading.lower),
        upper=None if reading.upper is None else float(reading.upper),
    )


def _degrees(reading: _Reading, angle: str) -> dict[str, str]:
    """Camber or toe of each end as the engine found it, where it said so."""
    ends = reading.detail.get("ends") or {}
    return {side: shown(one[angle], ANGLE_PLACES, reading.lower, reading.upper) for side, one in ends.items()}


def _shaft(reading: _Reading) -> Picture:
    raw = reading.raw
    return shaft_picture(
        reading.lengths(raw["z"]),
        list(zip(reading.lengths(raw["x"]), reading.lengths(raw["y"]), strict=True)),
        reading.lengths(raw["bore"]),
        float(reading.parameters["shaft_diameter"]),
        unit=reading.unit,
        places=reading.places,
        lower=reading.lower,
        value=reading.value,
    )


def _pressure(reading: _Reading) -> Picture:
    raw = reading.raw
    minutes, pressures = (reading.plain(raw[name]) for name in ("minutes", "pressures"))
    steady = pressures
    if warm := reading.plain(raw.get("temperatures") or []):
        air = float(raw.get("air_pressure") or STANDARD_AIR[str(raw.get("unit", reading.unit))])
        zero = ZERO[str(raw.get("temperature_unit", "F"))]
        steady = [
            (pressure + air) * (warm[0] + zero) / (now + zero) - air
            for pressure, now in zip(pressures, warm, strict=True)
        ]
    return pressure_picture(
        minutes,
        pressures,
        steady,
        unit=reading.unit,
        places=reading.places,
        over=float(reading.parameters.get("over_minutes", "5")),
        upper=reading.upper,
        value=reading.value,
    )


KINDS: Mapping[str, Callable[[_Reading], Picture | None]] = {
    "face_points": _face,
    "face_to_axis": _against_axis,
    "pilot_to_axis": _pilot,
    "runout": _runout,
    "hole_center": _hole,
    "hole_pattern": _pattern,
    "end_alignment": _ends,
    "shaft_clearance": _shaft,
    "pressure_loss": _pressure,
}
