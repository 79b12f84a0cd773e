"""A message of the embedded broker is seen whole or not at all."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from kombu import Connection

from shopqc.celery import app


def test_the_embedded_broker_is_ours() -> None:
    with app.connection("filesystem://localhost/") as connection:
        assert type(connection.transport).__module__ == "shopqc.file_broker"


def test_nobody_sees_a_message_that_is_still_being_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "control").mkdir()
    folders = {"data_folder_in": str(tmp_path), "data_folder_out": str(tmp_path)}
    options = {**folders, "control_folder": str(tmp_path / "control")}
    seen: list[str] = []
    write = Path.write_bytes

    def slowly(path: Path, content: bytes) -> Any:
        write(path, content[:1])
        # Somebody looks while the first byte stands there and the rest does not.
        seen.extend(found.name for found in tmp_path.glob("*.msg"))
        return write(path, content)

    monkeypatch.setattr(Path, "write_bytes", slowly)
    with Connection("filesystem://localhost/", transport_options=options) as connection:
        bell = connection.SimpleQueue("bell")
        bell.put({"job": 7})
        assert seen == []
        assert bell.get(timeout=10).payload == {"job": 7}
        bell.close()
