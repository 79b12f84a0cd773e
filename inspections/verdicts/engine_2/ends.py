"""The ends: camber and toe from an alignment bar, and the room that the ordered shaft has."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from inspections import metrology
from inspections.metrology import Bar, Contribution, Rolled
from inspections.metrology.numbers import exact
from inspections.verdicts.asked import Asked, Judged
from inspections.verdicts.engine_2 import doubt
from inspections.verdicts.engine_2 import raw as reading
from inspections.verdicts.engine_2.decided import computed
from inspections.verdicts.typed import INCH_IN_MM, need, significant

# How well the sag of a bar is known that was computed from its size and not rolled out.
SAG_KNOWN = 0.2
BAR = SAG, STRAIGHTNESS = "bar_sag", "bar_straightness"


def end_alignment(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"z": […], "x": […], "y": […], "rolled_x": […]?, "rolled_y": […]?, "unit": "in"}``: camber or toe.

    Offsets of the housing from the bar along both ends, forward (x) and up (y); ``rolled``: the same stations
    once more with the housing rolled 180°, which takes the bar and its sag out.
    """
    need(raw, "z", "x", "y", optional=["unit", "rolled_x", "rolled_y"])
    if ("rolled_x" in raw) != ("rolled_y" in raw):
        raise ValueError("A rolled housing is read forward and up; one of the two is missing.")
    end, angle = _asked_for(asked)
    limits, asked = asked, doubt.in_lengths(asked)
    z = reading.figures(asked, raw, "z", 2)
    x, y = (reading.true_figures(asked, raw, name, 2) for name in ("x", "y"))
    reading.same_length(z=z, x=x, y=y)
    # Rolled, the bar drops out, whatever is known of it.
    bar = None if "rolled_x" in raw else _bar(asked)
    support: Bar | Rolled | None = bar
    if "rolled_x" in raw:
        rolled = [reading.true_figures(asked, raw, name, 2) for name in ("rolled_x", "rolled_y")]
        reading.same_length(z=z, rolled_x=rolled[0], rolled_y=rolled[1])
        support = Rolled(*rolled)
    found = metrology.end_alignment(z, x, y, support)
    pointing = found.left if end == "left" else found.right
    if pointing is None:
        raise ValueError(f"The {end} end has fewer than two stations.")
    value = pointing.camber if angle == "camber" else pointing.toe
    expanded = float(exact(asked.basis.get("gauge_uncertainty") or "0", "The gauge's uncertainty"))
    # Half the difference of two readings carries less of the gauge than one reading does.
    times = 1.0 if "rolled_x" in raw else math.sqrt(2)
    turned = doubt.half_angle(expanded * times, pointing.reach) / doubt.COVERAGE
    parts = [Contribution(turned, name="gauge")] if turned else []
    if support is bar and bar is not None:
        parts += _bar_doubt(asked, bar, z, end, angle, pointing.reach)

    def said(inches: float) -> str:
        """A length in the unit that was typed."""
        return significant(inches * (float(INCH_IN_MM) if raw.get("unit") == "mm" else 1.0))

    detail = {
        "end": end,
        "angle": angle,
        "unit": raw.get("unit", "in"),
        "reach": said(pointing.reach),
        "bow": None if pointing.bow is None else said(pointing.bow),
        "bow_station": None if pointing.bow_station is None else said(pointing.bow_station),
        "move_up": said(pointing.move_up),
        "move_forward": said(pointing.move_forward),
        "rolled": "rolled_x" in raw,
        "bar": support is bar and bar is not None,
        "sag": None if found.sag is None else [said(part) for part in found.sag],
        "ends": {
            side: {"camber": significant(one.camber), "toe": significant(one.toe)}
            for side, one in (("left", found.left), ("right", found.right))
            if one is not None
        },
    }
    return computed(limits, value, parts, detail)


def shaft_clearance(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"z": […], "x": […], "y": […], "bore": […], "unit": "in"}``: least room round the ordered shaft."""
    need(raw, "z", "x", "y", "bore", optional=["unit"])
    z = reading.figures(asked, raw, "z", 2)
    x, y, bore = (reading.true_figures(asked, raw, name, 2) for name in ("x", "y", "bore"))
    reading.same_length(z=z, x=x, y=y, bore=bore)
    shaft = asked.parameters.get("shaft_diameter")
    if shaft is None:
        raise ValueError("The plan names no shaft for this end.")
    found = metrology.shaft_clearance(z, x, y, bore, shaft)
    detail = {
        "shaft": str(shaft),
        "where": significant(found.where),
        "clearances": [significant(one) for one in found.clearances],
        "largest": significant(found.largest),
        "tilt_error": significant(found.tilt_error),
    }
    # Half of a bore's error, and all of an offset's.
    return computed(asked, found.least, doubt.gauge(asked, math.hypot(0.5, 1)), detail)


def could_change_by_rolling(asked: Asked, judged: Judged) -> bool:
    """Whether rolling the housing 180° and reading once more could give another verdict.

    So it is where the bar was relied on, and a value that lies elsewhere within what the bar leaves in doubt,
    with that doubt gone, would be judged otherwise; and where it was read from a bar that nobody named, whose
    sag is still in it.
    """
    if judged.detail.get("rolled") is False and judged.detail.get("sag") is None:
        return asked.setup.get("support") == "bar" and judged.detail.get("angle") == "camber"
    if judged.detail.get("bar") is not True:
        return False
    of_bar = math.hypot(
        *(float(part["uncertainty"]) for part in judged.detail.get("budget", ()) if part["name"] in BAR)
    )
    whole = float(judged.uncertainty or "0")
    rest = Fraction(math.sqrt(max(whole**2 - of_bar**2, 0.0)))
    value = Fraction(judged.value)
    return any(
        metrology.decide(
            value + shift, (asked.lower, asked.upper), expanded_uncertainty=rest, rule=asked.rule
        ).verdict
        != judged.verdict
        for shift in (-Fraction(of_bar), Fraction(0), Fraction(of_bar))
    )


def _asked_for(asked: Asked) -> tuple[str, str]:
    angle, _, end = str(asked.parameters.get("quantity", "")).partition("_")
    if angle not in {"camber", "toe"} or end not in {"left", "right"}:
        raise ValueError("The plan does not say which angle of which end is meant.")
    return end, angle


def _bar(asked: Asked) -> Bar | None:
    said = asked.basis.get("bar")
    if not said:
        return None
    unit = said.get("unit", "in")
    supports = _pair(said.get("supports"), "The bar's supports")
    if supports is None:
        raise ValueError("The bar has no supports on file, so its sag is not known; enter them, or roll it.")
    return Bar(
        _in(exact(said.get("diameter", ""), "The bar's diameter"), unit),
        supports=[_in(part, unit) for part in supports],
        bore=_in(exact(said.get("bore") or "0", "The bar's bore"), unit),
        ends=_ends(said.get("ends"), unit),
    )


def _ends(said: Any, unit: str) -> list[Fraction] | None:
    found = _pair(said, "The bar's ends")
    return None if found is None else [_in(part, unit) for part in found]


def _in(value: Fraction, unit: str) -> Fraction:
    return value / INCH_IN_MM if unit == "mm" else value


def _pair(said: Any, what: str) -> list[Fraction] | None:
    """Two stations, as a list or as text such as "-30 30"."""
    if said in (None, "", []):
        return None
    parts = said if isinstance(said, list | tuple) else str(said).replace(";", " ").split()
    if len(parts) != 2:
        raise ValueError(f"{what} are two stations, left and right.")
    return [exact(str(part), what) for part in parts]


def _bar_doubt(
    asked: Asked, bar: Bar, z: list[Fraction], end: str, angle: str, reach: float
) -> list[Contribution]:
    """What a bar that was not rolled out leaves in doubt, as an angle of one end."""
    parts = []
    if angle == "camber":
        still = [Fraction(0)] * len(z)
        sagging = metrology.end_alignment(z, still, still, bar)
        pointing = sagging.left if end == "left" else sagging.right
        assert pointing is not None
        parts += doubt.within(abs(pointing.camber) * SAG_KNOWN, SAG)
    said = asked.basis["bar"]
    straightness = float(
        _in(exact(str(said.get("straightness") or "0"), "The bar's straightness"), said.get("unit", "in"))
    )
    if straightness:
        parts += doubt.within(doubt.half_angle(straightness, reach), STRAIGHTNESS)
    return parts
