"""Which welds of a housing heat each other enough that the wait before a test starts again.

Common practice, no source: welds on the same end of a tube, and what touches the center section. A shop whose
procedure draws the line wider waits longer than the clock says.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Protocol

__all__ = ["NEAR", "are_near"]


class Placed(Protocol):
    """What of a joint says where it is."""

    @property
    def kind(self) -> str: ...
    @property
    def side(self) -> str: ...


_PAIRS = (
    ("snout", "rosette"),
    ("snout", "bracket"),
    ("rosette", "bracket"),
    ("bracket", "washer"),
    ("bracket", "truss"),
    ("truss", "seam"),
    ("truss", "rib"),
    ("truss", "armor"),
    ("seam", "rib"),
    ("seam", "armor"),
    ("seam", "fitting"),
    ("rib", "armor"),
    ("armor", "armor"),
    ("armor", "fitting"),
)
NEAR: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        kind: frozenset(b if a == kind else a for a, b in _PAIRS if kind in {a, b})
        for kind in sorted({kind for pair in _PAIRS for kind in pair})
    }
)
"""Kinds of joints (`housings.engineering.joints.JointKind`) by a kind: those near it."""


def are_near(one: Placed, other: Placed) -> bool:
    """Whether a weld of one joint heats another one; of joints that have a side, only on the same side.

    A joint is near itself.
    """
    if one == other:
        return True
    if one.side and other.side and one.side != other.side:
        return False
    return other.kind in NEAR.get(one.kind, ())
