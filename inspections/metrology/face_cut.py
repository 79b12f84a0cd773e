"""The cut that saves a warped face, and the shims that lay it flat under the mill."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

import numpy as np

from inspections.metrology.cut_program import FREE, CutLimits, CutPlane, Range, shallowest
from inspections.metrology.fits import fit_plane
from inspections.metrology.limits import LimitPair, read_limits
from inspections.metrology.numbers import FloatArray, Number, Points, exact, point_array
from inspections.metrology.readings import reading_list, refuse_many, same_length

_MOST_POINTS = 2_000
_STEEPEST = 45
_LEVEL = 1e-6


@dataclass(frozen=True)
class FaceCut:
    """A facing cut within its limits, or what forbids it.

    Attributes
    ----------
    saved : bool
        Whether a cut exists that cleans every point and keeps every limit.
    forbids : tuple of str
        Without one: which of "thickness", "distance", "pitch", "yaw" stand in the way. If `together` is
        False, giving up any one of them would save the face; if True, these must all give.
    together : bool
    depth : float or None
        The deepest cut, square to A-B; the least there can be.
    distance, pitch, yaw : float or None
        The plane: distance from A-B at x = 0, turn about A-B (right-handed, 0 = square to the second datum),
        angle to A-B (positive if the outward normal leans to the right end); degrees.
    least_remaining : float or None
        Least thickness left at any point.
    depths : tuple of float
        Cut at each point, in order; empty without a cut.
    """

    saved: bool
    forbids: tuple[str, ...]
    together: bool
    depth: float | None
    distance: float | None
    pitch: float | None
    yaw: float | None
    least_remaining: float | None
    depths: tuple[float, ...]


@dataclass(frozen=True)
class Shims:
    """What to put under each jack so that the planned face lies level.

    Attributes
    ----------
    heights : tuple of float
        In the order of the jacks; the least is zero.
    """

    heights: tuple[float, ...]


def face_cut(
    points: Points,
    thickness: Number | Iterable[Number],
    least_thickness: Number,
    distance: LimitPair | None = None,
    pitch: LimitPair | None = None,
    yaw: LimitPair | None = (0, 0),
) -> FaceCut:
    """The shallowest plane that cleans a face without breaking a limit.

    Frame, with its origin on A-B and right-handed; the second datum fixes z, where the face looks at zero
    pitch::

          y up
           |    z out of the face, towards you
           |   /
           |  /
           +--------- x along A-B, left to right

    Pitch turns y towards z, about x; yaw leans the outward normal from z towards x. For points (x, y, z) and
    a plane at depth d_i below each: minimise max d_i, subject to d_i >= 0 (every point is cleaned),
    thickness_i - d_i >= least thickness, and the limits of distance, pitch and yaw. Linear programs, solved
    by HiGHS, in a frame turned about A-B by the plane's own pitch; depths and distance are measured square to
    A-B.

    Parameters
    ----------
    points : array_like, shape (n, 3), 3 <= n <= 2000
        The face as it is. Any unit.
    thickness : Number > 0, or n of them
        Of the plate, at each point.
    least_thickness : Number, >= 0
        What must be left.
    distance, pitch, yaw : pair of (Number or None), or None
        Limits of the cut face; None = free. Pitch and yaw in degrees, within ±45. Yaw (0, 0), the default, is
        exactly parallel to A-B.

    Raises
    ------
    ValueError
        For bad numbers, points in a line, a thickness not above zero, swapped limits, angles beyond 45°.

    References
    ----------
    Bounded linear program; Huangfu and Hall, Math. Prog. Comp. 10 (2018) 119 (the solver).

    Examples
    --------
    >>> warped = [(-4, -3, "5.03"), (4, -3, "5.02"), (4, 3, "5.04"), (-4, 3, "5.05")]
    >>> cut = face_cut(warped, "0.5", "0.45", distance=("4.995", "5.020"), pitch=(0, 0))
    >>> cut.saved, round(cut.depth, 9), round(cut.least_remaining, 9)
    (True, 0.03, 0.47)
    >>> face_cut(warped, "0.5", "0.49", pitch=(0, 0)).forbids
    ('thickness', 'pitch')
    """
    refuse_many(points, "face point", _MOST_POINTS)
    array = point_array(points, 3, 3, "face point")
    fit_plane(array)
    plate = _thickness(thickness, len(array))
    left = exact(least_thickness, "least thickness")
    if left < 0:
        raise ValueError("least thickness: it cannot be negative.")
    room = np.array([float(part - left) for part in plate])
    given = {
        "thickness": None,
        "distance": _range(distance, "distance", None),
        "pitch": _range(pitch, "pitch", _STEEPEST),
        "yaw": _range(yaw, "yaw", _STEEPEST),
    }
    plane = shallowest(array, _limits(room, given, ()))
    if plane is None:
        names, together = _what_forbids(array, room, given)
        return FaceCut(False, names, together, None, None, None, None, None, ())
    return _saved(plane, np.array([float(part) for part in plate]), float(left), given)


def shims(cut: FaceCut, jacks: Points) -> Shims:
    """Shim heights that bring the planned face level, from a housing whose frame lies level (z up).

    A jack at (x, y) is raised by the height that the plane z = c + s x + t y lacks there against the highest
    jack. Angles are taken as small: at 2° a height is wrong by less than 0.1 % of itself.

    Parameters
    ----------
    cut : FaceCut
        One that saves the face.
    jacks : array_like, shape (n, 2), n >= 3
        Where the housing rests, in the frame of the cut.

    Raises
    ------
    ValueError
        For a cut that does not exist, fewer than 3 jacks, jacks in a line.

    References
    ----------
    Geometry of a plane; common practice, no source.

    Examples
    --------
    >>> cut = face_cut([(-4, -3, 5), (4, -3, 5), (4, 3, "5.06"), (-4, 3, "5.06")], 1, "0.5")
    >>> [round(height, 6) + 0.0 for height in shims(cut, [(0, -10), (-30, 10), (30, 10)]).heights]
    [0.2, 0.0, 0.0]
    """
    if cut.pitch is None or cut.yaw is None:
        raise ValueError("shims: this face has no cut that saves it, so there is nothing to level.")
    places = point_array(jacks, 2, 3, "jack")
    spread = np.linalg.svd(places - places.mean(axis=0), compute_uv=False)
    if spread[1] <= _LEVEL * spread[0] or spread[0] == 0:
        raise ValueError("jack: the jacks stand in one line and cannot level a face; move one aside.")
    pitch, yaw = math.radians(cut.pitch), math.radians(cut.yaw)
    slopes = np.array([-math.tan(yaw) / math.cos(pitch), math.tan(pitch)])
    heights = places @ slopes
    return Shims(tuple(float(height) + 0.0 for height in heights.max() - heights))


def _thickness(thickness: Number | Iterable[Number], count: int) -> list[Fraction]:
    if isinstance(thickness, Iterable) and not isinstance(thickness, str | bytes):
        plate = reading_list(thickness, "thickness")
        same_length("face", points=count, thicknesses=len(plate))
    else:
        plate = [exact(thickness, "thickness")] * count  # type: ignore[arg-type]
    if min(plate) <= 0:
        raise ValueError("thickness: it must be above zero at every point.")
    return plate


def _range(limits: LimitPair | None, what: str, steepest: int | None) -> tuple[float, float] | None:
    """A limit as floats, None where it is free on both sides."""
    if limits is None:
        return None
    read = read_limits(limits, what)
    if read.lower is None and read.upper is None:
        return None
    for limit in (read.lower, read.upper):
        if steepest is not None and limit is not None and abs(limit) > steepest:
            raise ValueError(f"{what} limits: give degrees within ±{steepest}.")
    return (
        -math.inf if read.lower is None else float(read.lower),
        math.inf if read.upper is None else float(read.upper),
    )


def _limits(
    room: FloatArray, given: dict[str, tuple[float, float] | None], without: Sequence[str]
) -> CutLimits:
    """The limits as the program takes them, some of them given up."""
    kept = {name: None if name in without else limit for name, limit in given.items()}
    return CutLimits(
        np.full_like(room, np.inf) if "thickness" in without else room,
        Range(*kept["distance"]) if kept["distance"] else FREE,
        _angles(kept["pitch"]),
        _angles(kept["yaw"]),
    )


def _angles(degrees: tuple[float, float] | None) -> Range:
    """In radians; free, or free on one side, still ends at 45°."""
    low, high = degrees or (-math.inf, math.inf)
    return Range(math.radians(max(low, -_STEEPEST)), math.radians(min(high, _STEEPEST)))


def _what_forbids(
    array: FloatArray, room: FloatArray, given: dict[str, tuple[float, float] | None]
) -> tuple[tuple[str, ...], bool]:
    """The limits any one of which could give, else the fewest that must give together."""
    names = ["thickness", *(name for name, limit in given.items() if limit is not None)]
    for size in range(1, len(names) + 1):
        enough = [
            group
            for group in combinations(names, size)
            if shallowest(array, _limits(room, given, group)) is not None
        ]
        if enough:
            return (tuple(name for (name,) in enough), False) if size == 1 else (enough[0], True)
    raise ValueError("face cut: no plane cleans these points; they stand too steeply in this frame.")


def _saved(
    plane: CutPlane, plate: FloatArray, left: float, given: dict[str, tuple[float, float] | None]
) -> FaceCut:
    remaining = float((plate - plane.depths).min())
    # The solver meets a limit to within its tolerance; what it meets is the limit.
    if abs(remaining - left) <= plane.miss:
        remaining = left
    return FaceCut(
        True,
        (),
        False,
        float(plane.depths.max()),
        plane.distance,
        _within(math.degrees(plane.pitch), given["pitch"]),
        _within(math.degrees(plane.yaw), given["yaw"]),
        remaining,
        tuple(float(depth) for depth in plane.depths),
    )


def _within(degrees: float, limit: tuple[float, float] | None) -> float:
    return (Range(*limit).clip(degrees) if limit else degrees) + 0.0
