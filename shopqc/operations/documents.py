"""Filing a document: a customer's concession, a supplier's certificate, a furnace's chart, a photograph."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from shopqc import files
from shopqc.operation import Answer, Rows, Run, operation, the_shop
from shopqc.refusals import refuse, register

LARGEST = 10_000_000
# How a file of each kind begins: ISO 32000-1, 7.5.2; ISO/IEC 10918-1, B.1.1.3; ISO/IEC 15948, 5.2.
# (All three known from memory; any reader of these files agrees.)
BEGINNINGS = {
    "application/pdf": b"%PDF-",
    "image/jpeg": b"\xff\xd8\xff",
    "image/png": b"\x89PNG\r\n\x1a\n",
}
# A chart as its recorder writes it: plain text, which has no beginning of its own.
TABLE = "text/csv"
TAKEN = (*BEGINNINGS, TABLE)
register(
    422,
    {
        "document_empty": _("The document is empty."),
        "document_other": _("What was sent does not begin like %(kind)s; send the file as it is."),
    },
)


def keep(content: bytes, kind: str) -> str:
    """Put a document into the file store; its SHA-256, to be filed by `file_document`.

    Kept before it is filed: a file that nothing names is no harm, a line in the
    record that names a file which is not there would be.

    Raises
    ------
    Refused
        Too large, of a kind that is not taken, or not what it says it is.
    """
    if len(content) > LARGEST:
        raise refuse("too_large", limit=LARGEST)
    if kind not in TAKEN:
        raise refuse("media_type", types=", ".join(TAKEN))
    if not content:
        raise refuse("document_empty")
    is_that = is_table(content) if kind == TABLE else content.startswith(BEGINNINGS[kind])
    if not is_that:
        raise refuse("document_other", kind=kind)
    return files.store(content)


def is_table(content: bytes) -> bool:
    """Whether bytes are lines of plain text with columns: RFC 4180 with any usual separator, in UTF-8.

    >>> is_table(b"minutes;F"), is_table(b"<svg/>"), is_table(bytes([97, 44, 0]))
    (True, False, False)
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return False
    if text.lstrip().startswith("<") or not all(c.isprintable() or c in "\t\r\n" for c in text):
        return False
    return any(separator in text.partition("\n")[0] for separator in ",;\t")


def kind_of(content: bytes) -> str:
    """The kind of a document, from what it is; empty if it is none that is taken."""
    begun = next((kind for kind, begins in BEGINNINGS.items() if content.startswith(begins)), "")
    return begun or (TABLE if is_table(content) else "")


def _the_shop(**_inputs: Any) -> list[Rows]:
    return [the_shop()]


@operation("file_document", locks=_the_shop)
def file_document(run: Run, *, sha256: str, kind: str, size: int) -> Answer:
    """File a document that `keep` has put into the store, by its SHA-256."""
    run.write(run.shop, document=sha256, kind=kind, size=size)
    return {"sha256": sha256, "kind": kind, "size": size}
