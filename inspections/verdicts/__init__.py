"""From raw readings to a verdict: which geometry answers for which kind of characteristic.

The arithmetic stands in `inspections.metrology`; here is only what a stored
reading of each kind looks like and how it is handed over. A change that
gives another value or verdict for the same raw reading needs a new
``ENGINE``, and the old one stays so that stored readings can be recomputed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext_lazy as _

from inspections.verdicts import engine_1, engine_2
from inspections.verdicts.asked import GO, NO_GO, Asked, Judged, Rule
from inspections.verdicts.engine_2.ends import could_change_by_rolling
from inspections.verdicts.typed import (
    INCH_IN_MM,
    LARGEST,
    LENGTHS,
    MOST_DIGITS,
    MOST_POINTS,
    as_text,
    as_typed,
    in_unit,
    significant,
)
from shopqc.refusals import refuse, register

__all__ = [
    "ENGINE",
    "GO",
    "INCH_IN_MM",
    "LARGEST",
    "LENGTHS",
    "MOST_DIGITS",
    "MOST_POINTS",
    "NO_GO",
    "Asked",
    "Judged",
    "Rule",
    "as_text",
    "as_typed",
    "could_change_by_rolling",
    "in_unit",
    "judge",
    "judge_or_refuse",
    "significant",
]

ENGINE = "2"
ENGINES = {"1": engine_1.KINDS, "2": engine_2.KINDS}

register(422, {"reading_wrong": _("%(name)s: %(why)s")})


def judge(asked: Asked, raw: Mapping[str, Any], engine: str = ENGINE) -> Judged:
    """Judge one raw reading.

    Raises
    ------
    ValueError
        With a sentence: the raw reading is not of this kind, its geometry cannot be worked out, or the engine
        does not know the kind.
    """
    if not isinstance(raw, Mapping):
        raise ValueError("A reading is an object with named figures.")
    if not isinstance(raw.get("unit", ""), str):
        raise ValueError("The unit is a word, such as in or mm.")
    kinds = ENGINES.get(engine)
    if kinds is None:
        raise ValueError(f"There is no engine {engine}.")
    if asked.kind not in kinds:
        raise ValueError(f"Engine {engine} knows no characteristic of the kind {asked.kind}.")
    return kinds[asked.kind](asked, raw)


def judge_or_refuse(asked: Asked, raw: Mapping[str, Any], *, name: str, pointer: str) -> Judged:
    """`judge`, with what is wrong as a refusal of that input."""
    try:
        return judge(asked, as_typed(raw))
    except ValueError as error:
        raise refuse("reading_wrong", pointer, name=name, why=str(error)) from error
