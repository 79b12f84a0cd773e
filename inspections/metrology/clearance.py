"""Room for the ordered shaft inside a housing end."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from inspections.metrology.largest_cylinder import largest_cylinder
from inspections.metrology.numbers import FloatArray, Number, Points, point_array
from inspections.metrology.proof import Proof
from inspections.metrology.readings import reading, readings, same_length

_MOST_STATIONS = 1_000


@dataclass(frozen=True)
class ShaftClearance:
    """Room all round a shaft, on one side of a housing.

    Attributes
    ----------
    least : float
        Least clearance from shaft to bore at any station, radially; negative where they would touch.
    where : float
        Station of it (the first of equals).
    clearances : tuple of float
        At each station, in order.
    largest : float
        Diameter of the largest straight cylinder that goes through all bores on an axis of its own; 0 if none
        does.
    tilt_error : float
        What the model may overstate a clearance by (see `shaft_clearance`), for either axis.
    proof : Proof
        Bounds of `largest`, and the stations that hold the cylinder.
    """

    least: float
    where: float
    clearances: tuple[float, ...]
    largest: float
    tilt_error: float
    proof: Proof


def shaft_clearance(
    z: Iterable[Number],
    offset_x: Iterable[Number],
    offset_y: Iterable[Number],
    bore: Number | Iterable[Number],
    diameters: Number | Iterable[Number],
    axis: Points | None = None,
) -> ShaftClearance:
    """Clearance of a shaft on its given axis, and the largest cylinder that would pass on any axis.

    At each station: B/2 - D/2 - |o - a(z)|, with the bore B about its centre o, the shaft D about its axis a.
    The largest cylinder maximises over straight lines l the least of B/2 - |o - l(z)|: a convex problem,
    solved by cutting planes with a proof.

    Each bore is taken as a circle square to z at its station. A shaft tilted by t is there an ellipse that
    is wider by D/2 (1/cos t - 1), stated as `tilt_error`: the true clearance is between the one given and
    that much less. Between stations nothing is known: put them where the bore is narrow or bent.

    Parameters
    ----------
    z : list of n >= 2 Number
        Stations along the end, ascending.
    offset_x, offset_y : list of n Number
        Centre of the bore at each station.
    bore : Number > 0, or n of them
        Bore diameters.
    diameters : Number > 0, or n of them
        Shaft diameters: body or spline, as what passes or stands at that station.
    axis : array_like, shape (2, 3), optional
        Two points (x, y, z) of the shaft's axis: carrier center and hub center. Default: x = y = 0.

    Raises
    ------
    ValueError
        Lists of different length, stations doubled or out of order, diameters not above zero, an axis that
        does not run along z, more than 1,000 stations.

    References
    ----------
    Kelley, J. SIAM 8 (1960) 703 (cutting planes); geometry of a tilted cylinder.

    Examples
    --------
    >>> room = shaft_clearance([0, 10, 20], [0, "0.03", 0], [0, 0, 0], 2, "1.5")
    >>> round(room.least, 9), room.where, round(room.largest, 9)
    (0.22, 10.0, 1.97)
    """
    stations = _floats(z, "station", at_least=2)
    count = len(stations)
    if np.diff(stations).min() <= 0:
        raise ValueError("station: stations must ascend, each once.")
    x, y = _floats(offset_x, "offset x"), _floats(offset_y, "offset y")
    same_length("shaft clearance", stations=count, x_offsets=len(x), y_offsets=len(y))
    centres = np.column_stack((x, y))
    bores = _per_station(bore, "bore", count)
    shafts = _per_station(diameters, "shaft diameter", count)
    line, tilt = _axis(axis, stations)
    rooms = bores / 2 - shafts / 2 - np.hypot(*(centres - line).T)
    least = int(rooms.argmin())
    free = largest_cylinder(stations, centres, bores / 2)
    steepest = max(tilt, free.tilt)
    return ShaftClearance(
        float(rooms[least]),
        float(stations[least]),
        tuple(map(float, rooms)),
        max(0.0, 2 * free.radius),
        float(max(shafts.max() / 2, free.radius)) * (float(np.hypot(1.0, steepest)) - 1),
        free.proof,
    )


def _floats(values: Iterable[Number], what: str, at_least: int = 1) -> FloatArray:
    return readings(values, what, at_least, _MOST_STATIONS)


def _per_station(values: Number | Iterable[Number], what: str, count: int) -> FloatArray:
    """One diameter for all stations, or one each."""
    if isinstance(values, Iterable) and not isinstance(values, str | bytes):
        each = _floats(values, what)
        same_length("shaft clearance", stations=count, **{what.replace(" ", "_") + "s": len(each)})
    else:
        each = np.full(count, reading(values, what))  # type: ignore[arg-type]
    if each.min() <= 0:
        raise ValueError(f"{what}: a diameter must be above zero.")
    return each


def _axis(axis: Points | None, stations: FloatArray) -> tuple[FloatArray, float]:
    """The shaft's axis at each station, and its slope."""
    if axis is None:
        return np.zeros((len(stations), 2)), 0.0
    ends = point_array(axis, 3, 2, "point of the shaft's axis")
    rise = ends[-1, 2] - ends[0, 2]
    if len(ends) != 2 or rise == 0:
        raise ValueError("point of the shaft's axis: give two points (x, y, z) at different stations z.")
    slope = (ends[1, :2] - ends[0, :2]) / rise
    return ends[0, :2] + np.outer(stations - ends[0, 2], slope), float(np.hypot(*slope))
