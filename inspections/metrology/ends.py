"""Where the ends of a housing point: camber, toe and bow of each, and how far to bring it back."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from inspections.metrology.bar import Bar
from inspections.metrology.numbers import FloatArray, Number
from inspections.metrology.readings import reading, readings, same_length


@dataclass(frozen=True)
class Rolled:
    """The same stations read again with the housing rolled 180° about A-B, in the directions of the room.

    x, y : list of n Number.
    """

    x: Iterable[Number]
    y: Iterable[Number]


@dataclass(frozen=True)
class EndPointing:
    """One end of the housing.

    Attributes
    ----------
    camber : float
        Degrees; negative leans the top of the wheel inward, as an end that points up does.
    toe : float
        Degrees; positive turns the front of the wheel inward (toe-in), as an end that points forward does.
    bow : float or None
        Greatest distance of a station from the end's own straight line; None with fewer than three stations.
    bow_station : float or None
        Where that is.
    move_up, move_forward : float
        How far the outermost station must go, about the innermost one held still, for the wanted camber and
        toe; negative is down, backward.
    reach : float
        From the innermost to the outermost station: the length those moves are taken over.
    """

    camber: float
    toe: float
    bow: float | None
    bow_station: float | None
    move_up: float
    move_forward: float
    reach: float


@dataclass(frozen=True)
class EndAlignment:
    """Both ends, each None if it was not measured.

    Attributes
    ----------
    left, right : EndPointing or None
    sag : tuple of float or None
        What was taken out of y at each station: the bar's height from its weight, or what the roll showed to
        stay with the room; None if nothing was taken out.
    """

    left: EndPointing | None
    right: EndPointing | None
    sag: tuple[float, ...] | None


def end_alignment(
    z: Iterable[Number],
    x: Iterable[Number],
    y: Iterable[Number],
    bar: Bar | Rolled | None = None,
    attitude: Number = 0,
    camber: Number = 0,
    toe: Number = 0,
) -> EndAlignment:
    """Camber, toe and bow of each end from offsets along it.

    Frame, as seen from behind, the second datum fixing what is up and forward::

            y up
             |    x forward (away from you)
             |   /
             |  /
        -----+--------------------- z
        left | center         right          left end: z < 0, right end: z > 0

    On each end, with r = |z|, least-squares lines y = y0 + r tan(v) and x = x0 + r tan(h):
    camber = -v (an end that points up leans the wheel's top in), toe = h (an end that points forward turns
    the wheel's front in). Moves: reach · (tan wanted - tan found).

    Parameters
    ----------
    z : list of n Number
        Stations along A-B from the center, ascending; z = 0 counts for both ends. Two on an end at least.
    x, y : list of n Number
        Forward and upward offset of the housing's bore or journal centre from the bar, same unit as z.
    bar : Bar or Rolled, optional
        A `Bar` adds its own sag to y, for it hangs down and everything seems high. `Rolled` takes the half
        difference of the two readings: what turns with the housing is the housing, the rest is bar and room.
    attitude : Number
        Degrees from the frame of x and y to the second datum, about A-B, from up towards forward.
    camber, toe : Number
        Degrees wanted at each end.

    Raises
    ------
    ValueError
        Lists of different length, stations doubled or out of order, a single station on an end, no station
        off the center, stations off the bar, wanted angles of 45° and more.

    References
    ----------
    ISO 8855:2011, 7 (camber and toe angles); `Bar.sag`; the 180° roll: reversal, Evans, Hocken and Estler,
    CIRP Annals 45 (1996) 617.

    Examples
    --------
    >>> found = end_alignment([-30, -10, 10, 30], [0, 0, 0, 0], ["0.1", 0, 0, "0.1"])
    >>> round(found.right.camber, 3), round(found.left.camber, 3), round(found.right.move_up, 9)
    (-0.286, -0.286, -0.1)
    """
    stations = readings(z, "station", at_least=2)
    forward = readings(x, "forward offset")
    up = readings(y, "upward offset")
    same_length("alignment", stations=len(stations), forward_offsets=len(forward), upward_offsets=len(up))
    if np.diff(stations).min() <= 0:
        raise ValueError("station: stations must ascend from left to right, each once.")
    wanted = _slopes_wanted(camber, toe)
    sag = None
    match bar:
        case Bar():
            fall = bar.sag(stations)
            up, sag = up + fall, tuple(map(float, fall))
        case Rolled():
            forward, _ = _unrolled(forward, bar.x, "forward offset after the roll")
            up, stays = _unrolled(up, bar.y, "upward offset after the roll")
            sag = tuple(map(float, stays))
    forward, up = _turned(forward, up, attitude)
    ends = [_end(side, stations, forward, up, wanted) for side in (-1.0, 1.0)]
    if ends == [None, None]:
        raise ValueError("station: an end needs two stations at least, one of them off the center.")
    return EndAlignment(ends[0], ends[1], sag)


def _slopes_wanted(camber: Number, toe: Number) -> tuple[float, float]:
    lean, turn = reading(camber, "wanted camber"), reading(toe, "wanted toe")
    if max(abs(lean), abs(turn)) >= 45:
        raise ValueError("wanted camber and toe: give degrees below 45; a housing's are a fraction of one.")
    return -math.tan(math.radians(lean)), math.tan(math.radians(turn))


def _unrolled(first: FloatArray, second: Iterable[Number], what: str) -> tuple[FloatArray, FloatArray]:
    """The housing's own offset, which turns with it, and the rest, which stays."""
    again = readings(second, what)
    same_length("alignment", stations=len(first), offsets_after_the_roll=len(again))
    return (first - again) / 2, (first + again) / 2


def _turned(forward: FloatArray, up: FloatArray, attitude: Number) -> tuple[FloatArray, FloatArray]:
    """Offsets in the frame of the second datum."""
    angle = math.radians(reading(attitude, "attitude"))
    c, s = math.cos(angle), math.sin(angle)
    return c * forward - s * up, s * forward + c * up


def _end(
    side: float, stations: FloatArray, forward: FloatArray, up: FloatArray, wanted: tuple[float, float]
) -> EndPointing | None:
    reach = side * stations
    here = reach >= 0
    if not (reach > 0).any():
        return None
    r, ahead, high = reach[here], forward[here], up[here]
    if len(r) < 2:
        raise ValueError(
            "station: one end has a single station; measure two at least to see where it points."
        )
    rise, rest_up = _line(r, high)
    sweep, rest_ahead = _line(r, ahead)
    bend = np.hypot(rest_up, rest_ahead)
    worst = int(bend.argmax())
    bowed = len(r) > 2
    length = float(np.ptp(r))
    return EndPointing(
        -math.degrees(math.atan(rise)) + 0.0,
        math.degrees(math.atan(sweep)) + 0.0,
        float(bend[worst]) if bowed else None,
        side * float(r[worst]) if bowed else None,
        length * (wanted[0] - rise) + 0.0,
        length * (wanted[1] - sweep) + 0.0,
        length,
    )


def _line(r: FloatArray, offset: FloatArray) -> tuple[float, FloatArray]:
    """Slope of the least-squares line, and what the stations are off it."""
    x = r - r.mean()
    slope = float(x @ offset) / float(x @ x)
    return slope, offset - offset.mean() - slope * x
