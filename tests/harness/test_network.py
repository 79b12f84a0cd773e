"""The harness itself: no test reaches beyond this machine."""

import socket

import pytest

from tests.harness.network import ReachedOut


def test_another_machine_cannot_be_reached():
    """192.0.2.0/24 is set aside for documentation (RFC 5737)."""
    with socket.socket() as one, pytest.raises(ReachedOut, match=r"192\.0\.2\.1"):
        one.connect(("192.0.2.1", 80))
    with socket.socket() as one, pytest.raises(ReachedOut):
        one.connect_ex(("192.0.2.1", 80))


def test_this_machine_can():
    with socket.socket() as listener, socket.socket() as caller:
        listener.bind(("127.0.0.1", 0))
        listener.listen()
        caller.connect(listener.getsockname())
        assert caller.getpeername() == listener.getsockname()
