"""The tables of the measuring sheet: where the many figures of one measuring are written by hand.

Each kind of measuring has the tables its raw readings need (`inspections.verdicts`), so that what was
written at the bench can be entered later as it stands.
"""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _

from housings.panels import Table
from inspections.models import Characteristic
from inspections.models.plans import (
    END_ALIGNMENT,
    FACE_POINTS,
    FACE_TO_AXIS,
    HOLE_PATTERN,
    PILOT_TO_AXIS,
    PRESSURE_LOSS,
    RUNOUT,
    SHAFT_CLEARANCE,
)

FACE_COLUMNS, MOST_COLUMNS, JOURNAL_COLUMNS, BAR_COLUMNS, BORE_COLUMNS = 12, 16, 8, 8, 6
CLOCK = ("12", *(str(hour) for hour in range(1, 12)))


def tables_of(taken: Sequence[Characteristic]) -> tuple[Table, ...]:
    """The tables of one measuring, whichever figures come from it; none if its blanks are enough."""
    kinds = {characteristic.kind for characteristic in taken}
    points = max(int(c.parameters.get("points_at_least", 1)) for c in taken)
    found: list[Table] = []
    if kinds & {FACE_POINTS, FACE_TO_AXIS}:
        count = min(max(FACE_COLUMNS, points), MOST_COLUMNS)
        found.append(Table(_("Points of the face"), _numbers(count), ("x", "y", "z")))
    if kinds & {FACE_TO_AXIS, PILOT_TO_AXIS}:
        found.append(Table(_("Points of the left journal"), _numbers(JOURNAL_COLUMNS), ("x", "y", "z")))
        found.append(Table(_("Points of the right journal"), _numbers(JOURNAL_COLUMNS), ("x", "y", "z")))
    if PILOT_TO_AXIS in kinds:
        found.append(Table(_("Points of the pilot bore"), _numbers(JOURNAL_COLUMNS), ("x", "y", "z")))
    if HOLE_PATTERN in kinds:
        pattern = next(c for c in taken if c.kind == HOLE_PATTERN)
        count = len(pattern.parameters.get("centers", ())) or FACE_COLUMNS
        found.append(Table(_("Center of each hole"), _numbers(count), ("x", "y")))
    if RUNOUT in kinds:
        title = _("Indicator, by the hours of the clock, in even steps")
        found.append(Table(title, CLOCK, (_("reading"),)))
    if END_ALIGNMENT in kinds:
        along = (_("station"), _("forward"), _("up"), _("forward, rolled"), _("up, rolled"))
        title = _("Stations along the bar; left of the center is minus")
        found.append(Table(title, _numbers(BAR_COLUMNS), along))
    if SHAFT_CLEARANCE in kinds:
        bores = (_("station"), _("forward"), _("up"), _("bore"))
        found.append(Table(_("Bores along the shaft"), _numbers(BORE_COLUMNS), bores))
    if PRESSURE_LOSS in kinds:
        over = max((int(float(c.parameters.get("over_minutes", 5))) for c in taken), default=5)
        minutes = tuple(str(minute) for minute in range(min(over, MOST_COLUMNS - 1) + 1))
        found.append(Table(_("Minutes"), minutes, (_("pressure"), _("temperature"))))
    return tuple(found)


def _numbers(count: int) -> tuple[str, ...]:
    return tuple(str(number) for number in range(1, count + 1))
