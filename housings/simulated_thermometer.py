"""What a pretended thermometer shows: for trying the program out, never taken for measured.

A joint of its own: what is usual, up to a few percent hotter or colder, the same for a joint however
often it is asked, with the noise of a thermometer.
"""

from __future__ import annotations

import datetime
import random
from typing import Any

from housings.engineering.cooling import CoolingCurve, minutes_between
from housings.engineering.temperatures import in_fahrenheit
from housings.joint_cooling import AIR_C
from housings.weld_queries import JointState

NAME = "simulated"
UNLIKE_USUAL, NOISE_C = 0.06, 2.0
# Before the first pass it is as warm as the procedure asks, and a little more.
ABOVE_LEAST_F = 15


def simulated_temperature(state: JointState, at: datetime.datetime) -> dict[str, Any]:
    """One reading where the procedure asks for it, as the operations take it, marked as simulated."""
    procedure = state.procedure
    unit = procedure.temperature_unit if procedure else "F"
    own = random.Random(f"{state.housing.serial} {state.joint.code}").uniform(-1, 1)
    noise = random.Random(f"{state.housing.serial} {state.joint.code} {at:%H:%M:%S}").gauss(0, NOISE_C)
    last = state.last_arc_at
    if last is None:
        least = procedure.preheat_least if procedure else None
        fahrenheit = 70.0 if least is None else float(in_fahrenheit(least, unit)) + ABOVE_LEAST_F
        celsius = (fahrenheit - 32) * 5 / 9 + noise
    else:
        usual = CoolingCurve.fit([], pass_number=min(state.next_number - 1, 5) or 1, ambient_c=AIR_C)
        rise = usual.temperature_c(minutes_between(last, max(at, last))).median - AIR_C
        celsius = AIR_C + rise * (1 + UNLIKE_USUAL * own) + noise
    value = celsius if unit == "C" else celsius * 9 / 5 + 32
    return {
        "value": f"{value:.0f}",
        "unit": unit,
        "place": procedure.measured_at if procedure else "stop",
        "thermometer": NAME,
        "simulated": True,
    }
