"""A broker that is down or silent costs a request nothing but a moment, and no certificate is lost."""

from __future__ import annotations

import contextlib
import socket
import threading
import time
from collections.abc import Iterator
from typing import Any

import httpx
import pytest

from inspections.models import IssueJob
from shopqc import dispatch
from tests.factories import SECRET, Floor
from tests.harness.homes import Home
from tests.harness.ports import free_port
from tests.harness.processes import web, worker
from tests.journeys.issued import assert_issued_once, wait_until_all_issued

# Not a measurement: a request that waits for a broker without a time-out hangs for minutes.
HANG = 10.0


class Listener:
    """A port of this machine that accepts every connection and never says a word."""

    def __init__(self) -> None:
        self.calls = 0
        self._socket = socket.create_server(("127.0.0.1", 0))
        self._held: list[socket.socket] = []
        self.port = int(self._socket.getsockname()[1])
        threading.Thread(target=self._accept, daemon=True).start()

    def _accept(self) -> None:
        with contextlib.suppress(OSError):
            while True:
                self._held.append(self._socket.accept()[0])
                self.calls += 1

    def close(self) -> None:
        # A shutdown wakes the accepting thread; a close alone would leave it there.
        with contextlib.suppress(OSError):
            self._socket.shutdown(socket.SHUT_RDWR)
        self._socket.close()
        for held in self._held:
            held.close()


@pytest.fixture
def silent() -> Iterator[Listener]:
    listener = Listener()
    yield listener
    listener.close()


def sign(address: str, key: str, serial: str) -> dict[str, Any]:
    """Sign off over HTTP; fails if the answer hangs."""
    answer = httpx.post(
        f"{address}/api/v1/housings/{serial}/sign-off",
        json={"secret": SECRET},
        headers={"Authorization": f"Bearer {key}", "Idempotency-Key": f"sign-{serial}"},
        timeout=HANG,
    )
    assert answer.is_success, answer.text
    said: dict[str, Any] = answer.json()
    assert said["signed"] is True
    return said


def test_a_refused_broker_delays_nothing_and_loses_nothing(shared_home: Home) -> None:
    floor = Floor()
    housings = [floor.housing(until="measured") for _ in range(2)]
    key, _ = floor.api_key("floor", "readings", "certificates", stamp="Q1")
    deaf = shared_home.with_variables(SHOPQC_BROKER_URL=f"redis://127.0.0.1:{free_port()}/0")
    with web(deaf, workers=1) as server:
        for housing in housings:
            sign(server.url, key, housing.serial)
        server.program.wait_for("The broker did not take")
        # The second was not even tried: the broker was found away a moment before.
        assert server.program.output.count("The broker did not take") == 1
    assert IssueJob.objects.filter(state=IssueJob.WAITING).count() == 2
    with worker(shared_home):
        wait_until_all_issued()
    assert_issued_once(2)


def test_a_silent_broker_is_asked_once_and_then_left_alone(shared_home: Home, silent: Listener) -> None:
    floor = Floor()
    housings = [floor.housing(until="measured") for _ in range(3)]
    key, _ = floor.api_key("floor", "readings", "certificates", stamp="Q1")
    deaf = shared_home.with_variables(SHOPQC_BROKER_URL=f"redis://127.0.0.1:{silent.port}/0")
    with web(deaf, workers=1) as server:
        sign(server.url, key, housings[0].serial)
        server.program.wait_for("The broker did not take")
        asked = silent.calls
        assert asked
        for housing in housings[1:]:
            sign(server.url, key, housing.serial)
        assert silent.calls == asked
        assert server.program.output.count("The broker did not take") == 1
    assert IssueJob.objects.filter(state=IssueJob.WAITING).count() == 3
    with worker(shared_home):
        wait_until_all_issued()
    assert_issued_once(3)


def test_after_the_quiet_time_the_broker_is_tried_again(monkeypatch: pytest.MonkeyPatch) -> None:
    sent: list[str] = []
    moment = time.monotonic()
    works = False

    def send_task(task: str, args: list[int], retry: bool) -> None:
        sent.append(task)
        if not works:
            raise ConnectionRefusedError("nobody listens")

    monkeypatch.setattr(dispatch.current_app, "send_task", send_task)
    monkeypatch.setattr(dispatch.time, "monotonic", lambda: moment)
    monkeypatch.setattr(dispatch, "_quiet_until", 0.0)
    assert not dispatch.ring("a task", 1)
    moment += dispatch.QUIET_SECONDS - 1
    works = True
    assert not dispatch.ring("a task", 1)
    assert len(sent) == 1
    moment += 1
    assert dispatch.ring("a task", 1)
    assert len(sent) == 2
