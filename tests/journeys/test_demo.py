"""The demo as a user starts it: it ends well, goes on where it was, and writes nothing twice."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

from tests.harness.homes import ROOT, Home
from tests.harness.ports import free_port
from tests.harness.programs import started

SECONDS = 280

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


DISTINCT = """
from inspections.models import Reading
answer = Reading.objects.values("visit", "characteristic").distinct().count()
"""


def load(home: Home) -> subprocess.CompletedProcess[str]:
    """``manage.py demo --load-only``, to its end."""
    return home.manage("demo", "--load-only", f"--port={free_port()}")


def papers(home: Home) -> list[str]:
    return sorted(path.name for path in (home.folder / "papers").iterdir())


def assert_loaded(home: Home) -> None:
    assert home.ask(PROVEN) == {"issued": ["%PDF", "%PDF"], "open": 0}
    assert [name for name in papers(home) if name.startswith("certificate-")] == [
        "certificate-KC-00001.pdf",
        "certificate-KC-00002.pdf",
    ]
    assert "The record book agrees" in home.manage("verify_ledger").stdout


def test_the_demo_loads_and_a_second_start_writes_nothing_twice(home: Home) -> None:
    patient = home.with_variables(SHOPQC_LEASE_SECONDS="60")
    first = load(patient)
    for word in ("Owner", "QC lead", "Welder", "Machinist", "Customer", "Papers", "Ctrl-C"):
        assert word in first.stdout
    assert_loaded(patient)
    counts, kept = patient.ask(COUNTS), papers(patient)
    assert counts["housings.order"] == 3 and counts["housings.housing"] == 8
    assert counts["inspections.nonconformance"] == 2 and counts["inspections.disposition"] == 1
    load(patient)
    assert patient.ask(COUNTS) == counts
    assert papers(patient) == kept
    assert_loaded(patient)


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


def kill_when(home: Home, noted: int) -> None:
    """Start the demo and kill it with all it started once it has noted so many steps."""
    command: list[str | Path] = [sys.executable, ROOT / "manage.py", "demo", "--load-only"]
    with started("demo", [*command, f"--port={free_port()}"], folder=home.folder, env=home.env) as demo:
        demo.wait_until_well(lambda: steps_noted(home) >= noted, f"{noted} steps of the demo", SECONDS)
        demo.kill_group()
        kill_all_of(home)
        assert demo.process.returncode == -signal.SIGKILL


def test_a_first_load_killed_twice_in_the_middle_is_completed_by_the_next_start(home: Home) -> None:
    patient = home.with_variables(SHOPQC_LEASE_SECONDS="60")
    try:
        for noted in (12, 90):
            kill_when(patient, noted)
            before = steps_noted(home)
        load(patient)
    finally:
        kill_all_of(home)
    assert steps_noted(home) > before
    assert_loaded(patient)
    counts = patient.ask(COUNTS)
    assert counts["housings.order"] == 3 and counts["housings.housing"] == 8
    assert counts["inspections.signoff"] == counts["inspections.certificate"] == 2
    # Each reading of the raw files once, however often it was sent.
    assert counts["inspections.reading"] == patient.ask(DISTINCT)
