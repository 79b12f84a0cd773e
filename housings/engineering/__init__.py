"""Engineering of an axle housing, without a database: stations, route rules, serials, fit rules, welding.

Nothing here imports Django, asks a clock, or reads a file, so every rule can be tried at a prompt.
"""

from .carbon_equivalent import carbon_equivalent
from .cooling import (
    DEFAULT_PRIOR,
    CooledPass,
    CoolingCurve,
    CoolingPrior,
    CrayonBound,
    Crossing,
    JointMemory,
    Rotation,
    Suggestion,
    TemperatureReading,
    WaitingJoint,
    Window,
    learn,
    minutes_between,
    next_joints,
    released_at,
    remember,
    window,
    windows_to_come,
    worth_in_rotation,
)
from .cooling_time import CoolingTime, cooling_time_85
from .groove import Groove, Shrinkage, groove
from .heat_input import heat_input
from .preheat import PreheatAdvice, preheat_advice

__all__ = [
    "DEFAULT_PRIOR",
    "CooledPass",
    "CoolingCurve",
    "CoolingPrior",
    "CoolingTime",
    "CrayonBound",
    "Crossing",
    "Groove",
    "JointMemory",
    "PreheatAdvice",
    "Rotation",
    "Shrinkage",
    "Suggestion",
    "TemperatureReading",
    "WaitingJoint",
    "Window",
    "carbon_equivalent",
    "cooling_time_85",
    "groove",
    "heat_input",
    "learn",
    "minutes_between",
    "next_joints",
    "preheat_advice",
    "released_at",
    "remember",
    "window",
    "windows_to_come",
    "worth_in_rotation",
]
