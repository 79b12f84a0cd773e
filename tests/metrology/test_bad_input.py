"""What cannot be judged is refused with a sentence, whatever it is: never a warning and a number."""

import math
import warnings
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections import metrology as m
from inspections.metrology.readings import MOST

AXIS = m.Axis.through((-30, 0, 0), (30, 0, 0))
FACE = [(-4, -3, 5), (4, -3, 5), (4, 3, 5), (-4, 3, "5.01")]
RING = [(3, 0, 5), (0, 3, 5), (-3, 0, 5), (0, -3, 5)]
MANY = [0.0] * 1_000_000
NAN = float("nan")

REFUSED: list[tuple[Callable[[], Any], str]] = [
    (lambda: m.decide("x", (0, 1)), "^value: 'x' is not a number"),
    (lambda: m.decide(NAN, (0, 1)), "^value: nan"),
    (lambda: m.decide(0, (2, 1)), "lower limit 2 is above the upper limit 1; they may be swapped"),
    (lambda: m.decide(0, (None, None)), "both sides are free"),
    (lambda: m.decide(0, (1,)), "give a pair"),
    (lambda: m.decide(0, "01"), "give a pair"),
    (lambda: m.decide(0, None), "give a pair"),  # type: ignore[arg-type]
    (lambda: m.decide(0, ("a", 1)), "^lower limit of value: 'a' is not a number"),
    (lambda: m.decide(0, (0, 1), -1), "^expanded uncertainty: it cannot be negative"),
    (lambda: m.decide(0, (0, 1), 1, k=0), "^coverage factor k: it must be above zero"),
    (lambda: m.decide(0, (0, 1), 1, rule="sure"), "'sure' is unknown; choose one of simple, guarded"),  # type: ignore[arg-type]
    (lambda: m.adequate(-1, (0, 1)), "^expanded uncertainty: it cannot be negative"),
    (lambda: m.adequate(1, (0, 1), 0), "^least ratio: it must be above zero"),
    (lambda: m.adequate(1, (None, None)), "both sides are free"),
    (lambda: m.combine([]), "^uncertainty budget: it is empty"),
    (lambda: m.combine([-1]), "^contribution 1: a standard uncertainty cannot be negative"),
    (lambda: m.combine([1, m.Contribution("u", name="drift")]), r"^contribution 2 \(drift\), standard unc"),
    (lambda: m.combine([m.Contribution(1, "c")]), "^contribution 1, sensitivity: 'c'"),
    (lambda: m.combine([m.Contribution(1, 1, "0.9")]), "degrees of freedom must be 1 or more"),
    (lambda: m.combine([m.Contribution(1, 1, NAN)]), "^contribution 1, degrees of freedom: nan"),
    (lambda: m.combine([1], level=1), "^level of confidence: give a probability"),
    (lambda: m.combine([1], level=0), "^level of confidence: give a probability"),
    (lambda: m.Contribution.rectangular(-1), "^half width: it cannot be negative"),
    (lambda: m.circular_runout([1]), "^reading: 1 given, at least 2 needed"),
    (lambda: m.circular_runout([1, "b"]), "^reading 2: 'b' is not a number"),
    (lambda: m.circular_runout([1, math.inf]), "^reading 2: inf"),
    (lambda: m.circular_runout("12"), "give a list of numbers"),
    (lambda: m.circular_runout(MANY), "^reading: 1000000 given, at most 20000"),
    (lambda: m.circular_runout([0] * (MOST + 1)), "^reading: 20001 given"),
    (lambda: m.circular_runout([1, 2, 3], [0, 120]), "3 readings, 2 angles; the lists must be equally long"),
    (lambda: m.circular_runout([1, 2, 3], [0, 120, 120]), "^angle 3: 120° does not come after 120°"),
    (lambda: m.circular_runout([1, 2, 3], [0, 240, 120]), "^angle 3: 120° does not come after 240°"),
    (lambda: m.circular_runout([1, 2, 3], [0, 180, 360]), "^angle: the angles span more than one turn"),
    (lambda: m.circular_runout([1, 2], section="held"), "'held' is unknown; choose one of turning"),  # type: ignore[arg-type]
    (lambda: m.circular_runout([1, 2], v_angle=0), "^angle of the V-block: "),
    (lambda: m.circular_runout([1, 2], v_angle="180.1"), "^angle of the V-block: "),
    (lambda: m.v_block_gain(0), "^lobes: give a whole number"),
    (lambda: m.v_block_gain(True), "^lobes: give a whole number"),
    (lambda: m.v_block_gain(2.0), "^lobes: give a whole number"),  # type: ignore[arg-type]
    (lambda: m.total_runout([[1, 2]]), "^section: 1 given, at least 2"),
    (lambda: m.total_runout("12"), "^runout grid: give one list"),
    (lambda: m.total_runout(5), "^runout grid: give one list"),  # type: ignore[arg-type]
    (lambda: m.total_runout([[1, 2], [1]]), "^section 2, reading: 1 given, at least 2"),
    (lambda: m.total_runout([[1, 2], [1, 2, 3]]), "from 2 to 3 readings; take equally many"),
    (lambda: m.total_runout([[1, 2], [1, "q"]]), "^section 2, reading 2: 'q'"),
    (lambda: m.total_runout([MANY, MANY]), "^section 1, reading: 1000000 given, at most 10000"),
    (lambda: m.total_runout([MANY] * 30_000), "^section: 30000 given"),
    (lambda: m.hole_position((0, 0), (0, 0), -1), "^position tolerance: .*cannot be negative"),
    (lambda: m.hole_position((0, 0), (0, 0, 0), 1), "2 nominal but 3 actual"),
    (lambda: m.hole_position((0,), (0,), 1), "1 coordinates given, 2 or 3 needed"),
    (lambda: m.hole_position((0, 0), (0, "y"), 1), "^actual place of the hole 2: 'y'"),
    (lambda: m.hole_position((0, 0, 0), (0, 0, 0), 1), "^axis: the true direction of the hole is needed"),
    (lambda: m.hole_position((0, 0, 0), (0, 0, 0), 1, axis=(0, 0, 0)), "^axis: its direction is zero"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, axis=(0, 0, 0)), "^axis: its direction is zero"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, axis=(1, 0, 1)), "^axis: two coordinates lie square"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, projected=1), "^projected zone: give both"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, actual_axis=(0, 0, 1)), "^projected zone: give both"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, None, (0, 0, 1), 0), "^height of the projected zone"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, None, (0, 0, -1), 1), "must point out of the face"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, None, (1, "0.1", 1), 1), "within 45° of the true axis"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, size=1), "^hole size: give both"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, size_limits=(1, 2)), "^hole size: give both"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, material="mmc"), "^hole size: maximum material needs"),
    (
        lambda: m.hole_position((0, 0), (0, 0), 1, size=1, size_limits=(None, 2), material="mmc"),
        "^hole size: maximum material needs",
    ),
    (lambda: m.hole_position((0, 0), (0, 0), 1, size=1, size_limits=(2, 1)), "may be swapped"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, material="lmc"), "'lmc' is unknown; choose rfs or mmc"),  # type: ignore[arg-type]
    (lambda: m.Axis.through((0, 0, 0), (0, 0, 0)), "^journal centre: left and right are in one place"),
    (lambda: m.axis_from_journals(RING[:2], RING), "^left journal point: 2 given, at least 3"),
    (lambda: m.axis_from_journals(RING, [(0, 0, NAN)] * 3), "^right journal point 1, coordinate 3: nan"),
    (lambda: m.axis_from_journals(RING, RING), "left and right are in one place"),
    (lambda: m.axis_from_journals([(0, 0, 0), (0, 1, 0), (0, 2, 0)], RING), "circle point"),
    (lambda: AXIS.distances([(0, 0)]), "^point 1: 3 coordinates needed"),
    (lambda: m.face_to_axis(FACE[:2], AXIS), "^face point: 2 given, at least 3"),
    (lambda: m.face_to_axis([(0, 0, 1), (1, 0, 1), (2, 0, 1)], AXIS), "lie along one line"),
    (
        lambda: m.face_to_axis([(5, 0, 0), (5, 1, 0), (5, 0, 1)], AXIS),
        "^face point: the face is square to A-B",
    ),
    (lambda: m.face_to_axis([(0, 1, 0), (1, 0, 0), (-1, -1, 0)], AXIS), "^face point: A-B lies in the face"),
    (lambda: m.face_to_axis(FACE, AXIS, second=(1, 0, 0)), "^second datum: it runs along A-B"),
    (lambda: m.face_to_axis(FACE, AXIS, second=(0, 0, 0)), "^second datum: it runs along A-B"),
    (lambda: m.pilot_to_axis(RING[:2], AXIS), "^pilot bore point: 2 given"),
    (lambda: m.pilot_to_axis(RING, AXIS, (0, 0, 0)), "^normal: its direction is zero"),
    (lambda: m.pilot_to_axis(RING, AXIS, (1, 0, 0)), "circle point|^pilot bore: it runs along A-B"),
    (
        lambda: m.pilot_to_axis([(x, y, z + k) for k in (0, 1) for x, y, z in RING], AXIS),
        "^pilot bore point: the points lie at several depths",
    ),
    (lambda: m.clocking(RING, RING), "needed is one row|2 coordinates needed"),
    (lambda: m.clocking([(0, 0), (1, 0)], [(0, 0), (1, 0)], (0, 0)), "^direction of A-B: it is zero"),
    (lambda: m.face_cut(FACE[:2], 1, 0), "^face point: 2 given, at least 3"),
    (lambda: m.face_cut([(0, 0, 1), (1, 0, 1), (2, 0, 1)], 1, 0), "lie along one line"),
    (lambda: m.face_cut(np.zeros((1_000_000, 3)), 1, 0), "^face point: 1000000 given, at most 2000"),
    (lambda: m.face_cut(FACE, 0, 0), "^thickness: it must be above zero"),
    (lambda: m.face_cut(FACE, [1, 1, 1, -1], 0), "^thickness: it must be above zero"),
    (lambda: m.face_cut(FACE, [1, 1, 1], 0), "4 points, 3 thicknesses"),
    (lambda: m.face_cut(FACE, "thick", 0), "^thickness: 'thick' is not a number"),
    (lambda: m.face_cut(FACE, 1, -1), "^least thickness: it cannot be negative"),
    (lambda: m.face_cut(FACE, 1, 0, distance=(5, 4)), "^distance limits: .*swapped"),
    (lambda: m.face_cut(FACE, 1, 0, pitch=(-46, 0)), "^pitch limits: give degrees within ±45"),
    (lambda: m.face_cut(FACE, 1, 0, yaw=(0, 46)), "^yaw limits: give degrees within ±45"),
    (lambda: m.shims(m.face_cut(FACE, "0.1", "0.1"), RING), "^shims: this face has no cut"),
    (lambda: m.shims(m.face_cut(FACE, 1, 0), [(0, 0), (1, 1)]), "^jack: 2 given, at least 3"),
    (lambda: m.shims(m.face_cut(FACE, 1, 0), [(0, 0), (1, 1), (3, 3)]), "^jack: the jacks stand in one line"),
    (lambda: m.shims(m.face_cut(FACE, 1, 0), [(1, 1)] * 3), "^jack: the jacks stand in one line"),
    (lambda: m.end_alignment([0, 1], [0], [0, 0]), "2 stations, 1 forward offsets, 2 upward offsets"),
    (lambda: m.end_alignment([1, 1], [0, 0], [0, 0]), "^station: stations must ascend"),
    (lambda: m.end_alignment([1, 0], [0, 0], [0, 0]), "^station: stations must ascend"),
    (lambda: m.end_alignment([0], [0], [0]), "^station: 1 given, at least 2"),
    (lambda: m.end_alignment([-1, 1], [0, 0], [0, 0]), "^station: one end has a single station"),
    (lambda: m.end_alignment(MANY, [0], [0]), "^station: 1000000 given"),
    (lambda: m.end_alignment([0, 1], [0, 0], [0, 0], camber=45), "^wanted camber and toe"),
    (lambda: m.end_alignment([0, 1], [0, 0], [0, 0], toe=-45), "^wanted camber and toe"),
    (lambda: m.end_alignment([0, 1], [0, 0], [0, 0], m.Rolled([0], [0, 0])), "2 stations, 1 offsets after"),
    (lambda: m.end_alignment([0, 40], [0, 0], [0, 0], m.Bar(1, (-30, 30))), "the bar reaches from -30 to 30"),
    (lambda: m.Bar(1, (0, 1)).sag([-1]), "the bar reaches from 0 to 1"),
    (lambda: m.Bar(0, (0, 1)).sag([0]), "^diameter of the bar"),
    (lambda: m.Bar(1, (0, 1), bore=1).sag([0]), "^diameter of the bar"),
    (lambda: m.Bar(1, (0, 1), bore=-1).sag([0]), "^diameter of the bar"),
    (lambda: m.Bar(1, (1, 1)).sag([1]), "^support of the bar"),
    (lambda: m.Bar(1, (0, 1, 2)).sag([1]), "^support of the bar"),
    (lambda: m.Bar(1, (0, 1), ends=(0, "0.5")).sag([0]), "^support of the bar"),
    (lambda: m.Bar(1, (0, 1), ends=("0.5", 2)).sag([1]), "^support of the bar"),
    (lambda: m.Bar(1, (0, 1), unit="ft").sag([0]), "^unit of the bar: 'ft'"),  # type: ignore[arg-type]
    (lambda: m.Bar(1, (0, 1), elasticity=0).sag([0]), "^elasticity and density"),
    (lambda: m.Bar(1, (0, 1), density=-1).sag([0]), "^elasticity and density"),
    (lambda: m.shaft_clearance([0], [0], [0], 1, 1), "^station: 1 given, at least 2"),
    (lambda: m.shaft_clearance([1, 0], [0, 0], [0, 0], 1, 1), "^station: stations must ascend"),
    (lambda: m.shaft_clearance([0, 1], [0, 0], [0], 1, 1), "2 stations, 2 x offsets, 1 y offsets"),
    (lambda: m.shaft_clearance([0, 1], [0, 0], [0, 0], -1, 1), "^bore: a diameter must be above zero"),
    (lambda: m.shaft_clearance([0, 1], [0, 0], [0, 0], [1], 1), "2 stations, 1 bores"),
    (lambda: m.shaft_clearance([0, 1], [0, 0], [0, 0], 1, 0), "^shaft diameter: a diameter must be above"),
    (lambda: m.shaft_clearance([0, 1], [0, 0], [0, 0], 1, [1, "d"]), "^shaft diameter 2: 'd'"),
    (lambda: m.shaft_clearance(MANY, [0], [0], 1, 1), "^station: 1000000 given, at most 1000"),
    (
        lambda: m.shaft_clearance([0, 1], [0, 0], [0, 0], 2, 1, [(0, 0, 1), (1, 1, 1)]),
        "two points .* at different",
    ),
    (lambda: m.shaft_clearance([0, 1], [0, 0], [0, 0], 2, 1, FACE), "give two points"),
    (lambda: m.at_reference_temperature(1, "-273.16", 0), "^temperature: it is below absolute zero"),
    (lambda: m.at_reference_temperature(1, 30, "11.5"), "^linear expansion: .*more than a tenth"),
    (lambda: m.at_reference_temperature(1, 30, 0, -1), "^uncertainty of temperature or expansion"),
    (lambda: m.at_reference_temperature(1, 30, 0, 0, -1), "^uncertainty of temperature or expansion"),
    (lambda: m.leak_rate([1], [293], [0], 1), "^pressure: 1 given, at least 2"),
    (lambda: m.leak_rate([1, 2], [293, 293, 293], [0, 1], 1), "2 pressures, 3 temperatures, 2 times"),
    (lambda: m.leak_rate([1, 0], [293, 293], [0, 1], 1), "^pressure: absolute pressures are above zero"),
    (lambda: m.leak_rate([1, 1], [0, 293], [0, 1], 1), "^temperature: give kelvin"),
    (lambda: m.leak_rate([1, 1], [293, 293], [1, 1], 1), "^time: each reading must be later"),
    (lambda: m.leak_rate([1, 1], [293, 293], [0, 1], 0), "^volume: it must be above zero"),
    (lambda: m.leak_rate(MANY, MANY, MANY, 1), "^pressure: 1000000 given"),
    (lambda: m.standard_flow(1, 0), "^reference temperature: give kelvin"),
    (lambda: m.standard_flow(1, 273, -1), "^reference temperature: give kelvin"),
    (lambda: m.stored_energy(1, 1, 2), "^pressure: it is below the ambient"),
    (lambda: m.stored_energy(1, 0, 1), "^ambient pressure and volume"),
    (lambda: m.stored_energy(1, 1, 0), "^ambient pressure and volume"),
    (lambda: m.stored_energy(2, 1, 1, gamma=1), "^ratio of specific heats"),
    (lambda: m.thrust(-1, 1), "^pressure and diameter"),
    (lambda: m.thrust(1, -1), "^pressure and diameter"),
    (lambda: m.unified_thread("0.2", 20), "^thread diameter: give inches, 1/4 in or more"),
    (lambda: m.unified_thread("0.5", 0), "^threads per inch"),
    (lambda: m.unified_thread("0.5", 4), "^threads per inch"),
    (lambda: m.unified_thread("0.5", 13, "2C"), "'2C' is unknown; choose 1A"),  # type: ignore[arg-type]
    (lambda: m.unified_thread("0.5", 13, engagement=0), "^length of engagement"),
    (lambda: m.gauged_thread(1, 0), "^go gauge: say whether"),  # type: ignore[arg-type]
    (lambda: m.gauged_thread(True, -1), "^turns of the no-go gauge"),
    (lambda: m.taper_thread("5/8"), "'5/8' is unknown; choose one of 1/16"),
    (lambda: m.taper_thread_by_turns("1/2", "one"), "^turns from flush: 'one'"),
    (lambda: m.spline(5), "^number of teeth"),
    (lambda: m.spline(101), "^number of teeth"),
    (lambda: m.spline(True), "^number of teeth"),
    (lambda: m.spline(35.0), "^number of teeth"),  # type: ignore[arg-type]
    (lambda: m.spline(35, 0), "^diametral pitch"),
    (lambda: m.spline(35, root="round"), "'round' is unknown; choose flat or fillet"),  # type: ignore[arg-type]
    (lambda: m.weld_limit("999", "C", 8), "'999' is not on file"),
    (lambda: m.weld_limit("502", "A", 8, b=1), "'A' is unknown; choose B, C or D"),  # type: ignore[arg-type]
    (lambda: m.weld_limit("502", "C", "0.4", b=1), "^thickness: the levels hold from 0.5 mm"),
    (lambda: m.weld_limit("502", "C", 8), "depends on the width of the reinforcement b"),
    (lambda: m.weld_limit("2017", "C", 8), "butt weld throat s or fillet weld throat a; give exactly one"),
    (lambda: m.weld_limit("2017", "C", 8, s=5, a=5), "give exactly one"),
    (lambda: m.weld_limit("502", "C", 8, b=0), "^width of the reinforcement b: it must be above zero"),
]


NAMED: list[tuple[Callable[[], Any], str]] = [
    (lambda: m.Contribution.rectangular("x"), "half width"),
    (lambda: m.combine([1], level="x"), "level of confidence"),
    (lambda: m.decide(1, (0, "x")), "upper limit of value"),
    (lambda: m.decide(1, (0, 1), "x"), "expanded uncertainty"),
    (lambda: m.decide(1, (0, 1), 1, "x"), "coverage factor k"),
    (lambda: m.adequate("x", (0, 1)), "expanded uncertainty"),
    (lambda: m.adequate(1, (0, 1), "x"), "least ratio"),
    (lambda: m.circular_runout([1, 2], ["x", 2]), "angle 1"),
    (lambda: m.circular_runout([1, 2], v_angle="x"), "angle of the V-block"),
    (lambda: m.hole_position((0, 0), (0, 0), "x"), "position tolerance"),
    (lambda: m.hole_position((0, "x"), (0, 0), 1), "nominal place of the hole 2"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, axis=(0, 0, "x")), "axis 3"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, None, (0, 0, "x"), 1), "measured axis of the hole 3"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, None, (0, 0, 1), "x"), "height of the projected zone"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, size="x", size_limits=(1, 2)), "hole size"),
    (lambda: m.hole_position((0, 0), (0, 0), 1, size=1, size_limits=("x", 2)), "lower limit of hole size"),
    (lambda: m.Axis.through((0, 0, "x"), (1, 0, 0)), "journal centre 1, coordinate 3"),
    (lambda: m.face_to_axis(FACE, AXIS, second=(0, "x", 0)), "second datum 1, coordinate 2"),
    (lambda: m.pilot_to_axis(RING, AXIS, ("x", 0, 0)), "normal 1, coordinate 1"),
    (lambda: m.clocking([(0, 0), (1, 0)], [(0, 0), (1, 0)], ("x", 0)), "direction of A-B 1, coordinate 1"),
    (lambda: m.face_cut(FACE, [1, 1, 1, "x"], 0), "thickness 4"),
    (lambda: m.face_cut(FACE, 1, "x"), "least thickness"),
    (lambda: m.face_cut(FACE, 1, 0, distance=("x", 1)), "lower limit of distance"),
    (lambda: m.face_cut(FACE, 1, 0, pitch=("x", 1)), "lower limit of pitch"),
    (lambda: m.face_cut(FACE, 1, 0, yaw=("x", 1)), "lower limit of yaw"),
    (lambda: m.shims(m.face_cut(FACE, 1, 0), [(0, 0), (1, "x"), (0, 1)]), "jack 2, coordinate 2"),
    (lambda: m.end_alignment(["x", 1], [0, 0], [0, 0]), "station 1"),
    (lambda: m.end_alignment([0, 1], ["x", 0], [0, 0]), "forward offset 1"),
    (lambda: m.end_alignment([0, 1], [0, 0], [0, "x"]), "upward offset 2"),
    (lambda: m.end_alignment([0, 1], [0, 0], [0, 0], m.Rolled(["x", 0], [0, 0])), "forward offset after"),
    (lambda: m.end_alignment([0, 1], [0, 0], [0, 0], m.Rolled([0, 0], ["x", 0])), "upward offset after"),
    (lambda: m.end_alignment([0, 1], [0, 0], [0, 0], attitude="x"), "attitude"),
    (lambda: m.end_alignment([0, 1], [0, 0], [0, 0], camber="x"), "wanted camber"),
    (lambda: m.end_alignment([0, 1], [0, 0], [0, 0], toe="x"), "wanted toe"),
    (lambda: m.Bar("x", (0, 1)).sag([0]), "diameter of the bar"),
    (lambda: m.Bar(1, (0, 1), "x").sag([0]), "bore of the bar"),
    (lambda: m.Bar(1, (0, "x")).sag([0]), "support of the bar 2"),
    (lambda: m.Bar(1, (0, 1), ends=("x", 1)).sag([0]), "end of the bar 1"),
    (lambda: m.Bar(1, (0, 1)).sag(["x"]), "station on the bar 1"),
    (lambda: m.Bar(1, (0, 1), elasticity="x").sag([0]), "elasticity"),
    (lambda: m.Bar(1, (0, 1), density="x").sag([0]), "density"),
    (lambda: m.shaft_clearance(["x", 1], [0, 0], [0, 0], 2, 1), "station 1"),
    (lambda: m.shaft_clearance([0, 1], ["x", 0], [0, 0], 2, 1), "offset x 1"),
    (lambda: m.shaft_clearance([0, 1], [0, 0], [0, "x"], 2, 1), "offset y 2"),
    (lambda: m.shaft_clearance([0, 1], [0, 0], [0, 0], "x", 1), "bore"),
    (lambda: m.shaft_clearance([0, 1], [0, 0], [0, 0], 2, "x"), "shaft diameter"),
    (
        lambda: m.shaft_clearance([0, 1], [0, 0], [0, 0], 2, 1, [(0, 0, 0), (0, 0, "x")]),
        "point of the shaft's",
    ),
    (lambda: m.at_reference_temperature("x", 20, 0), "length"),
    (lambda: m.at_reference_temperature(1, "x", 0), "temperature"),
    (lambda: m.at_reference_temperature(1, 20, "x"), "linear expansion"),
    (lambda: m.at_reference_temperature(1, 20, 0, "x"), "uncertainty of the temperature"),
    (lambda: m.at_reference_temperature(1, 20, 0, 0, "x"), "uncertainty of the linear expansion"),
    (lambda: m.leak_rate(["x", 1], [293, 293], [0, 1], 1), "pressure 1"),
    (lambda: m.leak_rate([1, 1], [293, "x"], [0, 1], 1), "temperature 2"),
    (lambda: m.leak_rate([1, 1], [293, 293], ["x", 1], 1), "time 1"),
    (lambda: m.leak_rate([1, 1], [293, 293], [0, 1], "x"), "volume"),
    (lambda: m.standard_flow("x", 293), "leak rate"),
    (lambda: m.standard_flow(1, "x"), "reference temperature"),
    (lambda: m.standard_flow(1, 293, "x"), "gas temperature"),
    (lambda: m.stored_energy("x", 1, 1), "pressure"),
    (lambda: m.stored_energy(1, "x", 1), "volume"),
    (lambda: m.stored_energy(1, 1, "x"), "ambient pressure"),
    (lambda: m.stored_energy(1, 1, 1, "x"), "ratio of specific heats"),
    (lambda: m.thrust("x", 1), "pressure"),
    (lambda: m.thrust(1, "x"), "diameter"),
    (lambda: m.unified_thread("x", 13), "thread diameter"),
    (lambda: m.unified_thread(1, "x"), "threads per inch"),
    (lambda: m.unified_thread(1, 8, engagement="x"), "length of engagement"),
    (lambda: m.gauged_thread(True, "x"), "turns of the no-go gauge"),
    (lambda: m.spline(35, "x"), "diametral pitch"),
    (lambda: m.weld_limit(502, "C", "x", b=1), "thickness"),
    (lambda: m.weld_limit(502, "C", 8, b="x"), "width of the reinforcement b"),
    (lambda: m.weld_limit(2017, "C", 8, s="x"), "butt weld throat s"),
    (lambda: m.weld_limit(2017, "C", 8, a="x"), "fillet weld throat a"),
]


@pytest.mark.parametrize(("call", "name"), NAMED, ids=[str(place) for place in range(len(NAMED))])
def test_a_refusal_begins_with_the_name_of_what_was_entered(call: Callable[[], Any], name: str) -> None:
    with pytest.raises(ValueError, match=rf"^{name}.*: 'x' is not a number"):
        call()


@pytest.mark.parametrize(("call", "said"), REFUSED, ids=[str(place) for place in range(len(REFUSED))])
def test_it_is_refused_with_a_sentence(call: Callable[[], Any], said: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        with pytest.raises(ValueError, match=said) as refusal:
            call()
    sentence = str(refusal.value)
    assert sentence[-1] in ".)" and len(sentence) > 20


NO_NUMBERS = ["", "nan", "inf", "1e31"]
EXTREMES = ["0", "-0", "1e-999", "1e-300", "-1e-40", "1e30", "-1e30"]
ODD = st.sampled_from([*NO_NUMBERS, *EXTREMES, "1", "2", "3", "-1", "0.5", "20", "90", "293"])
odd_lists = st.lists(ODD, max_size=7)
odd_points = st.lists(st.tuples(ODD, ODD, ODD), max_size=6)
pairs = st.one_of(st.none(), st.tuples(st.one_of(st.none(), ODD), st.one_of(st.none(), ODD)))
CALLS: list[tuple[str, Callable[..., Any], list[Any]]] = [
    ("decide", m.decide, [ODD, pairs, ODD, ODD, st.sampled_from(["simple", "guarded", "guarded_95"])]),
    ("adequate", m.adequate, [ODD, pairs, ODD]),
    (
        "combine",
        lambda *rows: m.combine([m.Contribution(*row) for row in rows]),
        [st.tuples(ODD, ODD, ODD)] * 3,
    ),
    (
        "circular_runout",
        m.circular_runout,
        [odd_lists, odd_lists, st.sampled_from(["turning", "in_v_block", "rolled_elsewhere"]), ODD],
    ),
    ("total_runout", m.total_runout, [st.lists(odd_lists, max_size=4)]),
    (
        "hole_position",
        m.hole_position,
        [st.tuples(ODD, ODD), st.tuples(ODD, ODD), ODD, st.none(), st.tuples(ODD, ODD, ODD), ODD],
    ),
    ("axis_from_journals", m.axis_from_journals, [odd_points, odd_points]),
    (
        "face_to_axis",
        lambda points, second: m.face_to_axis(points, AXIS, second),
        [odd_points, st.tuples(ODD, ODD, ODD)],
    ),
    (
        "pilot_to_axis",
        lambda points, n: m.pilot_to_axis(points, AXIS, n),
        [odd_points, st.tuples(ODD, ODD, ODD)],
    ),
    ("face_cut", m.face_cut, [odd_points, ODD, ODD, pairs, pairs, pairs]),
    ("end_alignment", m.end_alignment, [odd_lists, odd_lists, odd_lists]),
    ("bar", lambda d, s, b, z: m.Bar(d, s, b).sag(z), [ODD, st.tuples(ODD, ODD), ODD, odd_lists]),
    ("shaft_clearance", m.shaft_clearance, [odd_lists, odd_lists, odd_lists, ODD, ODD]),
    ("at_reference_temperature", m.at_reference_temperature, [ODD] * 5),
    ("leak_rate", m.leak_rate, [odd_lists, odd_lists, odd_lists, ODD]),
    ("standard_flow", m.standard_flow, [ODD] * 3),
    ("stored_energy", m.stored_energy, [ODD] * 4),
    ("thrust", m.thrust, [ODD] * 2),
    ("unified_thread", m.unified_thread, [ODD, ODD, st.sampled_from(["2B", "3B", "2A"]), ODD]),
    ("spline", m.spline, [st.integers(6, 100), ODD]),
    (
        "weld_limit",
        m.weld_limit,
        [st.sampled_from(["502", "2017", "5011"]), st.just("C"), ODD, ODD, ODD, ODD],
    ),
]


def parts(value: Any) -> list[Any]:
    """Every number in a result, however deep."""
    if isinstance(value, np.ndarray):
        return list(value.ravel())
    if isinstance(value, tuple | list):
        return [number for entry in value for number in parts(entry)]
    if hasattr(value, "__dataclass_fields__"):
        return [number for name in value.__dataclass_fields__ for number in parts(getattr(value, name))]
    return [value]


@pytest.mark.parametrize(("name", "call", "inputs"), CALLS, ids=[name for name, _, _ in CALLS])
def test_odd_numbers_give_a_finite_answer_or_a_sentence(
    name: str, call: Callable[..., Any], inputs: list[Any]
) -> None:
    free = {"degrees_of_freedom"}

    @settings(max_examples=80)
    @given(st.tuples(*inputs))
    def check(values: tuple[Any, ...]) -> None:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            try:
                answer = call(*values)
            except ValueError as refusal:
                assert str(refusal)[-1] in ".)", str(refusal)
                return
        numbers = parts(answer)
        if name == "combine":
            numbers = [value for field, value in vars(answer).items() if field not in free]
        for number in parts(numbers):
            if isinstance(number, float):
                assert math.isfinite(number)

    check()


def test_a_million_points_of_a_bore_are_taken() -> None:
    """Arrays as a probe sends them have no limit where the answer takes milliseconds."""
    angles = np.linspace(0, 2 * math.pi, 1_000_000, endpoint=False)
    bore = np.column_stack((3 * np.cos(angles), 3 * np.sin(angles), np.full(1_000_000, 5.0)))
    assert m.pilot_to_axis(bore, AXIS).offset == pytest.approx(0, abs=1e-9)
