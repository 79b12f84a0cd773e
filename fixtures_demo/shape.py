"""The shape of one invented housing: everything its gauges could read of it, in one frame.

Lengths in inches, angles in degrees. The frame is that of the drawing: x along axis A-B from the left to the
right end, y up, z out of the face; A-B is the line through the centers of the two journals. Seen from behind,
forward is away from the face (-z).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

SIDES = ("left", "right")
# How far out the tube goes, as a part of the way to the journal: beyond it the snout is straight.
TUBE_END = 0.64
Point = tuple[float, float, float]


@dataclass(frozen=True)
class End:
    """One end: how far it points up and forward, and how its tube is bowed besides.

    `up`, `forward`: degrees against A-B, positive up and forward; an end that points up has negative camber,
    one that points forward has toe-in. `bow`: how far the tube's middle is off its own straight line, up.
    `journal`: diameter; `journal_form`: how much it is out of round and taper, in diameter. `wobble`: how far
    the section under the indicator is off A-B.
    """

    up: float = 0.0
    forward: float = 0.0
    bow: float = 0.0
    journal: float = 2.5
    journal_form: float = 0.00008
    wobble: float = 0.001
    wobble_at: float = 40.0


@dataclass(frozen=True)
class Face:
    """The face: where it stands, how it is turned, and how it is bent.

    `distance` from A-B at its middle; `rise`: how much farther from A-B over 12 in to the right; `pitch`:
    degrees about A-B; `flatness`: width of the narrowest zone that holds it; `saddle`: how much of it is a
    saddle (two up, two down), the rest a bowl; `turned`: where the saddle's ridge lies, degrees.
    `thickness`: of the ring at its thinnest point.
    """

    distance: float = 2.5
    rise: float = 0.0
    pitch: float = 0.0
    flatness: float = 0.002
    saddle: float = 0.8
    turned: float = 20.0
    thickness: float = 0.625


@dataclass(frozen=True)
class Shape:
    """A housing as it is at one moment.

    `pilot`: height of the pilot bore's center above A-B; `pilot_bore`: its diameter; `holes`: how far each
    hole is from where it should be, x and y; empty before they are drilled. `loss`: of pressure in 5 minutes
    once the housing is closed, psi.
    `sizes`: what else a tape or a caliper reads, by characteristic.
    """

    width: float
    tube_bore: float
    snout_bore: float
    ends: Mapping[str, End]
    face: Face = field(default_factory=Face)
    pilot: float = 0.0
    pilot_bore: float = 7.251
    holes: tuple[tuple[float, float], ...] = ()
    loss: float = 0.03
    sizes: Mapping[str, float] = field(default_factory=dict)

    def center(self, along: float) -> tuple[float, float]:
        """Forward and upward offset of the middle of tube and snout from A-B, at a place along it.

        The ends are straight but for the bow of the tube, and meet A-B in the journals; a place beyond the
        center of the housing belongs to the other end.
        """
        end = self.ends["left" if along < 0 else "right"]
        reach, out = self.reach, abs(along)
        inward = out - reach
        bow = end.bow * math.sin(math.pi * min(1.0, out / (TUBE_END * reach))) ** 2
        return inward * math.tan(math.radians(end.forward)), inward * math.tan(math.radians(end.up)) + bow

    @property
    def reach(self) -> float:
        """From the middle of the housing to the middle of a journal."""
        return self.width / 2 - 2.0
