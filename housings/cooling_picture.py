"""The cool-down of a joint as a drawing: the forecast with its doubt, what was read, the limits, and now.

Ink and one tone; colors and strokes come from weld.css by class. What it shows is said in words beside it.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.html import escape
from django.utils.translation import gettext as _

from housings.engineering.cooling import minutes_between
from housings.joint_cooling import AIR_C, Forecast, celsius, limits_c
from housings.models import JointTemperature
from housings.weld_clock import clock
from housings.weld_queries import JointState
from housings.weld_words import PLACES, degrees

WIDTH, HEIGHT, LEFT, BOTTOM, TOP = 440, 270, 66, 46, 10
RIGHT = WIDTH - 8
LEAST_MINUTES, MOST_MINUTES, POINTS = 20, 60, 40


@dataclass(frozen=True)
class CoolingPicture:
    """The drawing, and in words what it shows: a sentence, a row for each reading, and which are unlikely."""

    svg: str
    words: str
    rows: list[tuple[str, str, str]]
    doubts: tuple[str, ...]


def cooling_picture(state: JointState, forecast: Forecast, now: datetime.datetime) -> CoolingPicture:
    """The cool-down after the last pass of a joint."""
    unit = state.procedure.temperature_unit if state.procedure else "F"
    since = minutes_between(forecast.ended_at, max(now, forecast.ended_at))
    long = min(MOST_MINUTES, max(LEAST_MINUTES, int(since) + 8))
    window = forecast.window
    if window is not None and window.closes is not None:
        long = min(MOST_MINUTES, max(long, int(window.closes) + 4))
    read = [one for one in state.temperatures if _belongs(one, state, forecast)]
    drawn = _Drawing(state, forecast, read, unit, float(long), since)
    rows = [_row(one, forecast, now) for one in read]
    return CoolingPicture(drawn.svg(), _words(state, forecast, now), rows, forecast.curve.doubts)


def _belongs(read: JointTemperature, state: JointState, forecast: Forecast) -> bool:
    return read.after_pass == state.next_number - 1 and read.done_at >= forecast.ended_at


def _row(read: JointTemperature, forecast: Forecast, now: datetime.datetime) -> tuple[str, str, str]:
    minutes = minutes_between(forecast.ended_at, read.done_at)
    said = degrees(read.value, read.unit)
    if read.crayon:
        said = (
            _("%(value)s melted") % {"value": said}
            if read.crayon == "above"
            else _("%(value)s did not melt") % {"value": said}
        )
    if read.simulated:
        said = _("%(said)s (simulated)") % {"said": said}
    when = _("%(at)s, %(minutes)s min after the arc") % {
        "at": clock(read.done_at, now),
        "minutes": f"{minutes:.0f}",
    }
    return said, str(PLACES[read.place]), when


def _words(state: JointState, forecast: Forecast, now: datetime.datetime) -> str:
    """What the drawing says, for who cannot see it."""
    unit = state.procedure.temperature_unit if state.procedure else "F"
    expected = forecast.curve.temperature_c(minutes_between(forecast.ended_at, max(now, forecast.ended_at)))
    low, high = (f"{_in_unit(value, unit):.0f}" for value in (expected.low, expected.high))
    said = _("Forecast for now: %(low)s to %(high)s °%(unit)s where the pass stopped, nine times in ten.") % {
        "low": low,
        "high": high,
        "unit": unit,
    }
    return said


def _in_unit(value_c: float, unit: str) -> float:
    return value_c if unit == "C" else value_c * 9 / 5 + 32


def _text(x: float, y: float, words: str, anchor: str = "middle") -> str:
    return f'<text class="cooling-tick" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(words)}</text>'


class _Drawing:
    """One drawing; x in minutes since the end of the arc, y in °C."""

    def __init__(
        self,
        state: JointState,
        forecast: Forecast,
        read: Sequence[JointTemperature],
        unit: str,
        long: float,
        since: float,
    ) -> None:
        self.state, self.forecast, self.read, self.unit = state, forecast, read, unit
        self.long, self.since = long, since
        self.least, self.most = limits_c(state.procedure) if state.procedure else (None, None)
        hottest = max([celsius(one.value, one.unit) for one in read], default=0.0)
        self.top = max(forecast.curve.temperature_c(1).median, hottest, (self.most or 0.0) + 20, 120.0) + 15

    def x(self, minutes: float) -> float:
        return LEFT + (WIDTH - LEFT - 8) * min(max(minutes / self.long, 0.0), 1.0)

    def y(self, value_c: float) -> float:
        share = (value_c - AIR_C) / (self.top - AIR_C)
        return TOP + (HEIGHT - TOP - BOTTOM) * (1 - min(max(share, 0.0), 1.0))

    def svg(self) -> str:
        parts = [
            *self._axes(),
            *self._window(),
            *self._curve(),
            *self._limits(),
            *self._readings(),
            *self._now(),
        ]
        label = _("How the joint cools after its last pass")
        return (
            f'<svg class="cooling" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{escape(label)}">'
            + "".join(parts)
            + "</svg>"
        )

    def _axes(self) -> list[str]:
        bottom = HEIGHT - BOTTOM
        step = 5 if self.long <= 30 else 10
        ticks = [
            _text(self.x(minutes), bottom + 20, str(minutes))
            for minutes in range(0, int(self.long) + 1, step)
        ]
        return [
            f'<path class="cooling-axis" d="M{LEFT} {TOP}V{bottom}H{RIGHT}"/>',
            *ticks,
            _text(RIGHT, HEIGHT - 6, _("minutes after the arc"), "end"),
        ]

    def _window(self) -> list[str]:
        """The stretch in which it may be welded, as announced."""
        found = self.forecast.window
        if found is None or found.opens_by is None:
            return []
        closes = self.long if found.closes is None else found.closes
        left, right = self.x(found.opens_by), self.x(closes)
        if right <= left:
            return []
        size = f'width="{right - left:.1f}" height="{HEIGHT - TOP - BOTTOM}"'
        return [f'<rect class="cooling-open" x="{left:.1f}" y="{TOP}" {size}/>']

    def _curve(self) -> list[str]:
        minutes = [self.long * step / POINTS for step in range(POINTS + 1)]
        expected = [self.forecast.curve.temperature_c(one) for one in minutes]
        upper = [f"{self.x(m):.1f} {self.y(e.high):.1f}" for m, e in zip(minutes, expected, strict=True)]
        lower = [f"{self.x(m):.1f} {self.y(e.low):.1f}" for m, e in zip(minutes, expected, strict=True)]
        middle = [f"{self.x(m):.1f} {self.y(e.median):.1f}" for m, e in zip(minutes, expected, strict=True)]
        return [
            f'<path class="cooling-doubt" d="M{"L".join([*upper, *reversed(lower)])}Z"/>',
            f'<path class="cooling-curve" d="M{"L".join(middle)}"/>',
        ]

    def _limits(self) -> list[str]:
        procedure = self.state.procedure
        if procedure is None:
            return []
        unit = procedure.temperature_unit
        parts = []
        for value, typed in (
            (self.most, procedure.interpass_greatest),
            (self.least, procedure.preheat_least),
        ):
            if value is None:
                continue
            y = self.y(value)
            parts.append(f'<path class="cooling-limit" d="M{LEFT} {y:.1f}H{RIGHT}"/>')
            parts.append(_text(LEFT - 6, y + 5, degrees(typed, unit), "end"))
        return parts

    def _readings(self) -> list[str]:
        """A ring for a figure, a wedge for a crayon: it points to the side on which the joint is."""
        parts = []
        for one in self.read:
            x = self.x(minutes_between(self.forecast.ended_at, one.done_at))
            y = self.y(celsius(one.value, one.unit))
            if one.crayon == "above":
                parts.append(f'<path class="cooling-read" d="M{x - 7:.1f} {y:.1f}h14l-7 -11z"/>')
            elif one.crayon:
                parts.append(f'<path class="cooling-read" d="M{x - 7:.1f} {y:.1f}h14l-7 11z"/>')
            else:
                parts.append(f'<circle class="cooling-read" cx="{x:.1f}" cy="{y:.1f}" r="6"/>')
        return parts

    def _now(self) -> list[str]:
        if self.since > self.long:
            return []
        x = self.x(self.since)
        anchor = "end" if x > WIDTH - 80 else "start"
        shift = -5 if anchor == "end" else 5
        return [
            f'<path class="cooling-now" d="M{x:.1f} {TOP}V{HEIGHT - BOTTOM}"/>',
            _text(x + shift, TOP + 14, _("now"), anchor),
        ]
