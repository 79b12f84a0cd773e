"""Says at the end what was left out; under CI that is a failure, because nobody reads a green log."""

from __future__ import annotations

import os
from collections import Counter

import pytest

from tests.harness import found


def reasons(terminal: pytest.TerminalReporter) -> Counter[str]:
    """How many tests were skipped for which reason."""
    counted: Counter[str] = Counter()
    for report in terminal.stats.get("skipped", []):
        why = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
        counted[why.removeprefix("Skipped: ")] += 1
    return counted


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    terminal = session.config.pluginmanager.get_plugin("terminalreporter")
    if terminal is None or hasattr(session.config, "workerinput"):
        return
    if os.environ.get("CI") == "true" and exitstatus == 0 and terminal.stats.get("skipped"):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    for why, count in sorted(reasons(terminalreporter).items()):
        terminalreporter.write_line(f"left out: {count} {'test' if count == 1 else 'tests'}: {why}")
    for name, need in found.missing().items():
        terminalreporter.write_line(f"not on this machine: {name} (package {need.package})")
