"""Engineering of an axle housing, without a database: stations, route rules, serials, fit rules, welding.

Nothing here imports Django, asks a clock, or reads a file, so every rule can be tried at a prompt.
"""

from .carbon_equivalent import carbon_equivalent
from .cooling_time import CoolingTime, cooling_time_85
from .groove import Groove, Shrinkage, groove
from .heat_input import heat_input
from .preheat import PreheatAdvice, preheat_advice

__all__ = [
    "CoolingTime",
    "Groove",
    "PreheatAdvice",
    "Shrinkage",
    "carbon_equivalent",
    "cooling_time_85",
    "groove",
    "heat_input",
    "preheat_advice",
]
