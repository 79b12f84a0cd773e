"""The second engine: every kind of characteristic, with set-up, temperature and uncertainty."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from inspections.models import plans
from inspections.verdicts.asked import Asked, Judged
from inspections.verdicts.engine_2.answers import go_no_go, taper_turns, thread_gauge
from inspections.verdicts.engine_2.ends import end_alignment, shaft_clearance
from inspections.verdicts.engine_2.faces import face_points, face_to_axis, pilot_to_axis
from inspections.verdicts.engine_2.holes import hole_center, hole_pattern
from inspections.verdicts.engine_2.pressure import pressure_loss
from inspections.verdicts.engine_2.sizes import diameters, size
from inspections.verdicts.engine_2.turned import runout

KINDS: dict[str, Callable[[Asked, Mapping[str, Any]], Judged]] = {
    plans.SIZE: size,
    plans.GO_NO_GO: go_no_go,
    plans.FACE_POINTS: face_points,
    plans.RUNOUT: runout,
    plans.HOLE_CENTER: hole_center,
    plans.DIAMETERS: diameters,
    plans.FACE_TO_AXIS: face_to_axis,
    plans.PILOT_TO_AXIS: pilot_to_axis,
    plans.HOLE_PATTERN: hole_pattern,
    plans.END_ALIGNMENT: end_alignment,
    plans.SHAFT_CLEARANCE: shaft_clearance,
    plans.THREAD_GAUGE: thread_gauge,
    plans.TAPER_TURNS: taper_turns,
    plans.PRESSURE_LOSS: pressure_loss,
}
