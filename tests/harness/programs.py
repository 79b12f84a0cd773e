"""Programs that tests start: they end with the tests, and show their last words if they fail."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.harness.ports import wait_until

SHOWN = 4000


@dataclass
class Program:
    """A started program, its process group and its log."""

    name: str
    process: subprocess.Popen[bytes]
    log: Path

    @property
    def running(self) -> bool:
        return self.process.poll() is None

    @property
    def output(self) -> str:
        """What it has written so far."""
        return self.log.read_text(errors="replace") if self.log.exists() else ""

    def kill_group(self) -> None:
        """``kill -9`` for the program and everything it has started."""
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait(30)

    def stop(self, first: signal.Signals = signal.SIGTERM) -> None:
        """Ask it to end, and kill the group if it does not."""
        if self.running:
            self.process.send_signal(first)
            with contextlib.suppress(subprocess.TimeoutExpired):
                self.process.wait(20)
        self.kill_group()

    def wait_for(self, words: str, seconds: float = 60) -> None:
        """Wait until its log says ``words``."""
        self.wait_until_well(lambda: words in self.output, f"{self.name} to say {words!r}", seconds)

    def wait_until_well(self, true: object, what: str, seconds: float = 60) -> None:
        """Wait until ``true()``; an end of the program or a hang raises, with its last words."""
        assert callable(true)

        def or_ended() -> bool:
            if not self.running:
                raise RuntimeError(
                    f"{self.name} ended with {self.process.returncode} while waiting for {what}"
                )
            return bool(true())

        wait_until(or_ended, what=what, seconds=seconds)


def _dies_with_us() -> list[str]:
    """A prefix that has the kernel kill the program when this process is killed."""
    return ["setpriv", "--pdeathsig", "KILL"]


@contextmanager
def started(
    name: str,
    command: Sequence[str | Path],
    *,
    folder: Path,
    env: Mapping[str, str] | None = None,
    user: str | None = None,
    stop: signal.Signals = signal.SIGTERM,
) -> Iterator[Program]:
    """Run a program beside the test, in a process group of its own.

    Parameters
    ----------
    folder : Path
        Where its log goes.
    user : str, optional
        Run it as this user; needs root.
    """
    log = folder / f"{name}.log"
    prefix = _dies_with_us()
    if user:
        prefix += ["--reuid", user, "--regid", user_group(user), "--clear-groups"]
    with log.open("ab") as out:
        process = subprocess.Popen(
            [*prefix, *map(str, command)],
            stdin=subprocess.DEVNULL,
            stdout=out,
            stderr=subprocess.STDOUT,
            env=dict(env) if env is not None else None,
            start_new_session=True,
        )
    program = Program(name, process, log)
    try:
        yield program
    except BaseException as error:
        error.add_note(f"--- last words of {name} ---\n{program.output[-SHOWN:]}")
        raise
    finally:
        program.stop(stop)


def user_group(user: str) -> str:
    """The number of a user's own group."""
    import pwd

    return str(pwd.getpwnam(user).pw_gid)
