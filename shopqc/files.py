"""Files by the SHA-256 of their content: written once, never changed, never written twice."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from django.conf import settings

from shopqc.canonical import digest


def path_of(sha256: str) -> Path:
    """Where the file with this digest stands, whether or not it is there."""
    if len(sha256) != 64 or not set(sha256) <= set("0123456789abcdef"):
        raise ValueError(f"{sha256!r} is no SHA-256 digest in lower-case hex.")
    return Path(settings.FILE_STORE) / sha256[:2] / sha256


def store(content: bytes) -> str:
    """Keep ``content``; its digest.

    Written under another name, flushed to the disk, then renamed: a reader
    sees the whole file or none, also after a power cut.
    """
    sha256 = digest(content)
    path = path_of(sha256)
    if path.exists():
        return sha256
    path.parent.mkdir(parents=True, exist_ok=True)
    descriptor, name = tempfile.mkstemp(dir=path.parent, prefix="pending-")
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return sha256


def read(sha256: str) -> bytes:
    """The content; ``FileNotFoundError`` if it is not kept, ``ValueError`` if it is not what it was."""
    content = path_of(sha256).read_bytes()
    if digest(content) != sha256:
        raise ValueError(f"The file {sha256} on the disk is not what was stored.")
    return content
