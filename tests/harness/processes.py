"""The web server and the worker as the processes they are in a shop."""

from __future__ import annotations

import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.harness.homes import Home
from tests.harness.ports import free_port
from tests.harness.programs import Program, started


@dataclass
class Web:
    """A web server under way."""

    url: str
    program: Program


@contextmanager
def web(home: Home, *, workers: int = 2, port: int | None = None) -> Iterator[Web]:
    """gunicorn on a free port of 127.0.0.1, once it answers."""
    port = port or free_port()
    url = f"http://127.0.0.1:{port}"
    at = {"SHOPQC_FLOOR_URL": url, "SHOPQC_PUBLIC_URL": url, **home.variables}
    command = [sys.executable, "-m", "gunicorn", "shopqc.wsgi", f"--bind=127.0.0.1:{port}"]
    command += [f"--workers={workers}", "--graceful-timeout=5"]
    name = f"web-{port}"
    env = home.with_variables(**at).env
    with started(name, command, folder=home.folder, env=env) as program:
        program.wait_until_well(lambda: _is_well(url), f"{url}/health/ to answer")
        yield Web(url, program)


def _is_well(url: str) -> bool:
    try:
        with urllib.request.urlopen(f"{url}/health/", timeout=5) as answer:
            return bool(answer.status == 200)
    except (urllib.error.URLError, ConnectionError, TimeoutError):
        return False


@contextmanager
def worker(home: Home, *, concurrency: int = 1, pause: str = "") -> Iterator[Program]:
    """The celery worker with its embedded beat, once it takes tasks.

    Parameters
    ----------
    pause : str, optional
        A fixed point to stop at for ever, such as ``"before inspections.tasks.issue"``:
        before or after a call of that function, named where it is called from.
        The test kills the worker there; `stands_at_pause` tells when.
    """
    number = len(list(home.folder.glob("worker-*.log")))
    app = "tests.harness.pausing_worker" if pause else "shopqc"
    schedule = home.folder / f"beat-{number}"
    command = [sys.executable, "-m", "celery", "-A", app, "worker", "-B", "-s", str(schedule)]
    command += [f"--concurrency={concurrency}", "--loglevel=INFO"]
    mark = pause_mark(home)
    mark.unlink(missing_ok=True)
    paused = {"SHOPQC_TEST_PAUSE": pause, "SHOPQC_TEST_PAUSE_MARK": str(mark)} if pause else {}
    env = home.with_variables(**paused).env
    with started(f"worker-{number}", command, folder=home.folder, env=env) as program:
        program.wait_for(" ready.")
        yield program


def pause_mark(home: Home) -> Path:
    """The file that a paused worker leaves."""
    return home.folder / "worker-paused"


def wait_until_paused(home: Home, program: Program, seconds: float = 60) -> None:
    """Wait until the worker stands at its pause."""
    program.wait_until_well(pause_mark(home).exists, "the worker to come to its pause", seconds)
