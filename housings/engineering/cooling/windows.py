"""From when until when the next pass may be laid on a cooling joint."""

import math
from dataclasses import dataclass

from ..quantities import Quantity, number
from .curve import CoolingCurve
from .memory import JointMemory
from .prior import DEFAULT_PRIOR, CoolingPrior, pass_class
from .readings import CrayonBound, Observation

__all__ = ["Window", "released_at", "window", "windows_to_come"]


@dataclass(frozen=True, slots=True)
class Window:
    """When a joint is between its least preheat and its greatest interpass temperature.

    Minutes since the end of the arc. It says when to look; only a reading or a crayon at the stop point
    releases the arc.

    Attributes
    ----------
    opens : float or None
        Expected. None: never, the air is too warm.
    opens_by : float or None
        What to announce: 75 of 100 such joints are open by then.
    closes : float or None
        What to announce: 95 of 100 are still open then. None: never, the air is as warm as the preheat.
    closes_median : float or None
        Expected.
    released : float or None
        When a reading or crayon at the stop point showed that it is open.
    reason : str
        A sentence that can be shown.
    """

    opens: float | None
    opens_by: float | None
    closes: float | None
    closes_median: float | None
    released: float | None
    reason: str


def window(curve: CoolingCurve, least_preheat_c: Quantity, greatest_interpass_c: Quantity) -> Window:
    """The window of one joint after one pass.

    What was read at the stop point outweighs the forecast: a joint read at or below the interpass limit is
    open from then on, one read above it was closed until then, and the same for the preheat. A thermometer
    that is 3 °C off moves that by a minute; the procedure goes by what it shows.

    Parameters
    ----------
    curve : CoolingCurve
    least_preheat_c, greatest_interpass_c : Quantity
        Of the procedure, °C.

    Raises
    ------
    ValueError
        For what is no number, and limits the wrong way round.

    Examples
    --------
    >>> from housings.engineering.cooling.readings import TemperatureReading
    >>> read = [TemperatureReading(1, 262), TemperatureReading(2, 231)]
    >>> found = window(CoolingCurve.fit(read, pass_number=5, ambient_c=20), 121, 204)
    >>> round(found.opens_by, 1), round(found.closes, 1)
    (3.8, 10.9)
    """
    least, greatest = (
        number(least_preheat_c, "least preheat"),
        number(greatest_interpass_c, "greatest interpass"),
    )
    if least >= greatest:
        raise ValueError(
            f"The least preheat ({least:g} °C) has to be below the greatest interpass temperature"
            f" ({greatest:g} °C)."
        )
    opening, closing = curve.crossing(greatest), curve.crossing(least)
    shut, released = _sides(curve, greatest)
    warm, cold = _sides(curve, least)
    opens, opens_by = (_between(one, shut, released) for one in (opening.median, opening.q75))
    closes, closes_median = (_between(one, warm, cold) for one in (closing.low, closing.median))
    return Window(
        _finite(opens),
        _finite(opens_by),
        _finite(closes),
        _finite(closes_median),
        released,
        _reason(opens_by, closes, released, cold),
    )


def released_at(curve: CoolingCurve, greatest_interpass_c: Quantity) -> float | None:
    """When a reading or crayon at the stop point first showed at most the greatest interpass temperature.

    Minutes since the end of the arc, or None: nothing has released the next arc. A reading elsewhere never
    does, however cold: the stop point is the hottest.
    """
    return _sides(curve, number(greatest_interpass_c, "greatest interpass"))[1]


def windows_to_come(
    from_pass: int,
    to_pass: int,
    ambient_c: Quantity,
    least_preheat_c: Quantity,
    greatest_interpass_c: Quantity,
    *,
    prior: CoolingPrior = DEFAULT_PRIOR,
    memory: JointMemory | None = None,
) -> tuple[tuple[float, float | None], ...]:
    """Expected windows after passes that are still to be laid: what `WaitingJoint.then` wants.

    Parameters
    ----------
    from_pass, to_pass : int >= 1
        The next pass, and the last after which the joint still has to wait.
    ambient_c, least_preheat_c, greatest_interpass_c : Quantity
        °C.
    prior : CoolingPrior
    memory : JointMemory, optional
        Of the passes laid already.

    Returns
    -------
    tuple of (opens, closes)
        Medians, minutes since the end of each arc; `closes` None: never. Empty if `to_pass` is below
        `from_pass`.

    Raises
    ------
    ValueError
        As `window` does, and where the air is as warm as the greatest interpass temperature.

    Examples
    --------
    >>> [round(opens, 1) for opens, _ in windows_to_come(1, 4, 20, 121, 204)]
    [1.3, 3.6, 3.6, 4.2]
    """
    found: dict[int, tuple[float, float | None]] = {}
    for one_pass in range(from_pass, to_pass + 1):
        of = pass_class(one_pass)
        if of not in found:
            curve = CoolingCurve.fit(
                [], pass_number=one_pass, ambient_c=ambient_c, prior=prior, memory=memory
            )
            expected = window(curve, least_preheat_c, greatest_interpass_c)
            if expected.opens is None:
                raise ValueError(expected.reason)
            found[of] = expected.opens, expected.closes_median
    return tuple(found[pass_class(one_pass)] for one_pass in range(from_pass, to_pass + 1))


def _sides(curve: CoolingCurve, limit: float) -> tuple[float | None, float | None]:
    """Last minute read above a limit before it was first read at or below it, and that first minute."""
    above: float | None = None
    for one in curve.readings:
        if one.place != "stop":
            continue
        if _shows_at_most(one, limit):
            return above, one.minutes
        if _shows_above(one, limit):
            above = one.minutes
    return above, None


def _shows_at_most(one: Observation, limit: float) -> bool:
    if isinstance(one, CrayonBound):
        return not one.melted and one.crayon_c <= limit
    return one.value_c <= limit


def _shows_above(one: Observation, limit: float) -> bool:
    if isinstance(one, CrayonBound):
        return one.melted and one.crayon_c >= limit
    return one.value_c > limit


def _between(minutes: float, least: float | None, greatest: float | None) -> float:
    if greatest is not None:
        minutes = min(minutes, greatest)
    return minutes if least is None else max(minutes, least)


def _finite(minutes: float) -> float | None:
    return minutes if math.isfinite(minutes) else None


def _reason(opens_by: float, closes: float, released: float | None, cold: float | None) -> str:
    if cold is not None:
        return f"Read below the least preheat at {cold:.0f} min: reheat before the next pass."
    if released is not None:
        until = "the air keeps it warm enough" if math.isinf(closes) else f"until about {closes:.0f} min"
        return f"Read at the stop point as open at {released:.1f} min: {until}."
    if math.isinf(opens_by):
        return "The air is as warm as the greatest interpass temperature: it never opens by cooling."
    if opens_by == 0:
        return "Expected to be open at once: read at the stop point before the arc."
    if opens_by > closes:
        return (
            "It may have cooled too far before it is surely open: read at the stop point at"
            f" {closes:.1f} min, then the forecast narrows."
        )
    return (
        f"Read at the stop point at {opens_by:.1f} min: the reading releases the arc, the forecast does not."
    )
