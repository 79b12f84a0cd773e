"""The welding bench as it stands at a moment: every joint there, in the order in which it is best welded."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from functools import cached_property

from housings import gate
from housings.engineering.cooling import (
    CoolingCurve,
    Rotation,
    WaitingJoint,
    next_joints,
    worth_in_rotation,
)
from housings.joint_cooling import AIR_C, forecast, prior_of, priors, window_of, windows_ahead
from housings.rules import reasons_of_away, reasons_of_holds, reasons_of_state
from housings.situations import situations_of
from housings.weld_clock import ARC_MINUTES, Axis, Line, Stand, line_of
from housings.weld_queries import JointState, joints_at_the_bench
from housings.weld_rules import reasons_of_joint, standing_joints
from shopqc.people import Actor
from shopqc.refusals import Reason

# Somebody whose last pass is longer ago is not counted among those who weld now.
AT_THE_BENCH_FOR = datetime.timedelta(minutes=30)
USUAL_PASS = 5
# About the temperature that lets an arc start: the clock says that by itself, with the time.
OF_TEMPERATURE = frozenset(
    {
        "heat_not_read",
        "heat_read_elsewhere",
        "heat_too_old",
        "too_cold",
        "too_hot",
        "low_end_open",
        "high_end_open",
        "weld_complete",
    }
)
# About who asks: another person may weld it.
OF_THE_PERSON = ("arc_elsewhere", "welder_")
_GROUPS = (
    {Stand.ARC},
    {Stand.WELD, Stand.START, Stand.READ, Stand.WAIT, Stand.REHEAT},
    {Stand.BLOCKED},
    {Stand.COUNT},
    {Stand.ENOUGH},
)


class Bench:
    """Everything that the clock shows, from a fixed number of queries.

    Attributes
    ----------
    lines : list of Line
        Arcs that burn, then what is best welded next, then what something is in the way of, then what is
        counted, then what is done.
    """

    def __init__(self, actor: Actor, at: datetime.datetime) -> None:
        self.actor, self.at = actor, at
        # To the minute: a page that is asked twice in one minute says the same.
        self.axis = Axis(at.replace(second=0, microsecond=0))
        states = joints_at_the_bench(actor)
        self._priors = priors()
        self._situations = situations_of(list({one.housing.pk: one.housing for one in states}.values()))
        for pk, situation in self._situations.items():
            situation.keep(standing_joints, [one for one in states if one.housing.pk == pk])
        self.lines = [self._line(state) for state in states]
        self.lines = self._in_order(self.lines)

    def reasons(self, state: JointState) -> list[Reason]:
        """What is against the next pass of a joint besides its temperature, whoever welds it."""
        situation = self._situations[state.housing.pk]
        step = gate.NextPass(state.joint, self.actor, self.at)
        found = reasons_of_state(state.housing) + reasons_of_holds(situation.holds)
        found += reasons_of_away([state.visit] if state.visit else [])
        found += reasons_of_joint(state, self.at, situation.in_use)
        return [
            one for one in [*found, *gate.reasons_beyond(situation, step)] if one.code not in OF_TEMPERATURE
        ]

    def of_housing(self, serial: str) -> list[Line]:
        """The lines of one housing, the one to weld next first."""
        return [line for line in self.lines if line.state.housing.serial == serial]

    @cached_property
    def rotation(self) -> Rotation | None:
        """How many joints in turn still gain something; ``None`` if nothing here takes several passes."""
        first = next((line.state for line in self.lines if line.waits and line.state.procedure), None)
        if first is None or first.procedure is None:
            return None
        prior = prior_of(first.joint.kind, self._priors)
        usual = CoolingCurve.fit([], pass_number=USUAL_PASS, ambient_c=AIR_C, prior=prior)
        window = window_of(usual, first.procedure)
        if window is None or window.opens is None:
            return None
        # Of what is usual, and so by the middle of the forecast, not by its careful ends.
        closes = window.closes_median
        closes = None if closes is None else max(closes, window.opens)
        return worth_in_rotation(window.opens, closes, ARC_MINUTES, self.welders)

    @cached_property
    def welders(self) -> int:
        """How many people weld at the bench now: an arc is on, or a pass of theirs ended a while ago."""
        return _welders([line.state for line in self.lines], self.at)

    def side_is_due(self, line: Line) -> bool:
        """Whether the other side of the housing is ahead: left and right in turn, against distortion."""
        joint = line.state.joint
        others = [
            other.state.done
            for other in self.of_housing(line.state.housing.serial)
            if joint.side and other.state.joint.kind == joint.kind and other.state.joint.side != joint.side
        ]
        return any(done > line.state.done for done in others)

    def _line(self, state: JointState) -> Line:
        cools = None
        if state.joint.is_multipass:
            prior = prior_of(state.joint.kind, self._priors)
            cools = forecast(state.passes, state.temperatures, state.procedure, prior)
        return line_of(state, self.reasons(state), cools, self.axis)

    def _in_order(self, lines: list[Line]) -> list[Line]:
        waiting = [self._waiting(line) for line in lines if line.waits]
        states = [line.state for line in lines]
        free = _welders(states, self.at) - sum(state.arc is not None for state in states)
        # Joints with the arc on are under way too, and take no part in the order.
        burning = sum(line.stand is Stand.ARC for line in lines)
        most = None if self.rotation is None else max(0, self.rotation.joints - burning)
        suggested = next_joints(waiting, 0, max(1, free), most_in_rotation=most)
        turn = {one.key: number for number, one in enumerate(suggested)}
        last_open = max((turn[line.key] for line in lines if self._is_open(line)), default=-1)

        def place(line: Line) -> tuple[int, float]:
            # What has to be reheated anyway can wait a little longer; an open window cannot.
            own: float = turn.get(line.key, 0)
            return _group(line.stand), max(own, last_open + 0.5) if line.stand is Stand.REHEAT else own

        return sorted(lines, key=place)

    def _is_open(self, line: Line) -> bool:
        closes = line.closes_at
        return line.stand in {Stand.WELD, Stand.READ} and closes is not None and closes > self.axis.now

    def _waiting(self, line: Line) -> WaitingJoint:
        """A line as the arithmetic of turns takes it: minutes from now."""

        def minutes(moment: datetime.datetime | None) -> float | None:
            return None if moment is None else (moment - self.axis.now).total_seconds() / 60

        state = line.state
        opens = 0.0 if line.stand in {Stand.WELD, Stand.START} else minutes(line.opens_at) or 0.0
        return WaitingJoint(
            key=line.key,
            opens=opens,
            closes=minutes(line.closes_at),
            passes_left=max(1, state.missing),
            arc_minutes=ARC_MINUTES,
            is_new=not state.passes,
            housing=state.housing.serial,
            side=state.joint.side,
            then=self._then(line),
        )

    def _then(self, line: Line) -> tuple[tuple[float, float | None], ...]:
        state, curve = line.state, line.forecast.curve if line.forecast else None
        if state.procedure is None:
            return ((0.0, None),)
        prior = prior_of(state.joint.kind, self._priors)
        return windows_ahead(curve, state.next_number, state.missing, state.procedure, prior)


def _group(stand: Stand) -> int:
    return next(number for number, group in enumerate(_GROUPS) if stand in group)


def _welders(states: Sequence[JointState], at: datetime.datetime) -> int:
    people = {state.arc.welder_id for state in states if state.arc is not None}
    people |= {
        one.welder_id for state in states for one in state.passes[-1:] if at - one.done_at <= AT_THE_BENCH_FOR
    }
    return max(1, len(people))
