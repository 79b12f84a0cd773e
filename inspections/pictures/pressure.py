"""The pressure of a closed housing over time: as read, at one temperature, and what it may lose."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _

from inspections.pictures.drawing import HAIR, LINE, NOTE, WORDS, Drawing, Picture, dots, polyline
from inspections.pictures.figures import figure

HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 360.0, 84.0, 456.0, 26.0, 276.0


def pressure_picture(
    minutes: Sequence[float],
    pressures: Sequence[float],
    steady: Sequence[float],
    *,
    unit: str = "psi",
    places: int = 2,
    over: float = 5.0,
    upper: str | None = None,
    value: str | None = None,
) -> Picture:
    """A pressure log.

    Parameters
    ----------
    minutes : n >= 2 ascending; pressures : as read; steady : the same brought to the first temperature
    over : minutes for which the loss is stated; upper : what it may be, as text; value : what it is
    """
    span = minutes[-1] - minutes[0]
    allowed = steady[0] - (float(upper) if upper is not None else 0.0) * span / over
    high, low = max(*pressures, *steady), min(*pressures, *steady, allowed)
    tall = (BOTTOM - TOP) / (high - low) if high > low else 0.0

    def at(minute: float, pressure: float) -> tuple[float, float]:
        return (LEFT + (minute - minutes[0]) / span * (RIGHT - LEFT), BOTTOM - (pressure - low) * tall)

    drawing = Drawing(HEIGHT)
    drawing.path(polyline([(LEFT - 12, TOP - 8), (LEFT - 12, BOTTOM + 12), (RIGHT + 8, BOTTOM + 12)]), LINE)
    for pressure in dict.fromkeys((high, low)):
        y = at(minutes[0], pressure)[1]
        drawing.line((LEFT - 20, y), (LEFT - 12, y), LINE)
        drawing.text((LEFT - 24, y + 7), figure(pressure, places), NOTE, "end")
    if upper is not None:
        drawing.line(at(minutes[0], steady[0]), at(minutes[-1], allowed), LINE, dash="9 7")
    read = [at(*pair) for pair in zip(minutes, pressures, strict=True)]
    held = [at(*pair) for pair in zip(minutes, steady, strict=True)]
    if list(pressures) != list(steady):
        drawing.path(polyline(read), HAIR)
    drawing.path(polyline(held), LINE + 0.6)
    drawing.path(dots(held), 9, ends="round")
    for minute, anchor in ((minutes[0], "start"), (minutes[-1], "end")):
        drawing.text((at(minute, low)[0], BOTTOM + 38), f"{minute:g} min", NOTE, anchor)
    found = value if value is not None else figure((steady[0] - steady[-1]) * over / span, places)
    drawing.text((RIGHT, HEIGHT - 8), f"{found} {unit}", WORDS, "end", bold=True, room=330)
    facts = {
        "found": f"{found} {unit}",
        "over": f"{over:g}",
        "upper": f"{upper} {unit}",
        "start": f"{figure(pressures[0], places)} {unit}",
        "minutes": f"{span:g}",
    }
    alt = _(
        "Pressure over %(minutes)s minutes, from %(start)s: at one temperature it loses %(found)s in "
        "%(over)s minutes."
    )
    caption = _("The thick line is the pressure at the temperature of the start")
    caption += _("; the thin one as it was read.") if list(pressures) != list(steady) else "."
    if upper is not None:
        alt += " " + _("It may lose up to %(upper)s.")
        caption += " " + _("Dashed: what it may lose, %(upper)s in %(over)s minutes.")
    return drawing.picture(alt % facts, caption % facts)
