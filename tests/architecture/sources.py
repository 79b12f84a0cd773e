"""The files of the project, as git knows them."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("shopqc", "housings", "inspections")
PURE = ("housings.engineering", "inspections.metrology", "inspections.planning", "inspections.probe_files")


@cache
def files() -> tuple[Path, ...]:
    """Every file that is committed or would be, relative to the top."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return tuple(Path(name) for name in sorted(listed.stdout.split("\0")) if name and (ROOT / name).exists())


def python_files(*tops: str) -> list[Path]:
    """Python files below some top folders, without migrations."""
    return [
        path
        for path in files()
        if path.suffix == ".py" and path.parts[0] in tops and "migrations" not in path.parts
    ]


def module_name(path: Path) -> str:
    """The dotted name under which a file is imported."""
    parts = path.with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
