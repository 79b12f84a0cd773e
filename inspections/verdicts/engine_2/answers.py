"""What a look or a plug answers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspections import metrology
from inspections.metrology.numbers import exact
from inspections.models.readings import FAIL, PASS
from inspections.verdicts.asked import GO, NO_GO, Asked, Judged
from inspections.verdicts.engine_2.decided import decided
from inspections.verdicts.engine_2.raw import number
from inspections.verdicts.typed import as_text, need

MOST_TURNS = 50
YES, NO = "yes", "no"


def go_no_go(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"result": "go"}`` or ``{"result": "no_go"}``: what a look answers."""
    need(raw, "result")
    match raw["result"]:
        case "go":
            return Judged(GO, PASS)
        case "no_go":
            return Judged(NO_GO, FAIL)
    raise ValueError("The result is go or no_go.")


def thread_gauge(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"go": "yes", "no_go_turns": "1.5"}``: whether the go plug enters, how far the no-go plug does."""
    need(raw, "go", "no_go_turns")
    if raw["go"] not in (YES, NO):
        raise ValueError("Whether the go plug enters is yes or no.")
    turns = number(raw["no_go_turns"], "The turns of the no-go plug")
    if turns > MOST_TURNS:
        raise ValueError(f"{MOST_TURNS} turns of a no-go plug are more than a thread of this kind has.")
    found = metrology.gauged_thread(raw["go"] == YES, turns)
    value = GO if found.verdict == "pass" else NO_GO
    detail = {"why": found.why, "go": raw["go"], "no_go_turns": as_text(turns)}
    return Judged(value, found.verdict, detail)


def taper_turns(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"turns": "0.5"}``: how far the notch of a taper plug is below the face (+) or above it (-)."""
    need(raw, "turns")
    turns = number(raw["turns"], "The turns from the notch")
    if abs(turns) > MOST_TURNS:
        raise ValueError(f"{MOST_TURNS} turns are more than a taper thread has.")
    too = "large" if asked.upper and turns > exact(asked.upper, "limit") else ""
    too = "small" if asked.lower and turns < exact(asked.lower, "limit") else too
    return decided(asked, turns, str(raw["turns"]).strip(), [], {"too": too})
