"""The demo's processes: the web server and the worker, started and stopped together."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

READY_SECONDS = 60
STOP_SECONDS = 15


def free_port(wanted: int) -> int:
    """``wanted``, or the next port after it that nobody listens at."""
    for port in range(wanted, wanted + 100):
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    raise RuntimeError(f"No port from {wanted} to {wanted + 99} is free.")


@contextmanager
def running(address: str, port: int, home: Path) -> Iterator[list[subprocess.Popen[bytes]]]:
    """Web server and worker, until the block ends; their logs stand in ``home/logs``."""
    environment = {**os.environ, "SHOPQC_FLOOR_URL": address, "SHOPQC_HOME": str(home)}
    environment.setdefault("SHOPQC_SWEEP_SECONDS", "5")
    # A gauge that makes its figures up has no place but here, and marks them.
    environment["SHOPQC_SIMULATED_GAUGE"] = "yes"
    logs = home / "logs"
    logs.mkdir(parents=True, exist_ok=True)
    web = ["gunicorn", "shopqc.wsgi", "--bind", f"127.0.0.1:{port}", "--workers", "2", "--threads", "2"]
    worker = ["celery", "-A", "shopqc", "worker", "-B", "-c", "1", "--loglevel", "INFO"]
    started: list[subprocess.Popen[bytes]] = []
    try:
        for name, arguments in (("web", web), ("worker", worker)):
            with (logs / f"{name}.log").open("ab") as log:
                started.append(
                    subprocess.Popen(
                        [sys.executable, "-m", "fixtures_demo.with_parent", str(os.getpid()), *arguments],
                        env=environment,
                        stdout=log,
                        stderr=log,
                        stdin=subprocess.DEVNULL,
                        # Groups of their own: Ctrl-C reaches us alone, and we stop them in order.
                        start_new_session=True,
                    )
                )
        _wait_until_well(address, started, logs)
        yield started
    finally:
        for process in started:
            _stop(process)


def _wait_until_well(address: str, started: list[subprocess.Popen[bytes]], logs: Path) -> None:
    until = time.monotonic() + READY_SECONDS
    while time.monotonic() < until:
        if any(process.poll() is not None for process in started):
            break
        try:
            with urllib.request.urlopen(f"{address}/health/", timeout=2):
                return
        except (urllib.error.URLError, OSError):
            time.sleep(0.2)
    raise RuntimeError(f"The demo's processes did not start; read the files in {logs}.")


def _stop(process: subprocess.Popen[bytes]) -> None:
    for number in (signal.SIGTERM, signal.SIGKILL):
        try:
            os.killpg(process.pid, number)
            process.wait(STOP_SECONDS)
        except ProcessLookupError:
            return
        except subprocess.TimeoutExpired:
            continue
        return
