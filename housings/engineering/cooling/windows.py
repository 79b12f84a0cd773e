"""From when until when the next pass may be laid on a cooling joint."""

import math
from dataclasses import dataclass

from ..quantities import Quantity, number
from .curve import CoolingCurve
from .memory import JointMemory
from .prior import DEFAULT_PRIOR, CoolingPrior, pass_class
from .readings import CrayonBound, Observation
from .window_words import reason

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


def window(
    curve: CoolingCurve,
    least_preheat_c: Quantity,
    greatest_interpass_c: Quantity,
    now_minutes: Quantity | None = None,
) -> Window:
    """The window of one joint after one pass.

    What was read at the stop point outweighs the forecast: a joint read at or below the interpass limit is
    open from then on, one read above it was closed until then, and the same for the preheat. A thermometer
    that is 3 °C off moves that by a minute; the procedure goes by what it shows.

    Simulated joints, from their second pass on: announced openings at 204 °C are never more than a minute
    early, at 150 °C a tenth of them are until ten joints of the shop are learned from (then 4 in 100).

    Parameters
    ----------
    curve : CoolingCurve
    least_preheat_c, greatest_interpass_c : Quantity
        Of the procedure, °C.
    now_minutes : Quantity >= 0, optional
        Minutes since the end of the arc by now, for `reason`.

    Raises
    ------
    ValueError
        For what is no number, limits the wrong way round, and a now before the end of the arc.

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
    now = None if now_minutes is None else number(now_minutes, "now")
    if now is not None and now < 0:
        raise ValueError("now: time does not run backwards.")
    opening, closing = curve.crossing(greatest), curve.crossing(least)
    shut, released = _sides(curve, greatest, itself_is_below=True)
    warm, cold = _sides(curve, least, itself_is_below=False)
    opens, opens_by = (_between(one, shut, released) for one in (opening.median, opening.q75))
    closes, closes_median = (_between(one, warm, cold) for one in (closing.low, closing.median))
    return Window(
        _finite(opens),
        _finite(opens_by),
        _finite(closes),
        _finite(closes_median),
        released,
        reason(opens_by, closes, closes_median, released, cold, now, _last_read(curve)),
    )


def _last_read(curve: CoolingCurve) -> float | None:
    return max((one.minutes for one in curve.readings), default=None)


def released_at(curve: CoolingCurve, greatest_interpass_c: Quantity) -> float | None:
    """When a reading or crayon at the stop point showed at most the greatest interpass temperature.

    Minutes since the end of the arc, or None: nothing has released the next arc. A reading elsewhere never
    does, however cold: the stop point is the hottest. One above it later takes the release back.
    """
    return _sides(curve, number(greatest_interpass_c, "greatest interpass"), itself_is_below=True)[1]


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


def _sides(curve: CoolingCurve, limit: float, *, itself_is_below: bool) -> tuple[float | None, float | None]:
    """When the stop point last showed above a limit, and when it first showed below it after that.

    As it is the hottest point, it is above where any other is.
    """
    above: float | None = None
    below: float | None = None
    for one in curve.readings:
        if _shows_above(one, limit, itself_is_below):
            above, below = one.minutes, None
        elif one.place == "stop" and below is None and _shows_below(one, limit, itself_is_below):
            below = one.minutes
    return above, below


def _shows_below(one: Observation, limit: float, itself_is_below: bool) -> bool:
    if isinstance(one, CrayonBound):
        return not one.melted and one.crayon_c <= limit
    return one.value_c < limit or (itself_is_below and one.value_c == limit)


def _shows_above(one: Observation, limit: float, itself_is_below: bool) -> bool:
    if isinstance(one, CrayonBound):
        return one.melted and one.crayon_c >= limit
    return one.value_c > limit or (not itself_is_below and one.value_c == limit)


def _between(minutes: float, least: float | None, greatest: float | None) -> float:
    if greatest is not None:
        minutes = min(minutes, greatest)
    return minutes if least is None else max(minutes, least)


def _finite(minutes: float) -> float | None:
    return minutes if math.isfinite(minutes) else None
