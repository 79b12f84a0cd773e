"""What this machine has of the programs that some tests need."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Need:
    """A program from outside Python, the Debian package that brings it, and what is left out without it."""

    package: str
    find: Callable[[], Path | None]
    without: str


def program(name: str) -> Path | None:
    """A program of the search path, also of the folders that only root has in it."""
    found = shutil.which(name) or shutil.which(name, path="/usr/local/bin:/usr/bin:/usr/sbin:/sbin")
    return Path(found) if found else None


def postgresql() -> Path | None:
    """The folder of PostgreSQL's own programs: Debian keeps ``initdb`` off the search path."""
    versions = Path("/usr/lib/postgresql").glob("*/bin/initdb")
    newest = max(versions, key=lambda path: int(path.parent.parent.name), default=None)
    found = newest or program("initdb")
    return found.resolve().parent if found else None


def chromium() -> Path | None:
    """Debian's Chromium, or another one under its usual names."""
    return program("chromium") or program("chromium-browser")


NEEDS = {
    "postgresql": Need("postgresql", postgresql, "everything on PostgreSQL"),
    "redis": Need("redis-server", lambda: program("redis-server"), "everything on Redis"),
    "chromium": Need("chromium", chromium, "the browser tests"),
    "pdftotext": Need("poppler-utils", lambda: program("pdftotext"), "reading PDFs with a second program"),
    "qpdf": Need("qpdf", lambda: program("qpdf"), "checking the structure of PDFs"),
}


def missing() -> dict[str, Need]:
    """What is not here."""
    return {name: need for name, need in NEEDS.items() if need.find() is None}
