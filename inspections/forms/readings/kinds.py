"""Which sheet asks for which kind of measuring."""

from __future__ import annotations

from inspections.forms.readings.answer import AnswerSheet
from inspections.forms.readings.bar import BarSheet
from inspections.forms.readings.bores import BoresSheet
from inspections.forms.readings.clock import ClockSheet
from inspections.forms.readings.diameters import DiametersSheet
from inspections.forms.readings.figure import FigureSheet
from inspections.forms.readings.holes import CenterSheet, HolesSheet
from inspections.forms.readings.plugs import TaperSheet, ThreadSheet
from inspections.forms.readings.points import PointsSheet
from inspections.forms.readings.pressure import PressureSheet
from inspections.forms.readings.sheet import Sheet
from inspections.measuring import PROBED, Measuring
from inspections.models import plans

SHEETS: dict[str, type[Sheet]] = {
    plans.SIZE: FigureSheet,
    plans.GO_NO_GO: AnswerSheet,
    plans.RUNOUT: ClockSheet,
    plans.HOLE_CENTER: CenterSheet,
    plans.DIAMETERS: DiametersSheet,
    plans.FACE_POINTS: PointsSheet,
    plans.FACE_TO_AXIS: PointsSheet,
    plans.PILOT_TO_AXIS: PointsSheet,
    plans.HOLE_PATTERN: HolesSheet,
    plans.END_ALIGNMENT: BarSheet,
    plans.SHAFT_CLEARANCE: BoresSheet,
    plans.THREAD_GAUGE: ThreadSheet,
    plans.TAPER_TURNS: TaperSheet,
    plans.PRESSURE_LOSS: PressureSheet,
}


def sheet_class_of(measuring: Measuring) -> type[Sheet]:
    """A pattern probed along with the face is a feature of that sheet; alone it has its own table."""
    if measuring.is_set and measuring.kinds <= PROBED:
        return PointsSheet
    return SHEETS[measuring.first.kind]
