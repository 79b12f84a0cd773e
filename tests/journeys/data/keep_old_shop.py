"""Keeps the rows of a shop as an older commit of this program wrote them, for the tests of upgrading.

    python tests/journeys/data/keep_old_shop.py COMMIT NAME

walks a small shop with that commit's own factories, in a worktree of its own and a database of its own, and
writes every row as JSON to ``NAME.json.gz`` beside this file. Files that stand here: ``with_0001`` from
7460549, the last commit before the second migrations, and ``with_0002`` from 522f959, the last one before the
third.
"""

from __future__ import annotations

import gzip
import os
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[2]

# Run inside the old commit: a housing signed for, with its certificate issued; one whose face failed and was
# reworked, one that waits for a decision and is held, one that was only released.
WALK = """
import sys
from types import SimpleNamespace
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.factories import Floor, LINKS_SPEC
from housings.operations.holds import hold_housing
from housings.operations.visits import leave_station
from inspections import tasks
from inspections.models import IssueJob
from inspections.operations.nonconformances import dispose
floor = Floor()
# JSON keeps thousandths of a second, a row's digest millionths: every moment is the factory's round one.
tasks.timezone = SimpleNamespace(now=lambda: floor.at)
floor.housing(until="signed", spec=LINKS_SPEC)
tasks.issue_certificate(IssueJob.objects.get().pk)
def fails(housing):
    width = floor.characteristic(housing, "width")
    due = [standing.characteristic.code for standing in floor.measured(housing).due_at("final_inspection")]
    floor.work(housing, "final_inspection")
    floor.measure_due(housing, "final_inspection", only=[code for code in due if code != "width"])
    floor.record(housing, floor.reading(housing, width, "final_inspection", raw={"value": "73"}))
reworked = floor.housing(until="final_inspection", spec=LINKS_SPEC)
fails(reworked)
floor.do(dispose, by="Q1", housing=reworked.serial, nonconformance=1, decision="rework", reason="cut again",
         stations=["face_and_drill"])
floor.do(leave_station, by="W1", housing=reworked.serial, station="final_inspection")
floor.walk(reworked, "final_inspection")
waits = floor.housing(until="final_inspection")
fails(waits)
floor.do(hold_housing, by="Q1", housing=waits.serial, why="waits for the engineer")
floor.housing(until="snouts")
floor.housing()
from shopqc import ledger
assert ledger.verify().faults == ()
call_command("dumpdata", "shopqc", "housings", "inspections", output=sys.argv[1])
"""


def keep(commit: str, name: str) -> None:
    """Write ``NAME.json.gz`` as a commit would have it."""
    with tempfile.TemporaryDirectory() as made:
        old, rows, home = Path(made, "old"), Path(made, "rows.json"), Path(made, "home")
        subprocess.run(["git", "worktree", "add", "--detach", old, commit], cwd=ROOT, check=True)
        try:
            env = {key: value for key, value in os.environ.items() if not key.startswith("SHOPQC_")}
            env |= {
                "PYTHONPATH": str(old),
                "SHOPQC_HOME": str(home),
                "DJANGO_SETTINGS_MODULE": "shopqc.settings",
            }
            subprocess.run([sys.executable, "-c", WALK, rows], cwd=old, env=env, check=True)
            # Without a date in the file: the same rows are the same bytes.
            (HERE / f"{name}.json.gz").write_bytes(gzip.compress(rows.read_bytes(), 9, mtime=0))
        finally:
            subprocess.run(["git", "worktree", "remove", "--force", old], cwd=ROOT, check=True)


if __name__ == "__main__":
    keep(*sys.argv[1:])
