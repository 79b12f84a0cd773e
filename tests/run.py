"""Runs the suite on SQLite, then what touches a database again on PostgreSQL and Redis.

    python -m tests.run            everything but the soak
    python -m tests.run soak       kills and load, bounded

Private servers are started on free ports unless SHOPQC_TEST_DATABASE_URL and
SHOPQC_TEST_REDIS_URL name others. The last lines say what was left out; with
CI=true that is a failure.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.harness import found
from tests.harness.services import private_postgresql, private_redis

ROOT = Path(__file__).resolve().parents[1]
PROCESSES = ["-n", "2", "--dist", "loadfile"]
COUNTED = re.compile(r"(\d+) (passed|failed|errors?|skipped|xfailed|xpassed)")
ANSI = re.compile(r"\x1b\[[0-9;]*m")


@dataclass(frozen=True)
class Ran:
    """How one run of pytest ended: its exit code (5 = no test ran) and its closing line."""

    on: str
    code: int
    closing: str

    def __str__(self) -> str:
        return (
            f"{self.on}: {self.closing or 'pytest did not come to its closing line'} (exit code {self.code})"
        )


def pytest(on: str, arguments: list[str], variables: Mapping[str, str]) -> Ran:
    """Run pytest in a process, its output passed on line by line."""
    print(f"\n##### {on} #####", flush=True)
    env = {
        name: value
        for name, value in os.environ.items()
        if name not in {"SHOPQC_TEST_DATABASE_URL", "SHOPQC_TEST_REDIS_URL"}
    }
    color = "yes" if sys.stdout.isatty() else "no"
    process = subprocess.Popen(
        [sys.executable, "-m", "pytest", f"--color={color}", *arguments],
        cwd=ROOT,
        env={**env, **variables},
        stdout=subprocess.PIPE,
        text=True,
        errors="replace",
    )
    closing = ""
    assert process.stdout is not None
    for line in process.stdout:
        print(line, end="", flush=True)
        plain = ANSI.sub("", line).strip()
        if re.search(r" in \d+(\.\d+)?s\b", plain) and (COUNTED.search(plain) or "no tests ran" in plain):
            closing = plain.strip("= ")
    return Ran(on, process.wait(), closing)


@contextmanager
def servers() -> Iterator[dict[str, str] | None]:
    """PostgreSQL and Redis for the second run; ``None`` if this machine has no PostgreSQL."""
    with ExitStack() as started:
        database = os.environ.get("SHOPQC_TEST_DATABASE_URL", "")
        if not database:
            if found.postgresql() is None:
                yield None
                return
            database = started.enter_context(private_postgresql())
        broker = os.environ.get("SHOPQC_TEST_REDIS_URL", "")
        if not broker and found.program("redis-server"):
            broker = started.enter_context(private_redis())
        yield {"SHOPQC_TEST_DATABASE_URL": database, "SHOPQC_TEST_REDIS_URL": broker}


def suite(arguments: list[str]) -> list[Ran]:
    """Both runs of the whole suite."""
    ran = [pytest("SQLite, embedded broker", [*PROCESSES, *arguments], {})]
    with servers() as variables:
        if variables is not None:
            on = "PostgreSQL, Redis" if variables["SHOPQC_TEST_REDIS_URL"] else "PostgreSQL, embedded broker"
            ran.append(pytest(on, [*PROCESSES, "--database-only", *arguments], variables))
    return ran


def soak(arguments: list[str]) -> list[Ran]:
    """Kills and load, on both databases, one after the other: they want the machine for themselves."""
    chosen = ["-m", "soak", "-s", *arguments]
    ran = [pytest("soak on SQLite, embedded broker", chosen, {})]
    with servers() as variables:
        if variables is not None:
            ran.append(pytest("soak on PostgreSQL, Redis", chosen, variables))
    return ran


def report(ran: list[Ran]) -> int:
    """Print the last lines; the exit code of everything."""
    left_out = [f"{need.without} ({name}: package {need.package})" for name, need in found.missing().items()]
    if os.environ.get("SHOPQC_TEST_DATABASE_URL"):
        left_out = [line for line in left_out if not line.startswith("everything on PostgreSQL")]
    if os.environ.get("SHOPQC_TEST_REDIS_URL"):
        left_out = [line for line in left_out if not line.startswith("everything on Redis")]
    print()
    for each in ran:
        print(each)
    for line in left_out:
        print(f"Left out, because it is not on this machine: {line}")
    if not left_out:
        print("Every service and program was here; tests skipped for another reason are listed above.")
    failed = any(each.code for each in ran) or (bool(left_out) and os.environ.get("CI") == "true")
    totals = {"passed": 0, "failed": 0, "skipped": 0}
    for each in ran:
        for number, word in COUNTED.findall(each.closing):
            word = "failed" if word.startswith("error") else word
            totals[word] = totals.get(word, 0) + int(number)
    counts = ", ".join(f"{number} {word}" for word, number in totals.items() if number or word == "passed")
    print(f"===== {counts} =====  {'NOT GREEN' if failed else 'green'}")
    return 1 if failed else 0


def main(arguments: list[str]) -> int:
    if arguments[:1] == ["soak"]:
        return report(soak(arguments[1:]))
    return report(suite(arguments))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
