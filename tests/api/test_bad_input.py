"""What is not a request at all: each is refused clearly, and nothing of it stays."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from django.test import RequestFactory

from housings.api.orders import Orders
from tests.api.caller import Caller, done, pointers, refused
from tests.factories import PLAIN_SPEC, Floor

ORDER = json.dumps(
    {"customer": "north", "reference": "PO-1", "lines": [{"quantity": 1, "spec": dict(PLAIN_SPEC)}]}
)
BROKEN = {
    "not closed": ORDER[:-1],
    "two documents": ORDER + ORDER,
    "a comment": ORDER + "// hm",
    "single quotes": ORDER.replace('"', "'"),
    "a comma too many": ORDER[:-1] + ",}",
    "only a word": "north",
    "NaN": ORDER.replace('"quantity": 1', '"quantity": NaN'),
    "Infinity": ORDER.replace('"quantity": 1', '"quantity": -Infinity'),
    "1e400": ORDER.replace('"quantity": 1', '"quantity": 1e400'),
    "a number of 5000 digits": ORDER.replace('"quantity": 1', '"quantity": ' + "9" * 5000),
    "a field twice": ORDER.replace('"customer": "north"', '"customer": "basin", "customer": "north"'),
    "a field of the spec twice": ORDER.replace('"width": "60"', '"width": "60", "width": "61"'),
    "NUL": ORDER.replace("PO-1", "PO\\u0000"),
    "NUL in a name": ORDER.replace('"reference"', '"refer\\u0000ence"'),
    "half a surrogate pair": ORDER.replace("PO-1", "PO\\ud83d"),
    "the other half": ORDER.replace("PO-1", "PO\\ude97"),
    "deep": '{"a":' * 40 + "1" + "}" * 40,
    "very deep": "[" * 400_000,
    "very deep objects": '{"a":' * 150_000,
    "a byte order mark": "\ufeff" + ORDER,
    "a text that never ends": '"' + '\\"' * 400_000,
    "nothing but a minus": "-",
}


@pytest.mark.parametrize("what", BROKEN)
def test_it_refuses_what_is_no_json(office: Caller, nothing_changes: Any, what: str) -> None:
    with nothing_changes():
        problem = refused(office.post("/orders", raw=BROKEN[what].encode()), 400, "json_broken")
    assert len(json.dumps(problem)) < 1000


@pytest.mark.parametrize(
    "content", [b"\xff\xfe{}", ORDER.encode("utf-16"), b'{"customer": "caf\xe9"}', b"\x00"]
)
def test_it_refuses_what_is_not_utf_8(office: Caller, nothing_changes: Any, content: bytes) -> None:
    with nothing_changes():
        refused(office.post("/orders", raw=content), 400, "json_broken")


@pytest.mark.parametrize("content", ["[]", "null", "5", '"north"', "true", "[" + ORDER + "]", "", " "])
def test_it_refuses_what_is_no_object(office: Caller, nothing_changes: Any, content: str) -> None:
    with nothing_changes():
        response = office.post("/orders", raw=content.encode())
        refused(response, 400 if content == " " else 422)


def test_it_stays_short_about_a_body_full_of_unknown_fields(office: Caller, nothing_changes: Any) -> None:
    body = {f"{n}-{'x' * 80}": n for n in range(9000)}
    with nothing_changes():
        response = office.post("/orders", body)
        assert "field_unknown" in {error["code"] for error in refused(response, 422)["errors"]}
    assert len(response.content) < 10_000


def test_it_names_fields_with_strange_names_as_json_pointers(office: Caller) -> None:
    """RFC 6901, section 3: ~ is ~0 and / is ~1."""
    problem = refused(office.post("/orders", {"a/b~c": 1}), 422)
    assert "/a~1b~0c" in pointers(problem)


def test_it_refuses_ten_megabytes(office: Caller, nothing_changes: Any) -> None:
    large = b'{"customer": "' + b"x" * 10_000_000 + b'"}'
    with nothing_changes():
        refused(office.post("/orders", raw=large), 413, "too_large")


class Counting(io.BytesIO):
    """A body that knows how much of it was read."""

    taken = 0

    def read(self, size: int | None = -1) -> bytes:
        piece = super().read(size)
        self.taken += len(piece)
        return piece


def _ask(key: str, body: Counting, **environ: Any) -> Any:
    """One request as a server hands it over, with whatever its headers say of the body."""
    made = {
        "wsgi.input": body,
        "CONTENT_TYPE": "application/json",
        "HTTP_AUTHORIZATION": f"Bearer {key}",
        "HTTP_IDEMPOTENCY_KEY": "once",
        **environ,
    }
    request = RequestFactory().generic("POST", "/api/v1/orders", **made)
    response = Orders.as_view()(request)
    return response.render()


def test_it_reads_no_byte_of_what_says_it_is_too_large(floor: Floor, nothing_changes: Any) -> None:
    key, body = floor.api_key("orders")[0], Counting(b"x" * 10_000_000)
    with nothing_changes():
        refused(_ask(key, body, CONTENT_LENGTH="10000000"), 413, "too_large")
    assert body.taken == 0


def test_it_stops_reading_a_body_in_chunks_that_does_not_end(floor: Floor, nothing_changes: Any) -> None:
    key, body = floor.api_key("orders")[0], Counting(b"x" * 10_000_000)
    chunked = {"HTTP_TRANSFER_ENCODING": "chunked", "wsgi.input_terminated": True, "CONTENT_LENGTH": ""}
    with nothing_changes():
        refused(_ask(key, body, **chunked), 413, "too_large")
    assert body.taken <= 1_000_001


def test_it_takes_a_body_in_chunks(floor: Floor) -> None:
    key, body = floor.api_key("orders")[0], Counting(ORDER.encode())
    chunked = {"HTTP_TRANSFER_ENCODING": "chunked", "wsgi.input_terminated": True, "CONTENT_LENGTH": ""}
    done(_ask(key, body, **chunked), 201)


@pytest.mark.parametrize(("length", "status"), [("10", 400), ("-1", 400), ("ten", 400), ("٣", 400)])
def test_a_false_length_is_a_broken_body(
    floor: Floor, nothing_changes: Any, length: str, status: int
) -> None:
    key, body = floor.api_key("orders")[0], Counting(ORDER.encode() + b" " * 2_000_000)
    with nothing_changes():
        refused(_ask(key, body, CONTENT_LENGTH=length), status)
    assert body.taken <= 10


@pytest.mark.parametrize("name", ["", " ", "n" * 101, "caf\xe9", "a b", "a\tb"])
def test_it_refuses_a_write_without_a_name_of_its_own(
    office: Caller, nothing_changes: Any, name: str
) -> None:
    with nothing_changes():
        refused(office.post("/orders", raw=ORDER.encode(), name=name), 400, "key_missing")


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "application/xml", "what"]
)
def test_it_refuses_other_types(office: Caller, nothing_changes: Any, kind: str) -> None:
    with nothing_changes():
        refused(office.post("/orders", raw=ORDER.encode(), content_type=kind), 415, "media_type")


def test_it_refuses_a_form_with_files(office: Caller, nothing_changes: Any) -> None:
    boundary = b"--b\r\nContent-Disposition: form-data; name=a; filename=a\r\n\r\nx\r\n--b--\r\n"
    with nothing_changes():
        kind = "multipart/form-data; boundary=b"
        refused(office.post("/orders", raw=boundary, content_type=kind), 415, "media_type")


def test_a_signed_in_person_who_sends_a_form_is_refused_too(floor: Floor, nothing_changes: Any) -> None:
    person = Caller(None)
    person.client.handler.enforce_csrf_checks = True
    person.client.force_login(floor.person("Q1"))
    with nothing_changes():
        for kind, content in (
            ("application/x-www-form-urlencoded", b"a=" + b"x" * 3_000_000),
            ("application/x-www-form-urlencoded", b"&".join(b"a%d=1" % n for n in range(5000))),
            ("multipart/form-data; boundary=b", b"--b\r\nnonsense"),
            ("multipart/form-data", b"--b"),
        ):
            response = person.post("/orders", raw=content, content_type=kind)
            assert response.status_code in {400, 403, 413}, response.content[:200]
            assert response["Content-Type"] == "application/problem+json"
