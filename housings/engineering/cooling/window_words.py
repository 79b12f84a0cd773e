"""What a window means for whoever stands at the bench, in a sentence."""

import math

__all__ = ["reason"]

_OLD_MINUTES = 10.0


def reason(
    opens_by: float,
    closes: float,
    closes_median: float,
    released: float | None,
    cold: float | None,
    now: float | None,
    last_read: float | None,
) -> str:
    """What to do about a window, all in minutes since the end of the arc.

    >>> reason(4.2, 12.0, 15.0, None, None, None, 2.0)
    'Read at the stop point at 4.2 min: the reading releases the arc, the forecast does not.'
    >>> reason(4.2, 12.0, 15.0, None, None, 13.0, 2.0)
    'It may be below the least preheat by now: read it, and reheat if it is. The last reading is 11 min old.'
    """
    said = _said(opens_by, closes, closes_median, released, cold, now)
    if now is not None and last_read is None:
        return f"{said} Nothing has been read after this pass."
    if now is not None and last_read is not None and now - last_read > _OLD_MINUTES:
        return f"{said} The last reading is {now - last_read:.0f} min old."
    return said


def _said(
    opens_by: float,
    closes: float,
    closes_median: float,
    released: float | None,
    cold: float | None,
    now: float | None,
) -> str:
    if cold is not None:
        return f"Read below the least preheat at {cold:.1f} min: reheat before the next pass."
    if now is not None and now > closes_median:
        return "It is probably below the least preheat by now: read it, and reheat if it is."
    if now is not None and now > closes:
        return "It may be below the least preheat by now: read it, and reheat if it is."
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
    if now is not None and now >= opens_by:
        return "Expected to be open: read at the stop point now, the reading releases the arc."
    return (
        f"Read at the stop point at {opens_by:.1f} min: the reading releases the arc, the forecast does not."
    )
