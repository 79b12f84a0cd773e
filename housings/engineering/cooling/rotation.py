"""How many joints to keep in rotation at a bench."""

from dataclasses import dataclass

from ..quantities import Quantity, above_zero, number

__all__ = ["Rotation", "worth_in_rotation"]

_LEAST_GAIN = 0.10
_MOST = 12


@dataclass(frozen=True, slots=True)
class Rotation:
    """What keeping so many joints in rotation brings.

    Attributes
    ----------
    joints : int
        How many are still worth it.
    minutes_a_pass : tuple of float
        Time of the bench per pass with 1, 2, … joints in rotation, up to the first that is not worth it.
    reason : str
        Why no more.
    """

    joints: int
    minutes_a_pass: tuple[float, ...]
    reason: str


def worth_in_rotation(
    opens_after: Quantity, closes_after: Quantity | None, arc_minutes: Quantity, welders: int = 1
) -> Rotation:
    """How many joints in rotation still gain something.

    With n joints in turn, w welders, arc a and wait W, a round takes max(W + a, n a / w); a pass takes 1/n of
    that. One more joint is worth it if it takes a tenth off that, and if the round still comes back before
    the window closes at C: n a / w - a <= C.

    Parameters
    ----------
    opens_after, closes_after : Quantity >= 0
        W and C, of a usual pass, minutes since the end of the arc; `closes_after` None: never.
    arc_minutes : Quantity > 0
        a, with the change-over.
    welders : int >= 1

    Raises
    ------
    ValueError
        For what is no number or cannot be.

    Examples
    --------
    A wait of 4 minutes, a window until 15, 4.75 minutes of work: a third joint brings nothing.

    >>> worth_in_rotation(4, 15, "4.75").joints
    2
    >>> worth_in_rotation("8.4", 20, "4.75").joints
    3
    """
    wait, arc = number(opens_after, "opens after"), above_zero(arc_minutes, "arc minutes")
    if wait < 0:
        raise ValueError("opens after: minutes since the end of the arc are zero or more.")
    closes = None if closes_after is None else number(closes_after, "closes after")
    if closes is not None and closes < wait:
        raise ValueError("A window closes after it opens.")
    if isinstance(welders, bool) or not isinstance(welders, int) or welders < 1:
        raise ValueError("welders: somebody has to weld.")
    found = [wait + arc]
    while len(found) < _MOST * welders:
        joints = len(found) + 1
        found.append(max(wait + arc, joints * arc / welders) / joints)
        if closes is not None and joints * arc / welders - arc > closes:
            return Rotation(joints - 1, tuple(found), "With one more, windows close before their turn comes.")
        if found[-1] > (1 - _LEAST_GAIN) * found[-2]:
            return Rotation(joints - 1, tuple(found), "With one more, the bench gains less than a tenth.")
    return Rotation(len(found), tuple(found), "More than this no bench keeps apart.")
