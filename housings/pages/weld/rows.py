"""The lines of the clock as its page shows them: with address, buttons and the bar's places as text."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.utils.translation import gettext as _

from housings.pages.weld.taps import Tap, tap_of
from housings.weld_bench import Bench
from housings.weld_clock import Line, Stand, clock
from housings.weld_words import passes_words
from shopqc.dispatch import new_key

# What is told in one line of its housing: nobody waits for it to cool.
BRIEF = frozenset({Stand.COUNT, Stand.ENOUGH})


@dataclass(frozen=True)
class Row:
    """One line of the page.

    ``key`` is that of the operation which its button runs, so that a double tap is one. ``is_first``: it is
    what is proposed next.
    """

    line: Line
    passes: str
    tap: Tap | None
    key: str
    is_first: bool
    why: tuple[str, ...]
    bar_words: str

    @property
    def is_whole(self) -> bool:
        """Whether it has a line of its own."""
        return self.line.state.joint.is_multipass and self.line.stand is not Stand.ENOUGH

    @property
    def anchor(self) -> str:
        return f"{self.line.state.housing.serial}-{self.line.state.joint.code}"


def rows_of(bench: Bench, stamp: str) -> list[Row]:
    """Every line; ``stamp`` is that of who may record a pass, empty for those who only look."""
    first = next((line for line in bench.lines if line.waits), None)
    arcs = [line.state.arc for line in bench.lines if line.state.arc is not None]
    burns = any(arc.welder.stamp == stamp for arc in arcs)
    # Whose arc is on records that pass first.
    return [
        _row(bench, line, "" if burns and line.state.arc is None else stamp, line is first)
        for line in bench.lines
    ]


def _row(bench: Bench, line: Line, stamp: str, is_first: bool) -> Row:
    why = line.why
    if is_first and bench.side_is_due(line):
        why = (*why, _("The other side has more passes: left and right in turn, against distortion."))
    now = bench.axis.now
    return Row(
        line,
        passes_words(line.state),
        tap_of(line.state, line.stand, stamp, bench.at) if stamp else None,
        new_key(),
        is_first,
        why,
        _bar_words(line, now),
    )


def _bar_words(line: Line, now: datetime.datetime) -> str:
    """The bar in words."""
    if line.opens_at is None:
        return ""
    opens = clock(line.opens_at, now)
    if line.closes_at is None:
        return _("open from %(opens)s on") % {"opens": opens}
    closes = clock(line.closes_at, now)
    return _("open from %(opens)s to %(closes)s") % {"opens": opens, "closes": closes}
