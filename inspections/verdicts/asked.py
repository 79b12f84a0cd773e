"""What a reading is judged against, and what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

Rule = Literal["simple", "guarded", "guarded_95"]
GO, NO_GO = "go", "no_go"


@dataclass(frozen=True)
class Asked:
    """What a reading is judged against.

    Attributes
    ----------
    kind, unit, lower, upper, parameters : of the characteristic, limits as decimal text, None = free
    rule : how uncertainty counts (`metrology.decide`)
    uncertainty : expanded, k = 2, of the gauge; used where ``basis`` names none
    setup : how the part was held, as it was said (`inspections.setup`)
    basis : the figures of gauge, master, bar and temperature that go into it (`inspections.basis`)
    """

    kind: str
    unit: str
    lower: str | None
    upper: str | None
    parameters: Mapping[str, Any] = field(default_factory=dict)
    rule: Rule = "simple"
    uncertainty: str = "0"
    setup: Mapping[str, Any] = field(default_factory=dict)
    basis: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Judged:
    """A value as text, its verdict, and what the picture and the certificate say besides.

    ``uncertainty``: expanded, k = 2, in the unit of the characteristic, empty if nothing is known of it;
    ``probability`` that the feature is within its limits, 0 to 1, empty where that is not asked.
    """

    value: str
    verdict: str
    detail: dict[str, Any] = field(default_factory=dict)
    uncertainty: str = ""
    probability: str = ""
