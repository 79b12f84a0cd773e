"""The default plan of measuring: what a shop measures on a housing, where, and within which limits.

Pure data. The left and right snout journals make axis A-B; the face, the pilot bore, the holes, the tubes'
runout, camber and toe are judged from it. Limits: common practice, no source, or invented figures where the
note says so; a shop replaces them. Lengths in inches, angles in degrees.
"""

from collections.abc import Sequence

from housings.engineering.spec import Spec

from .planning.default.ends import ENDS
from .planning.default.face import FACE_ITSELF, HOLES
from .planning.default.fittings import FITTINGS, INSIDE
from .planning.default.preparing import CUT, FIT_UP, STEEL
from .planning.default.tubes import BRACKETS, TUBES
from .planning.default.welds import CENTER_WELDS, WELDS
from .planning.resolve import resolve
from .planning.rules import PlanProblem, reasons_against_plan
from .planning.terms import PlannedCharacteristic, ResolvedCharacteristic

__all__ = [
    "DEFAULT_PLAN",
    "PlanProblem",
    "PlannedCharacteristic",
    "ResolvedCharacteristic",
    "plan_for",
    "reasons_against_plan",
]

DEFAULT_PLAN: tuple[PlannedCharacteristic, ...] = (
    *STEEL,
    *CUT,
    *FIT_UP,
    *CENTER_WELDS,
    *BRACKETS,
    *WELDS,
    *ENDS,
    *TUBES,
    *FACE_ITSELF,
    *HOLES,
    *INSIDE,
    *FITTINGS,
)
"""The default plan, in the order of the floor."""


def plan_for(
    spec: Spec, stations: Sequence[str], plan: Sequence[PlannedCharacteristic] = DEFAULT_PLAN
) -> tuple[ResolvedCharacteristic, ...]:
    """What is measured on a housing of this spec and route: nominals and limits as decimal text.

    Only stations of the route appear in `due`; what no station of the route measures is left out.
    Raises `ValueError` if the plan needs a number that the spec does not have.
    """
    return resolve(plan, spec, stations)
