"""Prints at the end of a run what its tests counted, whichever process ran them."""

from typing import Any

import pytest

from tests import published, said

_KEY, _SAID = "published_values", "said"


def pytest_sessionfinish(session: pytest.Session) -> None:
    """A worker of pytest-xdist hands its counts to the process that prints."""
    output: dict[str, Any] | None = getattr(session.config, "workeroutput", None)
    if output is not None:
        output[_KEY] = sorted(published.seen)
        output[_SAID] = sorted(said.said)


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any, error: object) -> None:
    output = getattr(node, "workeroutput", {})
    for line in output.get(_KEY, ()):
        published.seen.add(tuple(line))
    said.said.update(output.get(_SAID, ()))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    for line in sorted(said.said):
        terminalreporter.write_line(line)
    if published.seen:
        terminalreporter.write_line(published.sentence(published.seen))
