"""Free ports, and waiting for somebody to answer."""

from __future__ import annotations

import socket
import time
from collections.abc import Callable


def free_port() -> int:
    """A port of 127.0.0.1 that nobody listened on a moment ago."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def listens(port: int) -> bool:
    """Whether somebody accepts connections there."""
    with socket.socket() as probe:
        probe.settimeout(1)
        return probe.connect_ex(("127.0.0.1", port)) == 0


def wait_until(true: Callable[[], object], *, what: str, seconds: float = 60, every: float = 0.05) -> None:
    """Wait until ``true()`` is; the bound is generous, because it only tells a hang from a slow machine.

    Raises
    ------
    TimeoutError
        It never was; ``what`` stands in the message.
    """
    end = time.monotonic() + seconds
    while not true():
        if time.monotonic() > end:
            raise TimeoutError(f"Waited {seconds:g} s in vain: {what}")
        time.sleep(every)
