"""One joint on the bench clock: what to do with it in words, and its window on the axis of time.

Moments are told to the minute, and so that they are on the safe side: an opening up, a closing down. A page
that is asked twice in one minute says the same.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from housings.engineering.release import Release, Said
from housings.joint_cooling import Forecast
from housings.weld_queries import JointState
from housings.weld_words import degrees
from shopqc.refusals import Reason

MINUTE = datetime.timedelta(minutes=1)
# What a pass takes with the change-over where nothing is known (common practice, no source).
ARC_MINUTES = 4.75


class Stand(StrEnum):
    """How a joint stands at the bench."""

    ARC = "arc"
    WELD = "weld"
    START = "start"
    READ = "read"
    WAIT = "wait"
    REHEAT = "reheat"
    BLOCKED = "blocked"
    COUNT = "count"
    ENOUGH = "enough"


@dataclass(frozen=True)
class Bar:
    """A window on the axis, and where on it the arc ended before it, in percent of its length."""

    ended: float | None
    opens: float
    closes: float

    @property
    def ended_x(self) -> str:
        return _place(self.ended or 0.0)

    @property
    def opens_x(self) -> str:
        return _place(self.opens)

    @property
    def width(self) -> str:
        return _place(max(self.closes - self.opens, 0.4))


@dataclass(frozen=True)
class Line:
    """One joint on the clock.

    Attributes
    ----------
    stand : Stand
    words : str
        What to do, such as "Weld now, until 14:32".
    why : tuple of str
        What it rests on, or what is in the way.
    opens_at, closes_at : datetime or None
        Of the window, to the minute.
    bar : Bar or None
        The window on the axis.
    arc : Bar or None
        On the axis, the arc that is on now.
    """

    state: JointState
    stand: Stand
    words: str
    why: tuple[str, ...] = ()
    opens_at: datetime.datetime | None = None
    closes_at: datetime.datetime | None = None
    forecast: Forecast | None = None
    bar: Bar | None = None
    arc: Bar | None = None

    @property
    def key(self) -> str:
        return f"{self.state.housing.serial} {self.state.joint.code}"

    @property
    def waits(self) -> bool:
        """Whether it takes part in the order of what is welded next."""
        return self.stand in {Stand.WELD, Stand.START, Stand.READ, Stand.WAIT, Stand.REHEAT}


@dataclass(frozen=True)
class Axis:
    """The stretch of time that the clock shows, with now on it."""

    now: datetime.datetime
    before: datetime.timedelta = datetime.timedelta(minutes=10)
    after: datetime.timedelta = datetime.timedelta(minutes=40)

    def percent(self, moment: datetime.datetime) -> float:
        """Where a moment is, 0 to 100; what lies outside stands at the edge."""
        share = (moment - (self.now - self.before)) / (self.before + self.after)
        return round(min(1.0, max(0.0, share)) * 100, 1)

    @property
    def now_x(self) -> str:
        return _place(self.percent(self.now))

    @property
    def ticks(self) -> list[tuple[str, str]]:
        """Every full ten minutes of the shop's clock with its place."""
        start = self.now - self.before
        first = start + datetime.timedelta(minutes=-start.minute % 10)
        count = int((self.now + self.after - first) / (10 * MINUTE)) + 1
        moments = [first + 10 * MINUTE * step for step in range(count)]
        return [(_place(self.percent(one)), clock(one, self.now)) for one in moments]


def _place(percent: float) -> str:
    """A place on the axis as a drawing takes it, whatever the language makes of numbers."""
    return f"{percent:.1f}%"


def clock(moment: datetime.datetime, now: datetime.datetime) -> str:
    """The time of day in the shop: with its zone where the clocks change between it and now, else with the
    day where it is another one."""
    local, here = localtime(moment), localtime(now)
    if local.utcoffset() != here.utcoffset():
        return f"{local:%H:%M %Z}"
    return f"{local:%H:%M}" if local.date() == here.date() else f"{local:%H:%M}, {local.day} {local:%b}"


def up(moment: datetime.datetime) -> datetime.datetime:
    """The full minute at or after a moment."""
    whole = down(moment)
    return whole if whole == moment else whole + MINUTE


def down(moment: datetime.datetime) -> datetime.datetime:
    """The full minute at or before a moment."""
    return moment.replace(second=0, microsecond=0)


# What stands in the way, in two or three words; what is not named here is said in its own sentence.
IN_THE_WAY: Mapping[str, Callable[[], str]] = {
    "root_not_seen": lambda: _("Look at it first"),
    "weld_refused": lambda: _("Refused"),
    "weld_to_be_repaired": lambda: _("To be repaired"),
    "repair_open": lambda: _("In repair"),
    "fit_up_missing": lambda: _("Fit-up first"),
    "fit_up_refused": lambda: _("Fit-up first"),
    "held": lambda: _("Held"),
    "procedure_missing": lambda: _("No procedure yet"),
    "procedure_short": lambda: _("Another procedure first"),
    "away_at_supplier": lambda: _("Away at a supplier"),
}


def line_of(state: JointState, reasons: Sequence[Reason], forecast: Forecast | None, axis: Axis) -> Line:
    """The line of a joint.

    ``reasons`` are those against its next pass that are neither about temperature nor about who asks.
    """
    now = axis.now
    if state.arc is not None:
        words = _("Arc on since %(since)s (%(welder)s)") % {
            "since": clock(state.arc.begun_at, now),
            "welder": state.arc.welder.stamp,
        }
        burns = Bar(None, axis.percent(state.arc.begun_at), axis.percent(now))
        return Line(state, Stand.ARC, words, forecast=forecast, arc=burns)
    if reasons:
        why = tuple(reason.sentence for reason in reasons)
        words = next((IN_THE_WAY[one.code]() for one in reasons if one.code in IN_THE_WAY), _("Not yet"))
        if any(one.code == "root_not_seen" and one.facts["number"] == 1 for one in reasons):
            words = _("Look at the root first")
        return _with_window(Line(state, Stand.BLOCKED, words, why, forecast=forecast), axis)
    if not state.joint.is_multipass:
        return _counted(state)
    if state.passes and forecast is not None:
        return _cooling(state, forecast, axis)
    return _not_begun(state, now)


def _counted(state: JointState) -> Line:
    if state.is_full:
        return Line(state, Stand.ENOUGH, _("All done"))
    return Line(state, Stand.COUNT, _("%(missing)s to weld") % {"missing": state.missing})


def _not_begun(state: JointState, now: datetime.datetime) -> Line:
    read = state.release(now)
    procedure = state.procedure
    if read.said is Said.RELEASED and read.by is not None:
        return Line(state, Stand.START, _("Start now"), (_read_words(read, now),))
    if procedure is not None and procedure.preheat_least is not None:
        least = degrees(procedure.preheat_least, procedure.temperature_unit)
        return Line(state, Stand.START, _("Preheat to %(least)s and start") % {"least": least})
    return Line(state, Stand.START, _("Start when you like"))


def _with_window(line: Line, axis: Axis) -> Line:
    """The same line with the window of its forecast."""
    forecast = line.forecast
    found = None if forecast is None else forecast.window
    if forecast is None or found is None:
        return line
    opens = None
    if found.opens_by is not None:
        # What is open at once does not wait for the next full minute.
        opens = up(forecast.moment(found.opens_by)) if found.opens_by else down(forecast.ended_at)
    closes = None if found.closes is None else down(forecast.moment(found.closes))
    bar = None
    start, stop = axis.now - axis.before, axis.now + axis.after
    if opens is not None and opens < stop and (closes is None or closes > start):
        end = stop if closes is None else max(opens, closes)
        ended = axis.percent(forecast.ended_at) if forecast.ended_at >= start else None
        bar = Bar(ended, axis.percent(opens), axis.percent(end))
    return Line(line.state, line.stand, line.words, line.why, opens, closes, forecast, bar)


def _cooling(state: JointState, forecast: Forecast, axis: Axis) -> Line:
    """A joint between two passes."""
    now = axis.now
    line = _with_window(Line(state, Stand.WELD, "", forecast=forecast), axis)
    stand, words, why = _stand(line, state, now)
    if state.missing == 0:
        enough = _("It has the passes that the procedure asks for at least.")
        why = (*why, enough)
        if stand is Stand.REHEAT:
            stand, words, why = Stand.ENOUGH, _("Passes done"), (enough,)
    return Line(state, stand, words, why, line.opens_at, line.closes_at, forecast, line.bar)


def _stand(line: Line, state: JointState, now: datetime.datetime) -> tuple[Stand, str, tuple[str, ...]]:
    procedure, read = state.procedure, state.release(now)
    opens, closes = line.opens_at, line.closes_at
    if line.forecast is None or line.forecast.window is None or procedure is None:
        return Stand.WELD, _("Weld when you like"), ()
    until = (
        _("Weld now, until %(until)s") % {"until": clock(closes, now)}
        if closes is not None
        else _("Weld now")
    )
    least = degrees(procedure.preheat_least, procedure.temperature_unit)
    if read.said is Said.TOO_COLD:
        return Stand.REHEAT, _("Reheat: it is below %(least)s") % {"least": least}, (_read_words(read, now),)
    if read.said is Said.RELEASED:
        # What was read outweighs the forecast, for as long as a reading lets an arc start.
        words = until if closes is not None and closes > now else _("Weld now")
        return Stand.WELD, words, (_read_words(read, now),)
    if opens is None:
        return Stand.BLOCKED, _("It does not cool that far"), (line.forecast.window.reason,)
    said = (_read_words(read, now),) if read.by is not None else ()
    if now < opens:
        return Stand.WAIT, _("Wait until %(when)s") % {"when": clock(opens, now)}, said
    if closes is None or now < closes:
        rule = _("Read it first: a reading lets the arc start, the forecast does not.")
        return Stand.READ, until, (*said, rule)
    median = line.forecast.window.closes_median
    if median is not None and now < line.forecast.moment(median):
        may_be = _("By now it may be below %(least)s.") % {"least": least}
        return Stand.READ, _("Read it now"), (*said, may_be)
    rather = _("Or read it first: the forecast may be wrong.")
    return Stand.REHEAT, _("Reheat: by now it is likely below %(least)s") % {"least": least}, (*said, rather)


def _read_words(read: Release, now: datetime.datetime) -> str:
    by = read.by
    assert by is not None  # it was read
    when, value = clock(by.done_at, now), degrees(by.value, by.unit)
    if by.crayon == "above":
        return _("%(value)s melted at %(when)s.") % {"value": value, "when": when}
    if by.crayon == "below":
        return _("%(value)s did not melt at %(when)s.") % {"value": value, "when": when}
    return _("Read %(value)s at %(when)s.") % {"value": value, "when": when}
