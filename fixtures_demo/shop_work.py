"""What the work of each station does to the shape of a housing.

Magnitudes (common practice, no source, or computed from the classic formulas): a truss pulls about a third of
a degree of negative camber and a snout joint shrinks 0.037 in; the weld leaves a face 0.020 to 0.080 out of
flat, facing 0.001 to 0.003, the armor 0.003 to 0.0045; straightened tubes run out 0.020 to 0.030.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import replace

from fixtures_demo.gauging import TUBE_STATION
from fixtures_demo.shape import SIDES, End, Face, Shape
from housings.engineering.fit_catalogue import DEMO
from housings.engineering.spec import Spec

PRESET = 0.07
SHRINKAGE = 0.037
HOLES = 12

Planted = Mapping[str, float]
"""Figures a tale needs, by name: what a station leaves is set to them instead of left to chance."""


def as_cut(spec: Spec, chance: random.Random) -> Shape:
    """The pieces of a build spec as they lie in the fixture."""
    snout = DEMO.snout(spec.snout_size)
    assert snout is not None, "the spec of a demo order fits"
    journal = float(spec.snout_size) - 0.00075
    ends = {side: End(journal=journal + chance.uniform(-0.00003, 0.00003)) for side in SIDES}
    return Shape(
        width=float(spec.width) + PRESET,
        tube_bore=float(spec.tube_od - 2 * spec.tube_wall),
        snout_bore=float(snout.bore),
        ends=ends,
        face=Face(distance=2.56, flatness=0.006, thickness=0.560),
    )


def work(shape: Shape, station: str, spec: Spec, chance: random.Random, planted: Planted) -> Shape:
    """The shape after the work of a station."""
    done = STATIONS.get(station)
    return done(shape, spec, chance, planted) if done else shape


def _tack(shape: Shape, spec: Spec, chance: random.Random, planted: Planted) -> Shape:
    return replace(shape, width=float(spec.width) + PRESET + chance.uniform(-0.006, 0.006))


def _truss(shape: Shape, spec: Spec, chance: random.Random, planted: Planted) -> Shape:
    """The fixture bends the ends down beforehand, so a third of a degree of pull leaves what is left over."""
    ends = {
        side: replace(
            shape.ends[side],
            up=planted.get(f"up_{side}", chance.uniform(0.02, 0.055)),
            forward=planted.get(f"forward_{side}", chance.uniform(-0.015, 0.015)),
            bow=-chance.uniform(0.020, 0.030),
        )
        for side in SIDES
    }
    face = replace(shape.face, flatness=planted.get("flatness", chance.uniform(0.02, 0.04)))
    return replace(shape, ends=ends, face=face)


def _brackets(shape: Shape, spec: Spec, chance: random.Random, planted: Planted) -> Shape:
    if spec.bracket_offset is None:
        return shape
    offset = float(spec.bracket_offset)
    sizes = {f"bracket_{side}": offset + chance.uniform(-0.02, 0.02) for side in SIDES}
    sizes["pinion_angle"] = float(spec.pinion_angle or 0) + chance.uniform(-0.2, 0.2)
    return replace(shape, sizes={**shape.sizes, **sizes})


def _snouts(shape: Shape, spec: Spec, chance: random.Random, planted: Planted) -> Shape:
    shrunk = shape.width - 2 * SHRINKAGE + chance.uniform(-0.004, 0.004)
    ends = {
        side: replace(
            shape.ends[side],
            up=shape.ends[side].up + chance.uniform(-0.005, 0.005),
            wobble=chance.uniform(0.0006, 0.0011),
            wobble_at=chance.uniform(0, 360),
        )
        for side in SIDES
    }
    face = replace(
        shape.face,
        distance=planted.get("distance", 2.56 + chance.uniform(-0.004, 0.004)),
        rise=planted.get("rise", chance.uniform(-0.012, 0.012)),
        pitch=planted.get("pitch", chance.uniform(-0.06, 0.06)),
        flatness=planted.get("flatness", chance.uniform(0.030, 0.055)),
        turned=chance.uniform(0, 180),
        thickness=planted.get("thickness", 0.560 + chance.uniform(-0.003, 0.003)),
    )
    return replace(shape, width=shrunk, ends=ends, face=face)


def _straighten(shape: Shape, spec: Spec, chance: random.Random, planted: Planted) -> Shape:
    ends = {
        side: replace(
            shape.ends[side],
            up=chance.uniform(0.012, 0.02),
            forward=chance.uniform(-0.01, 0.01),
            bow=-chance.uniform(0.006, 0.008),
        )
        for side in SIDES
    }
    return replace(shape, ends=ends)


def _face_and_drill(shape: Shape, spec: Spec, chance: random.Random, planted: Planted) -> Shape:
    before = shape.face
    skim = before.flatness < 0.012
    cut = 0.006 if skim else before.distance - 2.5 + before.flatness / 2
    face = Face(
        distance=planted.get("distance", 2.5 + chance.uniform(-0.0012, 0.0012)),
        rise=planted.get("rise", chance.uniform(-0.0006, 0.0006)),
        pitch=chance.uniform(-0.004, 0.004),
        flatness=planted.get("flatness", chance.uniform(0.0012, 0.0024)),
        saddle=0.6,
        turned=before.turned,
        thickness=planted.get("thickness", before.thickness - cut),
    )
    if skim:
        return replace(shape, face=face)
    return replace(
        shape,
        face=face,
        pilot=planted.get("pilot", chance.uniform(-0.0015, 0.0015)),
        pilot_bore=7.250 + chance.uniform(0.0008, 0.0012),
        holes=_drilled(chance, planted.get("hole_spread", 0.0012)),
    )


def _drilled(chance: random.Random, spread: float) -> tuple[tuple[float, float], ...]:
    """How far each hole is off; holes that were drilled before the welding went with it, in and out."""
    return tuple((chance.uniform(-spread, spread), chance.uniform(-spread, spread)) for _ in range(HOLES))


def _armor(shape: Shape, spec: Spec, chance: random.Random, planted: Planted) -> Shape:
    face = replace(
        shape.face,
        distance=shape.face.distance - chance.uniform(0.0003, 0.0008),
        flatness=planted.get("flatness", chance.uniform(0.0030, 0.0039)),
        saddle=0.8,
    )
    ends = {
        side: replace(
            shape.ends[side],
            up=shape.ends[side].up + chance.uniform(-0.004, 0.004),
            forward=shape.ends[side].forward + chance.uniform(-0.003, 0.003),
            wobble=planted.get(f"wobble_{side}", shape.ends[side].wobble),
        )
        for side in SIDES
    }
    return replace(shape, face=face, ends=ends)


def _fittings(shape: Shape, spec: Spec, chance: random.Random, planted: Planted) -> Shape:
    return replace(shape, loss=planted.get("loss", chance.uniform(0.015, 0.035)))


STATIONS: Mapping[str, Callable[[Shape, Spec, random.Random, Planted], Shape]] = {
    "tack": _tack,
    "truss": _truss,
    "brackets": _brackets,
    "snouts": _snouts,
    "straighten": _straighten,
    "face_and_drill": _face_and_drill,
    "armor": _armor,
    "caps_and_fittings": _fittings,
}


def described(station: str, before: Shape, after: Shape) -> dict[str, str]:
    """How the work of a station is described (`housings.engineering.work_details`)."""
    match station:
        case "straighten":
            return _pressed(before, after)
        case "armor":
            return {"plate_off_below": "140", "plate_off_below_unit": "F"}
    return {}


def _pressed(before: Shape, after: Shape) -> dict[str, str]:
    """The side that was bent back farther: where, and how far it stayed."""
    place = TUBE_STATION * before.width
    moved = {}
    for sign, side in ((-1, "left"), (1, "right")):
        (x0, y0), (x1, y1) = before.center(sign * place), after.center(sign * place)
        moved[side] = math.hypot(x1 - x0, y1 - y0)
    side = max(moved, key=lambda one: moved[one])
    return {
        "method": "press",
        "side": side,
        "place": f"{place:.1f}",
        # The tubes hang between center and ends, so they are pressed up from below.
        "direction": "6",
        "force": f"{9000 + 100000 * moved[side]:.0f}",
        "how_far": f"{moved[side]:.3f}",
    }
