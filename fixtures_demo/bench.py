"""One visit at the bench: what is due is read from the shape, each measuring once for all its figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fixtures_demo import gauges_used, gauging
from fixtures_demo.gauging import Hand, text
from fixtures_demo.raw_files import PROBE_COLUMNS, VisitFiles
from fixtures_demo.shape import Shape
from housings.engineering.spec import Spec
from inspections.default_plan import DEFAULT_PLAN
from inspections.metrology import Bar
from inspections.planning.terms import Due, Kind, ResolvedCharacteristic

PROBED = frozenset({Kind.FACE_POINTS, Kind.FACE_TO_AXIS, Kind.PILOT_TO_AXIS, Kind.HOLE_PATTERN})
CENTERS = next(one.centers for one in DEFAULT_PLAN if one.kind is Kind.HOLE_PATTERN)
JOURNAL_PLACES = 6


@dataclass
class Bench:
    """Takes readings of a shape and puts them into the files of a visit."""

    shape: Shape
    spec: Spec
    hand: Hand

    def take(self, one: ResolvedCharacteristic, gauge: str, due: Due, files: VisitFiles) -> None:
        """Measure one characteristic: a row of the sheet, and the file of its run if it is not there."""
        value, name = "", ""
        if one.kind in {Kind.SIZE, Kind.GO_NO_GO}:
            value = self._value(one, due)
        else:
            name = self._file_of(one)
            if name not in files.runs:
                files.runs[name] = self._run(one, gauge)
                if setup := self._setup(one, gauge):
                    files.set_up.setdefault("files", {})[name] = setup
        files.sheet.append((one.code, str(one.kind), gauge, value, name))

    def note_set_up(self, files: VisitFiles) -> None:
        """How warm part and air were, and with what that was read."""
        part, air = (text(self.hand.chance.uniform(67.5, 69.0), 1) for _ in range(2))
        files.set_up.setdefault("files", {})
        files.set_up["temperature"] = {"value": part, "unit": "F"}
        files.set_up["setup"] = {
            "air": {"value": air, "unit": "F"},
            "thermometer": gauges_used.THERMOMETER,
            "source": "file",
        }

    def _value(self, one: ResolvedCharacteristic, due: Due) -> str:
        if one.kind is Kind.GO_NO_GO:
            return "go"
        known = {
            "width": (self.shape.width, 3),
            "preset_width": (self.shape.width, 3),
            "face_thickness": (self.shape.face.thickness, 4),
            "pilot_bore": (self.shape.pilot_bore, 4),
            **{code: (size, 2 if one.unit == "°" else 3) for code, size in self.shape.sizes.items()},
        }
        if one.code in known:
            return text(*known[one.code])
        return self._somewhere_between(due)

    def _somewhere_between(self, due: Due) -> str:
        """A figure that no shape has: well inside its limits."""
        places = max((len(limit.partition(".")[2]) for limit in (due.lower, due.upper) if limit), default=3)
        if due.lower is not None and due.upper is not None:
            low, high = float(due.lower), float(due.upper)
            return text((low + high) / 2 + (high - low) * self.hand.chance.uniform(-0.15, 0.15), places)
        if due.upper is not None:
            return text(float(due.upper) * self.hand.chance.uniform(0.25, 0.6), places + 1)
        return text(float(due.lower or 0) * self.hand.chance.uniform(1.1, 1.4), places + 1)

    def _file_of(self, one: ResolvedCharacteristic) -> str:
        if one.kind in PROBED:
            return "probe.csv"
        if one.kind is Kind.END_ALIGNMENT:
            return "bar.csv"
        side = one.code.rpartition("_")[2]
        return f"bores_{side}.csv" if one.kind is Kind.SHAFT_CLEARANCE else f"{one.code}.csv"

    def _run(self, one: ResolvedCharacteristic, gauge: str) -> tuple[tuple[str, ...], list[list[str]]]:
        side = one.code.rpartition("_")[2]
        if one.kind in PROBED:
            probed = gauging.probe(self.shape, self.hand, CENTERS).features
            return PROBE_COLUMNS, [[name, *point] for name, points in probed.items() for point in points]
        match one.kind:
            case Kind.END_ALIGNMENT:
                bar = Bar(gauges_used.BAR_DIAMETER, gauges_used.BAR_SUPPORTS, ends=gauges_used.BAR_ENDS)
                return ("station", "forward", "up"), gauging.along_the_bar(self.shape, bar, self.hand)
            case Kind.SHAFT_CLEARANCE:
                return ("station", "forward", "up", "bore"), gauging.bores(self.shape, side, self.hand)
            case Kind.RUNOUT:
                turn = gauging.tube_runout if one.code.startswith("tube") else gauging.journal_runout
                hours = [12, *range(1, gauging.CLOCK)]
                readings = turn(self.shape, side, self.hand)
                return ("clock", "reading"), [[str(h), r] for h, r in zip(hours, readings, strict=True)]
            case Kind.DIAMETERS:
                return self._diameters(one, gauge)
            case Kind.PRESSURE_LOSS:
                return ("minute", "pressure", "temperature"), gauging.pressure_log(self.shape, self.hand)
            case Kind.THREAD_GAUGE:
                return ("go", "no_go_turns"), [["yes", text(self.hand.chance.choice((0.5, 1.0, 1.5)), 1)]]
            case Kind.TAPER_TURNS:
                return ("turns",), [[text(self.hand.chance.choice((-0.25, 0.0, 0.25, 0.5)), 2)]]
        raise ValueError(f"The demo does not know how a {one.kind} is measured.")

    def _diameters(self, one: ResolvedCharacteristic, gauge: str) -> tuple[tuple[str, ...], list[list[str]]]:
        if not one.code.startswith("journal"):
            return self._numbered("diameter", gauging.diameters(self.shape.pilot_bore, 0.0001, 4, self.hand))
        end = self.shape.ends[one.code.rpartition("_")[2]]
        if gauge == gauges_used.COMPARATOR:
            master = gauges_used.MASTER_SIZES[gauges_used.MASTERS[self.spec.snout_size]]
            span = end.journal_form
            figures = gauging.differences(end.journal, span, JOURNAL_PLACES, master, self.hand)
            return self._numbered("difference", figures)
        return self._numbered(
            "diameter", gauging.diameters(end.journal, end.journal_form, JOURNAL_PLACES, self.hand)
        )

    def _numbered(self, what: str, figures: list[str]) -> tuple[tuple[str, ...], list[list[str]]]:
        return ("place", what), [[str(place), figure] for place, figure in enumerate(figures, start=1)]

    def _setup(self, one: ResolvedCharacteristic, gauge: str) -> Mapping[str, Any]:
        """How the part is held for this file, and what takes part besides the gauge."""
        match one.kind:
            case Kind.END_ALIGNMENT:
                return {"support": "bar", "bar": gauges_used.BAR}
            case Kind.RUNOUT:
                return {"support": "bearings", "section": "turning"}
            case Kind.DIAMETERS if gauge == gauges_used.COMPARATOR:
                return {
                    "support": "table",
                    "master": gauges_used.MASTERS[self.spec.snout_size],
                    "settled": True,
                }
            case kind if kind in PROBED:
                return {"support": "v_blocks", "v_angle": "90"}
        return {}
