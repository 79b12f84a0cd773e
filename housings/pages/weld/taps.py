"""The one tap with which a pass is done: which button a joint offers, and what it says of temperature."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from housings.weld_clock import Stand
from housings.weld_queries import JointState
from housings.weld_words import degrees

PASS, CRAYONS, ALL, ALL_CRAYONS = "pass", "pass_crayons", "pass_all", "pass_all_crayons"


@dataclass(frozen=True)
class Tap:
    """A button: what it does, what it says of the temperature, and of the pass."""

    do: str
    label: str
    read: str = ""


def tap_of(state: JointState, stand: Stand, stamp: str, now: datetime.datetime) -> Tap | None:
    """The one tap for the next pass of a joint, by who has this stamp; ``None`` if it is not the turn.

    ``stand`` is how the joint stands on the clock. Where all numbers of a pass are asked there is no one tap.
    """
    if state.settings is not None and state.settings.each_pass:
        return None
    done = done_words(state)
    if state.arc is not None:
        return Tap(PASS, done) if state.arc.welder.stamp == stamp else None
    if stand is Stand.COUNT:
        more = _("One more is done")
        return Tap(PASS, more) if _is_free(state, now) else Tap(CRAYONS, more, crayon_words(state))
    if stand is Stand.WELD or not crayons(state):
        return Tap(PASS, done) if stand in {Stand.WELD, Stand.START, Stand.READ} else None
    if stand in {Stand.START, Stand.READ}:
        return Tap(CRAYONS, done, crayon_words(state))
    return None


def all_of(state: JointState, now: datetime.datetime) -> str:
    """The button that records at once all that is left of what is counted."""
    return ALL if _is_free(state, now) else ALL_CRAYONS


def _is_free(state: JointState, now: datetime.datetime) -> bool:
    """Whether no temperature has to be said with the tap."""
    return state.release(now).is_free or not crayons(state)


def done_words(state: JointState) -> str:
    """What the main button says."""
    return _("Pass %(number)s done") % {"number": state.next_number}


def crayons(state: JointState, number: int | None = None) -> list[dict[str, Any]]:
    """The two crayons that show that an arc may start: the lower one melted, the upper one did not.

    Before the first pass of a joint, and of what is counted, the lower one alone. ``number`` is the pass that
    is meant, the next one if it is not said.
    """
    procedure = state.procedure
    if procedure is None:
        return []
    unit = procedure.temperature_unit
    asked = [(procedure.preheat_least, "above")]
    if state.joint.is_multipass and (number or state.next_number) > 1:
        asked.append((procedure.interpass_greatest, "below"))
    return [
        {"value": str(value), "unit": unit, "crayon": side, "place": procedure.measured_at}
        for value, side in asked
        if value is not None
    ]


def crayon_words(state: JointState) -> str:
    """What both crayons say, as one sentence."""
    said = [
        (_("%(value)s melted") if one["crayon"] == "above" else _("%(value)s did not"))
        % {"value": degrees(one["value"], one["unit"])}
        for one in crayons(state)
    ]
    return ", ".join(said)


def one_crayon(state: JointState, side: str) -> Sequence[Mapping[str, Any]]:
    """The crayon that says it is still too hot ("above") or too cold already ("below")."""
    procedure = state.procedure
    if procedure is None:
        return []
    value = procedure.interpass_greatest if side == "above" else procedure.preheat_least
    if value is None:
        return []
    return [
        {
            "value": str(value),
            "unit": procedure.temperature_unit,
            "crayon": side,
            "place": procedure.measured_at,
        }
    ]
