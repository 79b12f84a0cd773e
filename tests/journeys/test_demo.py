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

import pytest

from tests.harness.homes import ROOT, Home, new_home
from tests.harness.ports import free_port, wait_until
from tests.harness.programs import Program, started

# A hang, not a measurement.
SECONDS = 500
HOUSINGS, ORDERS, CERTIFICATES = 12, 5, 5

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
def killed_and_loaded() -> Iterator[tuple[Home, str]]:
    """A home whose demo was killed twice on its way and then loaded to its end; and what it printed."""
    with new_home(SHOPQC_LEASE_SECONDS="60") as home:
        try:
            with loading(home, noted=120) as demo:
                demo.process.kill()
                demo.process.wait(30)
                # Nobody stops web server and worker now; they end by themselves.
                wait_until(lambda: not processes_of(home), what="the end of what the demo started")
            with loading(home, noted=400) as demo:
                demo.kill_group()
                kill_all_of(home)
                assert demo.process.returncode == -signal.SIGKILL
            yield home, load(home).stdout
        finally:
            kill_all_of(home)


@pytest.fixture(scope="module")
def loaded(killed_and_loaded: tuple[Home, str]) -> Home:
    return killed_and_loaded[0]


def test_a_demo_killed_twice_is_completed_by_the_next_start(killed_and_loaded: tuple[Home, str]) -> None:
    home, printed = killed_and_loaded
    for word in ("Owner", "QC lead", "Welder", "Machinist", "Customer", "Papers", "Ctrl-C", "there for"):
        assert word in printed
    assert home.ask(PROVEN) == {"issued": ["%PDF"] * CERTIFICATES, "open": 0}
    assert [name for name in papers(home) if name.startswith("certificate-")] == [
        f"certificate-KC-{number:05d}.pdf" for number in range(1, CERTIFICATES + 1)
    ]
    counts = home.ask(COUNTS)
    assert counts["housings.order"] == ORDERS and counts["housings.housing"] == HOUSINGS
    assert counts["inspections.signoff"] == counts["inspections.certificate"] == CERTIFICATES
    assert home.ask(TWICE) == []


def test_a_second_start_writes_nothing_twice(loaded: Home) -> None:
    counts, kept = loaded.ask(COUNTS), papers(loaded)
    load(loaded)
    assert loaded.ask(COUNTS) == counts
    assert papers(loaded) == kept


def test_the_record_book_agrees_and_every_reading_comes_out_the_same(loaded: Home) -> None:
    assert "The record book agrees" in loaded.manage("verify_ledger").stdout
    again = loaded.manage("recompute", check=False)
    assert again.returncode == 0, again.stdout + again.stderr
