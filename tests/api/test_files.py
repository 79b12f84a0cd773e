"""Filing documents over the API."""

from __future__ import annotations

import hashlib
from typing import Any

from django.conf import settings

from shopqc import ledger
from shopqc.models import LedgerEntry
from shopqc.operations.documents import LARGEST
from tests.api.caller import Caller, done, refused

PDF = b"%PDF-1.7\n% an invented concession\n"
# Beginnings: ISO/IEC 10918-1 (JPEG, start of image and a marker) and ISO/IEC 15948, 5.2 (PNG), from memory.
JPEG, PNG = b"\xff\xd8\xff\xe0 picture", b"\x89PNG\r\n\x1a\n picture"


def test_it_files_a_document_under_its_digest(desk: Caller) -> None:
    for content, kind in ((PDF, "application/pdf"), (JPEG, "image/jpeg"), (PNG, "image/png; q=1")):
        answer = done(desk.post("/files", raw=content, content_type=kind), 201)
        # SHA-256 (FIPS 180-4), by the standard library.
        assert answer["sha256"] == hashlib.sha256(content).hexdigest()
        stored = settings.FILE_STORE / answer["sha256"][:2] / answer["sha256"]
        assert stored.read_bytes() == content
        assert LedgerEntry.objects.filter(line__contains=answer["sha256"]).exists()
    assert ledger.verify().faults == ()


def test_the_same_document_again_is_the_same_answer(desk: Caller) -> None:
    first = desk.post("/files", raw=PDF, content_type="application/pdf", name="file-1")
    again = desk.post("/files", raw=PDF, content_type="application/pdf", name="file-1")
    assert (first.status_code, first.content) == (again.status_code, again.content)
    refused(
        desk.post("/files", raw=PDF + b"x", content_type="application/pdf", name="file-1"), 422, "key_reused"
    )


def test_it_refuses_what_is_not_what_it_says(desk: Caller, nothing_changes: Any) -> None:
    with nothing_changes():
        refused(desk.post("/files", raw=PNG, content_type="application/pdf"), 422, "document_other")
        refused(desk.post("/files", raw=b"<svg/>", content_type="image/png"), 422, "document_other")
        refused(desk.post("/files", raw=b"<svg/>", content_type="image/svg+xml"), 415, "media_type")
        refused(desk.post("/files", {"sha256": "x"}), 415, "media_type")
        # Django's test client says no type of an empty body unless it is told to.
        refused(desk.post("/files", raw=b"", **{"Content-Type": "application/pdf"}), 422, "document_empty")
        refused(desk.post("/files", raw=PDF, content_type="application/pdf", name=""), 400, "key_missing")


def test_it_refuses_what_is_too_large(desk: Caller, nothing_changes: Any) -> None:
    with nothing_changes():
        large = b"%PDF-" + bytes(LARGEST)
        refused(desk.post("/files", raw=large, content_type="application/pdf"), 413, "too_large")


def test_only_who_may_file_fills_the_store(office: Caller, nothing_changes: Any) -> None:
    content = b"%PDF-1.7\n% nobody may keep this\n"
    with nothing_changes():
        refused(office.post("/files", raw=content, content_type="application/pdf"), 403, "key_without_scope")
    digest = hashlib.sha256(content).hexdigest()
    assert not (settings.FILE_STORE / digest[:2] / digest).exists()


def test_a_worker_files_a_furnaces_chart(phone: Caller) -> None:
    chart = b"minutes,F\r\n0,70\r\n150,1150\r\n"
    answer = done(phone.post("/files", raw=chart, content_type="text/csv"), 201)
    assert answer["sha256"] == hashlib.sha256(chart).hexdigest()


def test_a_chart_is_plain_text_in_columns(phone: Caller, nothing_changes: Any) -> None:
    with nothing_changes():
        for content in (b"<svg/>,", b"a,b\x00", b"\xff\xfe,", b"one word\n1,2"):
            refused(phone.post("/files", raw=content, content_type="text/csv"), 422, "document_other")
