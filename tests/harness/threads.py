"""Calls that start at the same moment, in threads with database connections of their own.

The test must be marked ``django_db(transaction=True)``: what it prepared has
to be committed, or the threads would not see it.
"""

from __future__ import annotations

import faulthandler
import sys
import threading
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from typing import Any

from django.db import connection, connections

Wrapper = Callable[..., Any]
"""An execute wrapper of Django: ``(execute, sql, params, many, context)``."""


@dataclass(frozen=True)
class Outcome:
    """What became of one call: its value, or what it raised."""

    value: Any = None
    error: BaseException | None = None

    @property
    def ok(self) -> bool:
        return self.error is None


class Running:
    """Calls under way; `outcomes` waits for them."""

    def __init__(self, calls: Sequence[Callable[[], Any]], wrappers: Sequence[Wrapper]) -> None:
        self._outcomes: list[Outcome | None] = [None] * len(calls)
        self._barrier = threading.Barrier(len(calls))
        self._wrappers = wrappers
        self._threads = [
            threading.Thread(target=self._run, args=(index, call), daemon=True, name=f"call {index}")
            for index, call in enumerate(calls)
        ]
        for thread in self._threads:
            thread.start()

    def _run(self, index: int, call: Callable[[], Any]) -> None:
        try:
            connection.ensure_connection()
            with ExitStack() as wrapped:
                for wrapper in self._wrappers:
                    wrapped.enter_context(connection.execute_wrapper(wrapper))
                self._barrier.wait(30)
                self._outcomes[index] = Outcome(value=call())
        except BaseException as error:  # the test looks at it
            self._outcomes[index] = Outcome(error=error)
        finally:
            connections.close_all()

    def outcomes(self, seconds: float = 60) -> list[Outcome]:
        """One outcome per call, in the order of the calls.

        Raises
        ------
        TimeoutError
            A call hangs; where every thread stands is written to stderr.
        """
        for thread in self._threads:
            thread.join(seconds)
        if any(thread.is_alive() for thread in self._threads):
            faulthandler.dump_traceback(file=sys.__stderr__ or sys.stderr)
            raise TimeoutError(f"A call did not end within {seconds:g} s.")
        return [outcome for outcome in self._outcomes if outcome is not None]


def start(*calls: Callable[[], Any], wrapped: Sequence[Wrapper] = ()) -> Running:
    """Start calls at one moment and go on; ``wrapped`` see each SQL statement of theirs (`overlap`)."""
    if connection.in_atomic_block:
        raise RuntimeError("Threads do not see what is not committed: mark the test transaction=True.")
    return Running(calls, wrapped)


def at_once(*calls: Callable[[], Any], wrapped: Sequence[Wrapper] = (), seconds: float = 60) -> list[Outcome]:
    """Start calls at one moment and wait for all of them."""
    return start(*calls, wrapped=wrapped).outcomes(seconds)
