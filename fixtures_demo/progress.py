"""What of the demo is loaded already, so that a second start goes on where the first was stopped."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any


class Progress:
    """Answers of steps by name, kept in a file that is written after each step."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.answers: dict[str, Any] = json.loads(path.read_text()) if path.exists() else {}

    def once(self, step: str, do: Callable[[], Any]) -> Any:
        """The answer of a step, done now if it was not done before.

        Steps carry idempotency keys made from their names, so one that was
        done and not noted gives the same answer when it is done again.
        """
        if step not in self.answers:
            self.answers[step] = do()
            pending = self.path.with_suffix(".pending")
            pending.touch(mode=0o600)
            pending.write_text(json.dumps(self.answers))
            pending.replace(self.path)
        return self.answers[step]
