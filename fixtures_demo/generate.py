"""Makes the raw files of the demo: ``python -m fixtures_demo.generate``.

Seeded, so that the same files come out each time. Each housing has one shape (`shape`), which the work of its
stations changes (`shop_work`), and from which every gauge reads (`gauging`). What a tale needs is planted in
`walks.json`; everything else is left to chance, with the magnitudes of the trade.
"""

from __future__ import annotations

import json
import random
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from fixtures_demo import gauges_used
from fixtures_demo.bench import Bench
from fixtures_demo.bench_now import at_the_bench
from fixtures_demo.gauging import Hand
from fixtures_demo.raw_files import WELDS, WORK, VisitFiles
from fixtures_demo.shape import Shape
from fixtures_demo.shop_work import as_cut, described, work
from fixtures_demo.weld_work import repaired, welded
from housings.engineering.route_rules import default_route
from housings.engineering.spec import Spec, spec_from
from housings.engineering.stations import STATIONS
from inspections.default_plan import plan_for
from inspections.planning.terms import ResolvedCharacteristic

HERE = Path(__file__).resolve().parent
READINGS = HERE / "readings"
# What the second revision of the route adds to the first.
ADDED = ("straighten", "non_destructive_testing", "clean_inside", "seam_bubble_test", "coat")


@dataclass(frozen=True)
class Stay:
    """One visit of a walk: where, and whether the route, rework or a measuring again leads there.

    `folder` names its files; `stays`: how far it gets if the walk ends here.
    """

    folder: str
    station: str
    why: str
    stays: str = ""


def stations_of(revision: int, links: bool) -> list[str]:
    """The stations of one revision of the demo's route."""
    wanted = {*default_route(links), *(ADDED if revision == 2 else ())}
    return [code for code in STATIONS if code in wanted]


def stays_of(walk: Mapping[str, Any], revision: int, links: bool) -> list[Stay]:
    """The visits of a walk in order."""
    visits: list[tuple[str, str]] = []
    reworks = {one["after"]: one for one in walk.get("decisions", ()) if one["decision"] == "rework"}
    until = walk["until"]
    for station in () if until == "released" else stations_of(revision, links):
        visits.append((station, "route"))
        if station in reworks:
            visits += [(extra, "rework") for extra in reworks[station]["stations"]]
            visits += [(extra, "measure") for extra in reworks[station]["again"]]
        if station == until:
            break
    last = walk.get("stays", "")
    return [
        Stay(f"{number:02d}-{station}", station, why, last if number == len(visits) else "")
        for number, (station, why) in enumerate(visits, start=1)
    ]


def main() -> None:
    """Write ``readings/<housing>/<nn>-<station>/`` for every walk."""
    shutil.rmtree(READINGS, ignore_errors=True)
    orders = {order["reference"]: order for order in map(load, sorted((HERE / "orders").glob("*.json")))}
    for label, walk in load(HERE / "walks.json").items():
        order = orders[walk["order"]]
        spec = spec_from(spec_of(order, walk["place"]))
        _Maker(label, walk, spec, order["route_revision"]).write()


def load(path: Path) -> Any:
    return json.loads(path.read_text())


def spec_of(order: Mapping[str, Any], place: int) -> dict[str, Any]:
    """The build spec of a housing by its place in an order."""
    specs = [line["spec"] for line in order["lines"] for _ in range(line["quantity"])]
    spec: dict[str, Any] = specs[place]
    return spec


def welder_of(label: str) -> str:
    """Who welds a housing: one welder the first, the other the next."""
    return ("W1", "W2")[list(load(HERE / "walks.json")).index(label) % 2]


@dataclass
class _Maker:
    """Makes the files of one housing."""

    label: str
    walk: Mapping[str, Any]
    spec: Spec
    revision: int
    shape: Shape = field(init=False)

    def write(self) -> None:
        chance = random.Random(f"kettle creek {self.label}")
        stations = stations_of(self.revision, self.spec.links)
        plan = plan_for(self.spec, stations)
        self.shape = as_cut(self.spec, chance)
        reworked: set[str] = set()
        for stay in stays_of(self.walk, self.revision, self.spec.links):
            planted = self._planted(stay)
            seed = Hand(random.Random(f"kettle creek {self.label} {stay.folder}"))
            due = [one for one in plan if _due(one, stay)]
            if stay.why == "rework":
                reworked.add(stay.station)
            if stay.why == "measure":
                # What the rework could have moved, and what was measured there once more.
                due = [one for one in due if reworked & {*one.movable_by, *(d.station for d in one.due)}]
            if (before := self._before(stay, plan)) and stay.why != "measure":
                self._file(f"{stay.folder}-before", before, stay, seed)
            if stay.why != "measure" and stay.stays not in {"arrived", "welding"}:
                self._work(stay, chance, planted)
            if stay.why != "measure" and stay.stays != "arrived":
                self._weld(stay)
            if stay.stays not in {"arrived", "worked", "welding"} and due:
                self._file(stay.folder, due, stay, seed)
            again = self.walk.get("again", {}).get(stay.folder, {}).get("characteristics", ())
            if again:
                due = [one for one in plan if one.code in again]
                self._file(f"{stay.folder}-again", due, stay, seed)

    def _work(self, stay: Stay, chance: random.Random, planted: Mapping[str, float]) -> None:
        if stay.why == "rework" and stay.station == "snouts":
            # One pass in a cavity of half an inch moves nothing that anybody could measure.
            return
        before = self.shape
        self.shape = work(before, stay.station, self.spec, chance, planted)
        if said := described(stay.station, before, self.shape):
            folder = READINGS / self.label / stay.folder
            folder.mkdir(parents=True, exist_ok=True)
            (folder / WORK).write_text(json.dumps(said, indent=1, sort_keys=True) + "\n")

    def _weld(self, stay: Stay) -> None:
        chance = random.Random(f"kettle creek {self.label} {stay.folder} welds")
        told = self.walk.get("welds", {}).get(stay.folder, {})
        welder = welder_of(self.label)
        if stay.stays == "welding":
            events = at_the_bench(self.label, self.spec)
        elif "repair" in told:
            events = repaired(self.spec, welder, told["repair"], chance, told)
        elif stay.why == "route":
            events = welded(self.spec, stay.station, welder, chance, told)
        else:
            events = []
        if events:
            folder = READINGS / self.label / stay.folder
            folder.mkdir(parents=True, exist_ok=True)
            lines = ",\n".join(json.dumps(event) for event in events)
            (folder / WELDS).write_text(f"[\n{lines}\n]\n")

    def _planted(self, stay: Stay) -> Mapping[str, float]:
        planted = self.walk.get("plant", {}).get(stay.folder, {})
        return {name: float(value) for name, value in planted.items()}

    def _before(self, stay: Stay, plan: Sequence[ResolvedCharacteristic]) -> list[ResolvedCharacteristic]:
        """What is measured on arrival, before the work."""
        wanted = self.walk.get("before", {}).get(stay.folder, ())
        return [one for one in plan if one.code in wanted]

    def _file(self, folder: str, due: Sequence[ResolvedCharacteristic], stay: Stay, hand: Hand) -> None:
        gauge_of = {**self.walk.get("gauges", {}).get(folder, {})}
        bench = Bench(self.shape, self.spec, hand)
        files = VisitFiles()
        for one in due:
            gauge = gauge_of.get(one.code) or gauges_used.gauge_for(one)
            limits = next((found for found in one.due if found.station == stay.station), one.due[-1])
            bench.take(one, gauge, limits, files)
        bench.note_set_up(files)
        files.write(READINGS / self.label / folder)


def _due(one: ResolvedCharacteristic, stay: Stay) -> bool:
    return any(due.station == stay.station for due in one.due)


if __name__ == "__main__":
    main()
