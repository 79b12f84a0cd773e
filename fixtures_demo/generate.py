"""Makes the raw files of the demo: ``python -m fixtures_demo.generate``.

Seeded, so that the same files come out each time; magnitudes are those of
the trade (common practice, no source): tubes 0.06-0.12 in runout after the
truss, a face 0.001-0.003 in out of flat as cut and 0.003-0.0045 after the
armor, holes a few thousandths from where they should be.
"""

from __future__ import annotations

import json
import math
import random
import shutil
from decimal import Decimal
from pathlib import Path
from typing import Any

from fixtures_demo.raw_files import write_visit
from housings.engineering.route_rules import default_route
from housings.engineering.spec import Spec, spec_from
from housings.engineering.stations import STATIONS
from inspections.default_plan import plan_for
from inspections.planning.terms import Kind, ResolvedCharacteristic

HERE = Path(__file__).resolve().parent
READINGS = HERE / "readings"
CLOCK = 12
FACE_POINTS = 16


def main() -> None:
    """Write ``readings/<housing>/<nn>-<station>/`` for every walk."""
    shutil.rmtree(READINGS, ignore_errors=True)
    orders = {order["reference"]: order for order in map(_load, sorted((HERE / "orders").glob("*.json")))}
    for label, walk in _load(HERE / "walks.json").items():
        spec = spec_from(_spec_of(orders[walk["order"]], walk["place"]))
        _write_housing(label, walk, spec)


def _load(path: Path) -> Any:
    return json.loads(path.read_text())


def _spec_of(order: dict[str, Any], place: int) -> dict[str, Any]:
    specs = [line["spec"] for line in order["lines"] for _ in range(line["quantity"])]
    spec: dict[str, Any] = specs[place]
    return spec


def visits_of(walk: dict[str, Any], links: bool) -> list[tuple[str, str]]:
    """The visits of a walk that have readings, in order: (station, why it is visited)."""
    visits: list[tuple[str, str]] = []
    for station in default_route(links):
        if walk["until"] == "released":
            break
        visits.append((station, "route"))
        rework = walk.get("rework")
        if rework and rework["after"] == station:
            visits += [(extra, "rework") for extra in rework["stations"]]
            visits.append((station, "measure"))
        if station == walk["until"]:
            break
    return visits


def _write_housing(label: str, walk: dict[str, Any], spec: Spec) -> None:
    chance = random.Random(f"kettle creek {label}")
    plan = plan_for(spec, default_route(spec.links))
    visits = visits_of(walk, spec.links)
    failing = {code for plants in walk.get("plant", {}).values() for code in plants}
    for number, (station, why) in enumerate(visits, start=1):
        planted = walk.get("plant", {}).get(station, {}) if why == "route" else {}
        last_here = walk.get("stay") and number == len(visits) and not planted
        rows = []
        for one in plan:
            due = next((due for due in one.due if due.station == station), None)
            if due is None or last_here or (why == "measure" and not _measured_again(one, walk)):
                continue
            size = Decimal(planted[one.code]) if one.code in planted else None
            straightened = why == "measure" and one.code in failing
            raw = _raw(one, station, due.lower, due.upper, chance, size, straightened)
            rows.append((one.code, str(one.kind), _gauge_of(one), raw))
        if rows:
            write_visit(READINGS / label / f"{number:02d}-{station}", rows)


def _measured_again(one: ResolvedCharacteristic, walk: dict[str, Any]) -> bool:
    """After rework: what failed, and what the rework could have moved."""
    stations = set(walk["rework"]["stations"])
    return bool(stations & set(one.movable_by))


def _gauge_of(one: ResolvedCharacteristic) -> str:
    if one.kind is Kind.GO_NO_GO or one.unit == "welds":
        return "TAPE-1" if one.kind is not Kind.GO_NO_GO else ""
    if one.kind in {Kind.FACE_POINTS, Kind.HOLE_CENTER}:
        return "PROBE-1"
    if one.kind is Kind.RUNOUT or one.code in {"face_parallelism", "pilot_center"}:
        return "IND-1"
    if one.unit == "°":
        return "ANGLE-1"
    if one.unit == "psi":
        return "PRESS-1"
    if one.code.startswith("journal"):
        return "MIC-2" if Decimal(str(one.parameters["nominal"])) > 3 else "MIC-1"
    if one.code == "pilot_bore":
        return "BORE-1"
    long = one.code in {"width", "preset_width"} or one.code.startswith("bracket")
    return "TAPE-1" if long else "CAL-1"


def _raw(
    one: ResolvedCharacteristic,
    station: str,
    lower: str | None,
    upper: str | None,
    chance: random.Random,
    planted: Decimal | None,
    straightened: bool,
) -> dict[str, Any]:
    match one.kind:
        case Kind.GO_NO_GO:
            return {"result": "go"}
        case Kind.SIZE:
            return {"value": _size(lower, upper, chance, planted)}
        case Kind.RUNOUT:
            tube = one.code.startswith("tube")
            target = chance.uniform(0.06, 0.12) if tube else chance.uniform(0.0015, 0.0035)
            if straightened:
                target = chance.uniform(0.022, 0.030)
            return {"readings": _run(float(planted or target), 0.001 if tube else 0.0005, chance)}
        case Kind.FACE_POINTS:
            after = STATIONS[station].code == "final_inspection"
            target = chance.uniform(0.0032, 0.0044) if after else chance.uniform(0.0015, 0.003)
            return {"points": _face(float(planted or target), chance)}
    nominal = [Decimal(str(one.parameters[f"nominal_{axis}"])) for axis in "xy"]
    x, y = (f"{float(value) + chance.gauss(0, 0.0018):.4f}" for value in nominal)
    return {"x": x, "y": y}


def _size(lower: str | None, upper: str | None, chance: random.Random, planted: Decimal | None) -> str:
    places = max((-int(Decimal(text).as_tuple().exponent) for text in (lower, upper) if text), default=3)
    if planted is not None:
        return str(planted)
    if lower is not None and upper is not None:
        low, high = float(lower), float(upper)
        value = (low + high) / 2 + (high - low) * chance.uniform(-0.3, 0.3)
        return f"{value:.{places}f}"
    if upper is not None:
        return f"{float(upper) * chance.uniform(0.25, 0.7):.{places + 1}f}"
    return f"{float(lower or 0) + chance.uniform(0.03, 0.08):.{max(places, 3)}f}"


def _run(fim: float, step: float, chance: random.Random) -> list[str]:
    """One turn of an indicator: mostly eccentric, a little oval; greatest minus least is exactly ``fim``."""
    high = chance.uniform(0, 2 * math.pi)
    turn = [2 * math.pi * place / CLOCK for place in range(CLOCK)]
    shape = [math.cos(angle - high) + 0.15 * math.cos(2 * (angle - high)) for angle in turn]
    least, most = min(shape), max(shape)
    readings = [round((value - least) / (most - least) * fim / step) * step for value in shape]
    readings[shape.index(most)], readings[shape.index(least)] = fim, 0.0
    return [f"{value:.4f}" for value in readings]


def _face(flatness: float, chance: random.Random) -> list[list[str]]:
    """Points on two rings of a saddle, the shape that welding leaves; two up, two down."""
    points = []
    for place in range(FACE_POINTS):
        angle = 2 * math.pi * place / (FACE_POINTS / 2) + (place < FACE_POINTS / 2) * math.pi / 8
        radius = 4.0 if place < FACE_POINTS / 2 else 5.25
        height = flatness / 2 * math.cos(2 * angle) * (radius / 5.25) ** 2
        if radius < 5:
            height += chance.gauss(0, 0.0001)
        points.append([f"{radius * math.cos(angle):.3f}", f"{radius * math.sin(angle):.3f}", f"{height:.4f}"])
    return points


if __name__ == "__main__":
    main()
