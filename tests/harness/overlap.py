"""Making threads overlap for certain, without a hook in the program: by the SQL statements they run.

Both classes are Django execute wrappers, given to `threads.start` or
`threads.at_once` as ``wrapped``. A statement is named by a piece of its text,
such as ``'INSERT INTO "housings_visit"'``.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable
from typing import Any

Execute = Callable[[str, Any, bool, dict[str, Any]], Any]


class Meeting:
    """Each thread waits before a statement until the others stand before it too.

    Where a lock lets only one thread come this far, nobody else arrives, and
    after ``patience`` seconds it goes on alone. So with the lock the test is
    a plain run; without it all threads have read before one of them writes.
    """

    def __init__(self, before: str, *, parties: int = 2, patience: float = 1.0) -> None:
        self.before = before
        self.patience = patience
        self.met = False
        self._barrier = threading.Barrier(parties, action=self._all_here)
        self._been_here = threading.local()

    def _all_here(self) -> None:
        self.met = True

    def __call__(self, execute: Execute, sql: str, params: Any, many: bool, context: dict[str, Any]) -> Any:
        if self.before in sql and not getattr(self._been_here, "yes", False):
            self._been_here.yes = True
            # Broken: nobody else can come in time; `met` tells.
            with contextlib.suppress(threading.BrokenBarrierError):
                self._barrier.wait(self.patience)
        return execute(sql, params, many, context)


class Pause:
    """The first thread that comes to a statement stays there until `go`.

    >>> pause = Pause('INSERT INTO "t"')
    >>> pause.go()
    >>> pause(lambda sql, *rest: sql, 'INSERT INTO "t" VALUES (1)', (), False, {})
    'INSERT INTO "t" VALUES (1)'
    >>> pause.reached.is_set()
    True
    """

    def __init__(self, before: str) -> None:
        self.before = before
        self.reached = threading.Event()
        self._go = threading.Event()
        self._first = threading.Lock()

    def go(self) -> None:
        """Let the thread go on."""
        self._go.set()

    def wait_until_reached(self, seconds: float = 30) -> None:
        """Wait until a thread stands there; ``TimeoutError`` if none comes."""
        if not self.reached.wait(seconds):
            raise TimeoutError(f"No thread came to a statement with {self.before!r}.")

    def __call__(self, execute: Execute, sql: str, params: Any, many: bool, context: dict[str, Any]) -> Any:
        if self.before in sql and self._first.acquire(blocking=False):
            self.reached.set()
            if not self._go.wait(60):
                raise TimeoutError(f"Nobody let the thread before {self.before!r} go on.")
        return execute(sql, params, many, context)
