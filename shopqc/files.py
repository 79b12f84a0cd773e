"""Files by the SHA-256 of their content: written once, never changed, never written twice."""

from __future__ import annotations

import datetime
import os
import tempfile
from pathlib import Path

from django.conf import settings

from shopqc.canonical import digest

PENDING_KEPT_FOR = datetime.timedelta(hours=1)
# What somebody has uploaded and not yet recorded from: long enough for a shift.
UPLOADS_KEPT_FOR = datetime.timedelta(days=1)


def path_of(sha256: str) -> Path:
    """Where the file with this digest stands, whether or not it is there."""
    if len(sha256) != 64 or not set(sha256) <= set("0123456789abcdef"):
        raise ValueError(f"{sha256!r} is no SHA-256 digest in lower-case hex.")
    return Path(settings.FILE_STORE) / sha256[:2] / sha256


def _pending() -> Path:
    return Path(settings.FILE_STORE) / "pending"


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
    # All in one folder, so that the sweep need not look through the whole store.
    pending = _pending()
    pending.mkdir(exist_ok=True)
    descriptor, name = tempfile.mkstemp(dir=pending, prefix="pending-")
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


def is_kept(sha256: str) -> bool:
    """Whether a file with this digest is here; what is no digest is not."""
    try:
        return path_of(sha256).is_file()
    except ValueError:
        return False


def read(sha256: str) -> bytes:
    """The content; ``FileNotFoundError`` if it is not kept, ``ValueError`` if it is not what it was."""
    content = path_of(sha256).read_bytes()
    if digest(content) != sha256:
        raise ValueError(f"The file {sha256} on the disk is not what was stored.")
    return content


def forget(sha256: str) -> None:
    """Remove a file that nothing of the record names, such as a paper pack that newer ones have followed."""
    path_of(sha256).unlink(missing_ok=True)


def keep_upload(content: bytes) -> str:
    """Keep for a day what somebody is still choosing from; its digest. It is no part of the store."""
    sha256 = digest(content)
    pending = _pending()
    pending.mkdir(parents=True, exist_ok=True)
    descriptor, name = tempfile.mkstemp(dir=pending, prefix="pending-")
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
    Path(name).replace(pending / f"upload-{sha256}")
    return sha256


def read_upload(sha256: str) -> bytes:
    """What was kept by `keep_upload`; ``FileNotFoundError`` if it is not kept any more, or never was."""
    name = path_of(sha256).name
    return (_pending() / f"upload-{name}").read_bytes()


def sweep_pending(at: datetime.datetime) -> int:
    """Remove what a killed process left half written, once it is an hour old, and uploads once a day old.

    Returns how many files those were.
    """
    removed = 0
    for kind, kept_for in (("pending-*", PENDING_KEPT_FOR), ("upload-*", UPLOADS_KEPT_FOR)):
        before = (at - kept_for).timestamp()
        for path in _pending().glob(kind):
            try:
                if path.stat().st_mtime < before:
                    path.unlink()
                    removed += 1
            except FileNotFoundError:
                continue  # its writer has just finished it, or another sweep was quicker
    return removed
