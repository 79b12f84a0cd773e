"""A value, its doubt and its limits make a verdict."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from inspections import metrology
from inspections.metrology import Contribution
from inspections.verdicts.asked import Asked, Judged
from inspections.verdicts.engine_2 import doubt
from inspections.verdicts.typed import significant


def decided(
    asked: Asked,
    value: Fraction,
    text: str,
    parts: Sequence[Contribution],
    detail: dict[str, Any],
    verdict: str | None = None,
) -> Judged:
    """Judge an exact value; ``text`` is how it is kept, ``verdict`` what exact squares have said already."""
    uncertainty, budget = doubt.expanded(parts)
    decision = metrology.decide(
        value, (asked.lower, asked.upper), expanded_uncertainty=uncertainty, rule=asked.rule
    )
    if budget:
        detail = {**detail, "budget": budget}
    return Judged(
        text,
        verdict if verdict is not None and asked.rule == "simple" else str(decision.verdict),
        detail,
        uncertainty if parts else "",
        significant(decision.probability),
    )


def computed(asked: Asked, value: float, parts: Sequence[Contribution], detail: dict[str, Any]) -> Judged:
    """Judge a value that was computed in floating point: what is kept of it is what is judged."""
    text = significant(value)
    return decided(asked, Fraction(text), text, parts, detail)
