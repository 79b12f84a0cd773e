"""What is wrong with a figure, and beside which field that is said."""

from __future__ import annotations

from typing import Any


class Wrong(Exception):
    """A raw reading that cannot be read; ``field`` is where ``message`` is said."""

    def __init__(self, field: str, message: Any) -> None:
        super().__init__(str(message))
        self.field, self.message = field, str(message)
