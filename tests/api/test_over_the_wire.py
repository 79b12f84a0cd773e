"""Bodies as a hostile or a hasty client sends them to the real web server, over a socket."""

from __future__ import annotations

import json
import socket
from urllib.parse import urlsplit

import pytest

from housings.models import Order
from shopqc import ledger
from tests.api.caller import PROBLEM
from tests.factories import PLAIN_SPEC, Floor
from tests.harness.processes import Web

ORDER = json.dumps(
    {"customer": "north", "reference": "PO-1", "lines": [{"quantity": 1, "spec": dict(PLAIN_SPEC)}]}
).encode()
# So long that only a server which waits for what never comes is slower.
PATIENCE_SECONDS = 20
MEGABYTE = 1_000_000


@pytest.fixture
def key(site: Web) -> str:
    return Floor().api_key("orders")[0]


class Wire:
    """One connection, spoken by hand (RFC 9112)."""

    def __init__(self, site: Web, key: str, *headers: str) -> None:
        where = urlsplit(site.url)
        assert where.hostname and where.port
        self.socket = socket.create_connection((where.hostname, where.port), timeout=PATIENCE_SECONDS)
        lines = [
            "POST /api/v1/orders HTTP/1.1",
            f"Host: {where.netloc}",
            f"Authorization: Bearer {key}",
            "Content-Type: application/json",
            "Idempotency-Key: wire-1",
            "Connection: close",
            *headers,
        ]
        self.socket.sendall("\r\n".join([*lines, "", ""]).encode())

    def send(self, content: bytes) -> int:
        """Send as much as the server takes; how much that was."""
        sent = 0
        try:
            while sent < len(content):
                sent += self.socket.send(content[sent : sent + 65_536])
        except OSError:
            pass  # it has answered and hung up
        return sent

    def answer(self) -> tuple[int, str, bytes]:
        """Status, type and body of what came back."""
        received = b""
        try:
            while piece := self.socket.recv(65_536):
                received += piece
        except ConnectionResetError:
            pass  # what was still under way to a server that had hung up
        self.socket.close()
        head, _, body = received.partition(b"\r\n\r\n")
        status, *headers = head.decode().split("\r\n")
        named = {name.lower(): value.strip() for name, _, value in (h.partition(":") for h in headers)}
        return int(status.split()[1]), named.get("content-type", ""), body


def in_chunks(content: bytes, size: int = 50_000) -> bytes:
    """A body in chunks (RFC 9112, section 7.1)."""
    pieces = [content[at : at + size] for at in range(0, len(content), size)]
    return b"".join(b"%x\r\n%s\r\n" % (len(piece), piece) for piece in pieces) + b"0\r\n\r\n"


def test_an_order_in_chunks_is_an_order(site: Web, key: str) -> None:
    wire = Wire(site, key, "Transfer-Encoding: chunked")
    wire.send(in_chunks(ORDER, 40))
    status, kind, body = wire.answer()
    assert (status, kind) == (201, "application/json"), body
    assert Order.objects.get().reference == "PO-1"


def test_what_says_it_has_ten_megabytes_is_refused_before_they_are_sent(site: Web, key: str) -> None:
    wire = Wire(site, key, f"Content-Length: {10 * MEGABYTE}")
    wire.send(b"{")
    status, kind, body = wire.answer()
    assert (status, kind) == (413, PROBLEM)
    assert json.loads(body)["errors"][0]["code"] == "too_large"
    assert not Order.objects.exists()


def test_ten_megabytes_in_chunks_are_refused(site: Web, key: str) -> None:
    wire = Wire(site, key, "Transfer-Encoding: chunked")
    wire.send(in_chunks(b" " * (10 * MEGABYTE) + ORDER))
    status, kind, _body = wire.answer()
    assert (status, kind) == (413, PROBLEM)
    assert not Order.objects.exists()


def test_a_length_that_cuts_the_body_off_is_a_broken_body(site: Web, key: str) -> None:
    wire = Wire(site, key, "Content-Length: 20")
    wire.send(ORDER)
    status, kind, _body = wire.answer()
    assert (status, kind) == (400, PROBLEM)
    assert not Order.objects.exists()


def test_a_body_that_ends_before_its_length_leaves_nothing(site: Web, key: str) -> None:
    wire = Wire(site, key, f"Content-Length: {len(ORDER) + 10}")
    wire.send(ORDER)
    wire.socket.shutdown(socket.SHUT_WR)
    status, kind, _body = wire.answer()
    # The JSON was whole, the message was not: it is incomplete (RFC 9112, section 8).
    assert (status, kind) == (400, PROBLEM)
    assert not Order.objects.exists()
    assert ledger.verify().faults == ()
