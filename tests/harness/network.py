"""No test reaches beyond this machine."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from unittest import mock

HERE = ("127.", "::1", "localhost")


class ReachedOut(AssertionError):
    """A test tried to connect to another machine."""


def _check(address: Any) -> None:
    host = address[0] if isinstance(address, tuple) else ""
    if host and not str(host).startswith(HERE):
        raise ReachedOut(f"A test tried to connect to {address!r}; only 127.0.0.1 is there for tests.")


@contextmanager
def only_this_machine() -> Iterator[None]:
    """Refuse connections of this process to any other address than 127.0.0.1."""
    connect, connect_ex = socket.socket.connect, socket.socket.connect_ex

    def checked_connect(self: socket.socket, address: Any) -> None:
        _check(address)
        connect(self, address)

    def checked_connect_ex(self: socket.socket, address: Any) -> int:
        _check(address)
        return connect_ex(self, address)

    with (
        mock.patch.object(socket.socket, "connect", checked_connect),
        mock.patch.object(socket.socket, "connect_ex", checked_connect_ex),
    ):
        yield
