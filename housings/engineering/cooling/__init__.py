"""Cooling between the passes of a joint: how it cools on, when it may be welded, which is next.

Simulated joints are all that this was tried on. It says when to look; a reading at the stop point releases.
"""

from .curve import CoolingCurve, Crossing, Temperature
from .elapsed import minutes_between
from .learning import CooledPass, learn, remember
from .memory import JointMemory
from .prior import DEFAULT_PRIOR, CoolingPrior
from .readings import CrayonBound, Observation, Place, TemperatureReading
from .rotation import Rotation, worth_in_rotation
from .scheduling import Suggestion, next_joints
from .waiting import WaitingJoint
from .windows import Window, released_at, window, windows_to_come

__all__ = [
    "DEFAULT_PRIOR",
    "CooledPass",
    "CoolingCurve",
    "CoolingPrior",
    "CrayonBound",
    "Crossing",
    "JointMemory",
    "Observation",
    "Place",
    "Rotation",
    "Suggestion",
    "Temperature",
    "TemperatureReading",
    "WaitingJoint",
    "Window",
    "learn",
    "minutes_between",
    "next_joints",
    "released_at",
    "remember",
    "window",
    "windows_to_come",
    "worth_in_rotation",
]
