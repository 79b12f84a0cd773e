"""Prints at the end of a run how many values from outside were checked, whichever process ran the tests."""

from typing import Any

import pytest

from tests import published

_KEY = "published_values"


def pytest_sessionfinish(session: pytest.Session) -> None:
    """A worker of pytest-xdist hands its counts to the process that prints."""
    output: dict[str, Any] | None = getattr(session.config, "workeroutput", None)
    if output is not None:
        output[_KEY] = sorted(published.seen)


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any, error: object) -> None:
    for line in getattr(node, "workeroutput", {}).get(_KEY, ()):
        published.seen.add(tuple(line))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if published.seen:
        terminalreporter.write_line(published.sentence(published.seen))
