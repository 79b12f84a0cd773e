"""The demo as a user starts it: it ends well, goes on where it was, and writes nothing twice."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fixtures_demo.bench_now import BENCH
from fixtures_demo.steel import RECALLED, labels_with
from tests.harness.homes import ROOT, Home, new_home
from tests.harness.ports import free_port, wait_until
from tests.harness.programs import Program, started

# A hang, not a measurement.
SECONDS = 500
HOUSINGS, ORDERS, CERTIFICATES = 14, 6, 5

COUNTS = """
from django.apps import apps
ours = [m for name in ("shopqc", "housings", "inspections") for m in apps.get_app_config(name).get_models()]
answer = {model._meta.label_lower: model._default_manager.count() for model in ours}
"""

PROVEN = """
from inspections.models import CertificateEvent, IssueJob
from shopqc import files
issued = CertificateEvent.objects.filter(kind="issued")
answer = {
    "issued": [files.read(event.file)[:4].decode() for event in issued],
    "open": IssueJob.objects.exclude(state="done").count(),
}
"""

TWICE = """
import json
from collections import Counter
from inspections.models import Reading
seen = Counter(
    (str(r.visit_id), r.characteristic.code, json.dumps(r.raw, sort_keys=True), r.gauge_id)
    for r in Reading.objects.select_related("characteristic")
)
answer = [str(key) for key, count in seen.items() if count > 1]
"""


def load(home: Home) -> subprocess.CompletedProcess[str]:
    """``manage.py demo --load-only``, to its end."""
    return home.manage("demo", "--load-only", f"--port={free_port()}")


def papers(home: Home) -> list[str]:
    return sorted(path.name for path in (home.folder / "papers").iterdir())


def steps_noted(home: Home) -> int:
    """How many steps the demo has noted as done."""
    path = home.folder / "demo-progress.json"
    return len(json.loads(path.read_text())) if path.exists() else 0


def processes_of(home: Home) -> list[int]:
    """Processes that run in a home: what the demo started in groups of their own."""
    found = []
    for path in Path("/proc").glob("[0-9]*/environ"):
        with contextlib.suppress(OSError):
            if f"SHOPQC_HOME={home.folder}\0".encode() in path.read_bytes():
                found.append(int(path.parent.name))
    return found


def kill_all_of(home: Home) -> None:
    """``kill -9`` for everything that runs in a home, as when the machine stops."""
    while running := processes_of(home):
        for pid in running:
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        time.sleep(0.1)


@contextlib.contextmanager
def loading(home: Home, noted: int) -> Iterator[Program]:
    """The demo, started, once it has noted so many steps."""
    command: list[str | Path] = [sys.executable, ROOT / "manage.py", "demo", "--load-only"]
    with started("demo", [*command, f"--port={free_port()}"], folder=home.folder, env=home.env) as demo:
        demo.wait_until_well(lambda: steps_noted(home) >= noted, f"{noted} steps of the demo", SECONDS)
        yield demo


@pytest.fixture(scope="module")
def begun() -> Iterator[Home]:
    """A home for the demo; whatever runs in it ends with these tests."""
    with new_home(SHOPQC_LEASE_SECONDS="60") as home:
        yield home
        kill_all_of(home)


# One load of the demo in three parts, a test each, so that none of them looks like a hang.
@pytest.fixture(scope="module")
def killed_alone(begun: Home) -> Home:
    """The demo killed on its way, and nothing of what it had started."""
    with loading(begun, noted=500) as demo:
        demo.process.kill()
        demo.process.wait(30)
    return begun


@pytest.fixture(scope="module")
def killed_with_all(killed_alone: Home) -> Home:
    """The demo started again, and killed with everything it had started."""
    with loading(killed_alone, noted=900) as demo:
        demo.kill_group()
        kill_all_of(killed_alone)
        assert demo.process.returncode == -signal.SIGKILL
    return killed_alone


@pytest.fixture(scope="module")
def printed(killed_with_all: Home) -> str:
    """What the demo printed once it came to its end."""
    return load(killed_with_all).stdout


@pytest.fixture(scope="module")
def loaded(killed_with_all: Home, printed: str) -> Home:
    """The demo, loaded."""
    return killed_with_all


def test_what_a_killed_demo_had_started_ends_by_itself(killed_alone: Home) -> None:
    wait_until(lambda: not processes_of(killed_alone), what="the end of web server and worker")
    assert steps_noted(killed_alone) < 900


def test_a_demo_killed_again_goes_on_where_it_was(killed_with_all: Home) -> None:
    assert steps_noted(killed_with_all) >= 900
    counts = killed_with_all.ask(COUNTS)
    assert counts["housings.order"] == ORDERS and counts["housings.housing"] == HOUSINGS


def test_a_demo_killed_twice_is_completed_by_the_next_start(loaded: Home, printed: str) -> None:
    for word in ("Owner", "QC lead", "Welder", "Machinist", "Customer", "Papers", "Ctrl-C", "there for"):
        assert word in printed
    assert loaded.ask(PROVEN) == {"issued": ["%PDF"] * CERTIFICATES, "open": 0}
    assert [name for name in papers(loaded) if name.startswith("certificate-")] == [
        f"certificate-KC-{number:05d}.pdf" for number in range(1, CERTIFICATES + 1)
    ]
    counts = loaded.ask(COUNTS)
    assert counts["housings.order"] == ORDERS and counts["housings.housing"] == HOUSINGS
    assert counts["inspections.signoff"] == counts["inspections.certificate"] == CERTIFICATES
    assert loaded.ask(TWICE) == []


def test_a_second_start_writes_nothing_twice(loaded: Home) -> None:
    counts, kept = loaded.ask(COUNTS), papers(loaded)
    load(loaded)
    assert loaded.ask(COUNTS) == counts
    assert papers(loaded) == kept


def test_the_record_book_agrees_and_every_reading_comes_out_the_same(loaded: Home) -> None:
    assert "The record book agrees" in loaded.manage("verify_ledger").stdout
    again = loaded.manage("recompute", check=False)
    assert again.returncode == 0, again.stdout + again.stderr


TOLD = """
import json
from django.conf import settings
from fixtures_demo.generate import HERE, load
from housings.models import Housing
from inspections.models import Certificate, ReadingDoubt
progress = json.loads((settings.HOME / "demo-progress.json").read_text())
serials = {
    label: progress[f"order {walk['order']}"]["housings"][walk["place"]]["serial"]
    for label, walk in load(HERE / "walks.json").items()
}
labels = {serial: label for label, serial in serials.items()}
answer = {}
for housing in Housing.objects.select_related("route").order_by("serial"):
    here = housing.visits.filter(state="here").values_list("station", flat=True)
    rows = housing.readings.select_related("characteristic", "gauge").order_by("record_position", "place")
    answer[labels[housing.serial]] = {
        "serial": housing.serial,
        "state": housing.state,
        "route": housing.route.number,
        "at": list(here),
        "held": list(housing.holds.filter(released_at=None).values_list("why", flat=True)),
        "decisions": [
            [
                found.characteristic.code if found.characteristic else "weld",
                found.decision.kind if found.decision else None,
            ]
            for found in housing.nonconformances.select_related("characteristic", "disposition")
        ],
        "concessions": [
            bool(found.decision and found.decision.concession and found.decision.credential)
            for found in housing.nonconformances.select_related("disposition")
        ],
        "certificates": [
            [event.kind for event in one.events.order_by("pk")]
            for one in Certificate.objects.filter(housing=housing).order_by("number")
        ],
        "readings": [
            [r.characteristic.code, r.station, r.verdict, r.gauge and r.gauge.code, r.setup.get("master")]
            for r in rows
        ],
        "doubts": [
            [doubt.reading.characteristic.code, doubt.reading.verdict, doubt.verdict]
            for doubt in ReadingDoubt.objects.filter(reading__housing=housing)
        ],
        "passes": [
            [p.joint.code, p.number, p.repair, p.welder.stamp, [one["code"] for one in p.outside]]
            for p in housing.weld_passes.select_related("joint", "welder").filter(taken_back=None)
        ],
        "looks": [
            [look.joint.code, look.stage, look.accepted]
            for look in housing.weld_looks.select_related("joint")
        ],
        "waited": [float(test.waited_hours) for test in housing.weld_tests.all()],
        "steel": {use.part: use.heat.number for use in housing.materials.select_related("heat")},
        "simulated": sorted(set(housing.joint_temperatures.values_list("simulated", flat=True))),
    }
"""


@pytest.fixture(scope="module")
def told(loaded: Home) -> dict[str, Any]:
    """What the database says of each housing, by its label in ``walks.json``."""
    said: dict[str, Any] = loaded.ask(TOLD)
    return said


def verdicts(told: dict[str, Any], label: str, code: str) -> list[list[str]]:
    """Station and verdict of each reading of a characteristic, in the order of the record."""
    return [[station, verdict] for c, station, verdict, *_ in told[label]["readings"] if c == code]


def test_the_floor_tells_a_tale(told: dict[str, Any]) -> None:
    states = sorted(one["state"] for one in told.values())
    assert states == ["cancelled", *["in_work"] * 8, "scrapped", *["signed_off"] * 4]
    assert {one["route"] for one in told.values()} == {1, 2}
    stations = {station for one in told.values() for station in one["at"]}
    assert {"truss", "snouts", "straighten", "face_and_drill", "leak_test"} <= stations
    assert told["b3"]["held"] and not told["a2"]["held"]


def test_a_skim_cut_after_the_armor_brings_a_face_back(told: dict[str, Any]) -> None:
    assert verdicts(told, "c1", "face_flatness") == [
        ["face_and_drill", "pass"],
        ["final_inspection", "fail"],
        ["face_and_drill", "pass"],
        ["final_inspection", "pass"],
    ]
    assert told["c1"]["decisions"] == [["face_flatness", "rework"]]
    assert told["c1"]["certificates"] == [["issued"]]


def test_a_face_that_no_cut_can_save_is_scrapped(told: dict[str, Any]) -> None:
    assert told["a3"]["state"] == "scrapped"
    assert ["face_flatness", "scrap"] in told["a3"]["decisions"]


def test_a_journal_that_no_gauge_decides_is_settled_by_a_master(told: dict[str, Any]) -> None:
    taken = [reading for reading in told["d3"]["readings"] if reading[:2] == ["journal_left", "jig"]]
    assert [[verdict, gauge, master] for _code, _at, verdict, gauge, master in taken] == [
        ["undecided", "MIC-1", None],
        ["pass", "COMP-1", "MASTER-250"],
    ]


def test_holes_drilled_before_the_welding_are_not_accepted(told: dict[str, Any]) -> None:
    assert told["e1"]["decisions"] == [["hole_pattern", None]]
    assert told["e1"]["at"] == ["face_and_drill"] and told["e1"]["held"]


def test_an_engineer_accepts_with_the_customers_concession(told: dict[str, Any]) -> None:
    assert told["d1"]["decisions"] == [["journal_runout_right", "use_as_is"]]
    assert told["d1"]["concessions"] == [True]
    assert told["d1"]["certificates"] == [["issued", "questioned"]]


def test_a_certificate_was_revoked_and_the_housing_signed_again(told: dict[str, Any]) -> None:
    assert verdicts(told, "b1", "tube_runout_left")[:2] == [["truss", "fail"], ["truss", "pass"]]
    assert told["b1"]["certificates"] == [["issued", "revoked"], ["issued"]]


def test_the_gauge_found_wrong_flips_exactly_the_planted_verdict(told: dict[str, Any]) -> None:
    doubted = {label: one["doubts"] for label, one in told.items() if one["doubts"]}
    assert doubted == {"a1": [["leak", "pass", "fail"]]}
    assert told["a1"]["certificates"] == [["issued", "questioned"]]
    examined = [r for one in told.values() for r in one["readings"] if r[3] == "PRESS-1"]
    assert len(examined) == 5


def test_a_pass_outside_its_procedure_opened_a_nonconformance_that_was_decided(told: dict[str, Any]) -> None:
    outside = {label: [p for p in one["passes"] if p[4]] for label, one in told.items()}
    assert {label: passes for label, passes in outside.items() if passes} == {
        "d2": [["snout_left", 6, 0, "W2", ["amps"]]]
    }
    assert told["d2"]["decisions"] == [["weld", "use_as_is"]]


def test_an_undercut_was_dug_out_looked_at_and_welded_again(told: dict[str, Any]) -> None:
    assert [p[:3] for p in told["d3"]["passes"] if p[2]] == [["snout_right", 9, 1]]
    assert [look[1:] for look in told["d3"]["looks"] if look[0] == "snout_right"] == [
        ["root", True],
        ["final", False],
        ["cavity", True],
        ["final", True],
    ]
    assert told["d3"]["decisions"] == [["weld", "rework"]]


def test_snouts_were_tested_after_the_hours_of_their_procedure(told: dict[str, Any]) -> None:
    assert {label for label, one in told.items() if one["waited"]} == {"d1", "d2", "e1"}
    # 16 h for a snout of 4130, 48 h for one of 4140: the example procedures.
    assert min(told["d1"]["waited"] + told["d2"]["waited"]) >= 16 and min(told["e1"]["waited"]) >= 48


def test_the_recalled_heat_is_found_in_exactly_its_housings(told: dict[str, Any]) -> None:
    having = {label for label, one in told.items() if RECALLED["heat"] in one["steel"].values()}
    assert having == set(labels_with(RECALLED["heat"])) == {"b3", "d1", "e1"}
    held = {label for label, one in told.items() if any(RECALLED["heat"] in why for why in one["held"])}
    assert held == {"b3", "e1"} and told["d1"]["certificates"] == [["issued", "questioned"]]


def test_every_part_that_was_joined_has_its_heat(told: dict[str, Any]) -> None:
    for label in ("a1", "b1", "c1", "d1"):
        assert {"tube_left", "tube_right", "truss", "snout_left", "armor_back"} <= set(told[label]["steel"])


def test_three_housings_stand_at_the_bench_and_a_welder_was_refused(
    told: dict[str, Any], printed: str
) -> None:
    at_bench = {label for label, one in told.items() if one["at"] == ["snouts"]}
    assert at_bench == set(BENCH) == {"b2", "f1", "f2"}
    for label, joints in BENCH.items():
        done = [p[0] for p in told[label]["passes"]]
        assert {code: done.count(code) for code in joints} == {
            code: len(shown.arcs) for code, shown in joints.items()
        }
    # Every temperature of the demo is made up, and marked so.
    assert all(one["simulated"] in ([], [True]) for one in told.values())
    assert "W3" not in {p[3] for one in told.values() for p in one["passes"]}
    assert "Welder W3 was refused there: Stamp W3 last used TIG on" in printed


BENCH_PAGE = """
from django.test import Client
from django.test.utils import setup_test_environment
from shopqc.models import Person
setup_test_environment()
client = Client()
client.force_login(Person.objects.get(stamp="W1"))
page = client.get("/weld/", headers={"host": "127.0.0.1"})
answer = {"status": page.status_code, "text": page.content.decode()}
"""


def test_the_bench_clock_shows_them(loaded: Home, told: dict[str, Any]) -> None:
    page = loaded.ask(BENCH_PAGE)
    assert page["status"] == 200
    for label in BENCH:
        assert f"/h/{told[label]['serial']}/weld/" in page["text"]


FACING = """
from django.test import Client
from django.test.utils import setup_test_environment
from shopqc.models import Person
setup_test_environment()
client = Client()
client.force_login(Person.objects.get(stamp="Q1"))
page = client.get("/h/{serial}/facing/", headers={{"host": "127.0.0.1"}})
planned = page.context["planned"]
answer = {{"status": page.status_code, "planned": planned and dict(planned)}}
"""


def test_the_facing_page_says_that_a_face_can_only_just_be_saved(loaded: Home, told: dict[str, Any]) -> None:
    page = loaded.ask(FACING.format(serial=told["d2"]["serial"]))
    assert page["status"] == 200
    planned = page["planned"]
    assert planned["engages"] == "pass"
    # A thousandth more is all that is left above the least thickness, 0.4375.
    assert 0.4375 <= float(planned["remaining"]) < 0.4395
    assert float(planned["last"]) - float(planned["depth"]) < 0.0025
