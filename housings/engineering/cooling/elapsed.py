"""Minutes between two moments, whatever the clock on the wall did in between."""

from datetime import datetime

__all__ = ["minutes_between"]


def minutes_between(start: datetime, end: datetime) -> float:
    """Minutes from one moment to another.

    Counted on the instants: an hour that summer time skips or repeats in the middle changes nothing.

    Parameters
    ----------
    start, end : datetime
        With their time zone.

    Raises
    ------
    ValueError
        For a moment without a time zone, and for an end before its start.

    Examples
    --------
    The clocks in Denver went back at 2 in the morning of this day, so that 1:50 came twice.

    >>> from zoneinfo import ZoneInfo
    >>> denver = ZoneInfo("America/Denver")
    >>> minutes_between(
    ...     datetime(2025, 11, 2, 1, 55, tzinfo=denver), datetime(2025, 11, 2, 1, 5, fold=1, tzinfo=denver)
    ... )
    10.0
    """
    for moment, what in ((start, "start"), (end, "end")):
        if moment.utcoffset() is None:
            raise ValueError(f"{what}: say in which time zone that moment is.")
    # Two moments of one zone would be subtracted by the clock on the wall; their stamps are instants.
    seconds = end.timestamp() - start.timestamp()
    if seconds < 0:
        raise ValueError("The end is before the start: look again at both times.")
    return seconds / 60
