"""Every raw file of the demo, judged without a database: only what the tales planted does not pass."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from fixtures_demo.generate import HERE, READINGS, load, spec_of, stations_of
from fixtures_demo.raw_files import SHEET, read_visit
from fixtures_demo.set_up import EQUIPMENT, SHOP
from fixtures_demo.tales import WRONG_GAUGE
from housings.engineering.spec import spec_from
from inspections.basis import basis_of
from inspections.default_plan import plan_for
from inspections.models import Characteristic, Gauge
from inspections.setup import codes_of
from inspections.verdicts import Asked, Judged, as_typed, judge

WALKS = load(HERE / "walks.json")
ORDERS = {order["reference"]: order for order in map(load, (HERE / "orders").glob("*.json"))}
NOT_DESCRIBED = {"due_in_days", "checked_days_ago"}
GAUGES = {
    entry["code"]: Gauge(**{name: value for name, value in entry.items() if name not in NOT_DESCRIBED})
    for entry in EQUIPMENT
}

PLANTED = {
    "a3 05-face_and_drill face_flatness": "fail",
    "a3 05-face_and_drill face_thickness": "fail",
    "b1 03-truss tube_runout_left": "fail",
    "c1 10-final_inspection face_flatness": "fail",
    "d1 14-final_inspection journal_runout_right": "fail",
    "d3 01-jig journal_left": "undecided",
    "e1 08-face_and_drill hole_pattern": "fail",
}


def characteristics_of(label: str) -> dict[str, Characteristic]:
    walk = WALKS[label]
    order = ORDERS[walk["order"]]
    spec = spec_from(spec_of(order, walk["place"]))
    plan = plan_for(spec, stations_of(order["route_revision"], spec.links))
    rework = [s for one in walk.get("decisions", ()) for s in one.get("stations", ())]
    assert not set(rework) - {"straighten", "face_and_drill", "snouts"}
    return {one.code: Characteristic(**one.as_row()) for one in plan}


def judged(characteristic: Characteristic, station: str, entry: dict[str, Any], **error: str) -> Judged:
    """A reading as `record_readings` judges it; ``error``: what its gauge is known to read wrong."""
    due = characteristic.due_at(station)
    assert due is not None, (characteristic.code, station)
    setup = entry.get("setup", {})
    gauge = GAUGES[entry["gauge"]] if entry["gauge"] else None
    equipment = {name: GAUGES[code] for name, code in codes_of(setup)}
    basis = basis_of(characteristic, gauge, equipment, setup, entry.get("temperature"))
    asked = Asked(
        characteristic.kind,
        characteristic.unit,
        due.lower,
        due.upper,
        characteristic.parameters,
        SHOP["shop"]["decision_rule"],
        setup=setup,
        basis={**basis, **error},
    )
    return judge(asked, as_typed(entry["raw"]))


def entries_of(label: str) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Every reading of a housing but those before the work: folder, station, and what is sent."""
    for folder in sorted((READINGS / label).glob("*")):
        if not folder.name.endswith("-before") and (folder / SHEET).exists():
            station = folder.name.partition("-")[2].removesuffix("-again")
            for entry in read_visit(folder):
                yield folder.name, station, entry


@pytest.mark.parametrize("label", WALKS)
def test_only_what_a_tale_planted_does_not_pass(label: str) -> None:
    characteristics = characteristics_of(label)
    found = {}
    for folder, station, entry in entries_of(label):
        answer = judged(characteristics[entry["characteristic"]], station, entry)
        if answer.verdict != "pass":
            found[f"{label} {folder} {entry['characteristic']}"] = answer.verdict, answer.value
    assert {name: verdict for name, (verdict, _value) in found.items()} == {
        name: verdict for name, verdict in PLANTED.items() if name.startswith(label)
    }, found


def test_the_wrong_gauge_flips_one_verdict_of_one_housing() -> None:
    error = {"offset": WRONG_GAUGE["error_offset"], "scale": WRONG_GAUGE["error_scale"]}
    before, after = {}, {}
    for label in WALKS:
        characteristics = characteristics_of(label)
        for folder, station, entry in entries_of(label):
            if entry["gauge"] == WRONG_GAUGE["gauge"]:
                one = characteristics[entry["characteristic"]]
                before[label, folder] = judged(one, station, entry).verdict
                after[label, folder] = judged(one, station, entry, **error).verdict
    assert len(before) == 5 and set(before.values()) == {"pass"}
    assert {name for name, verdict in after.items() if verdict != "pass"} == {("a1", "08-leak_test")}
    assert after["a1", "08-leak_test"] == "fail"
