"""A filed document, to be kept or opened elsewhere: never shown inside a page of ours."""

from __future__ import annotations

from django.http import FileResponse

from shopqc import files
from shopqc.operations.documents import kind_of
from shopqc.refusals import refuse

SUFFIXES = {"application/pdf": "pdf", "image/jpeg": "jpg", "image/png": "png", "text/csv": "csv"}


def filed(sha256: str, name: str) -> FileResponse:
    """The document with this digest, which a row on file names; 404 if it is not here any more."""
    if not files.is_kept(sha256):
        raise refuse("page_not_found")
    path = files.path_of(sha256)
    kind = kind_of(path.read_bytes())
    return FileResponse(
        path.open("rb"),
        as_attachment=True,
        filename=f"{name}.{SUFFIXES.get(kind, 'bin')}",
        content_type=kind or "application/octet-stream",
    )
