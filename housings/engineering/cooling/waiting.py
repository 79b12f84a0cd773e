"""A joint at the bench, as far as the order of work needs it."""

import math
from dataclasses import dataclass

from ..quantities import above_zero, number

__all__ = ["WaitingJoint"]


@dataclass(frozen=True, slots=True)
class WaitingJoint:
    """A joint at the bench.

    Minutes on one clock, the same as `now` of `next_joints`.

    Attributes
    ----------
    key : str
        Names the joint; no two alike.
    opens : float
        Announced opening; for a new joint when it is preheated.
    closes : float or None
        Announced closing. None: never. One before `opens` counts as `opens`.
    passes_left : int >= 1
    arc_minutes : float > 0
        Of the next pass, with the change-over.
    is_new : bool
        No pass is laid yet: it waits without cooling, and never closes by itself.
    housing, side : str, optional
        Two joints of one housing with different sides are welded in turn, against distortion, where the
        clock does not decide: the side with more passes left is due.
    then : tuple of (opens, closes), optional
        Expected windows after the coming passes, minutes since the end of each arc (`windows_to_come`); the
        last holds for all later ones. With them `next_joints` looks ahead.

    Raises
    ------
    ValueError
        For what is no number or cannot be.
    """

    key: str
    opens: float
    closes: float | None
    passes_left: int
    arc_minutes: float
    is_new: bool = False
    housing: str = ""
    side: str = ""
    then: tuple[tuple[float, float | None], ...] = ()

    def __post_init__(self) -> None:
        number(self.opens, f"{self.key}: opens")
        above_zero(self.arc_minutes, f"{self.key}: arc minutes")
        if self.closes is not None and number(self.closes, f"{self.key}: closes") < self.opens:
            object.__setattr__(self, "closes", self.opens)
        if (
            isinstance(self.passes_left, bool)
            or not isinstance(self.passes_left, int)
            or self.passes_left < 1
        ):
            raise ValueError(f"{self.key}: a joint that waits has at least one pass left.")
        for opens, closes in self.then:
            if number(opens, f"{self.key}: then opens") < 0:
                raise ValueError(f"{self.key}: windows to come count from the end of their arc.")
            if closes is not None:
                number(closes, f"{self.key}: then closes")

    @property
    def until(self) -> float:
        """When its window closes; ``inf`` for never."""
        return math.inf if self.is_new or self.closes is None else self.closes

    def after_its_pass(self, ended: float) -> "WaitingJoint":
        """The same joint with one pass more, whose arc ended at that minute: as it is expected to cool."""
        opens, closes = self.then[0]
        return WaitingJoint(
            self.key,
            ended + opens,
            None if closes is None else ended + closes,
            self.passes_left - 1,
            self.arc_minutes,
            housing=self.housing,
            side=self.side,
            then=self.then[1:] or self.then,
        )
